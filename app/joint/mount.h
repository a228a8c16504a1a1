#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>

#include "vision/base/result.h"
#include "vision/pose/pose.h"

/// How the head rides in the bore, as a person knows it: in the joint file (`mount` of a recording) and on the command
/// line (`--mount`).
namespace app::joint {

/// @param json {"centred_u_mm", "tilt_u_deg", "distance_mm", "distance_u_mm"}, as the schema allows.
vision::pose::MountPrior MountFromJson(const nlohmann::json& json);

/// "centred=2,tilt=3,distance=60,distance-u=10": mm, degrees, mm, mm; each a standard uncertainty but for `distance`.
/// @return kBadInput naming the word that is wrong and what would be right.
vision::Result<vision::pose::MountPrior> MountFromText(const std::string& text);

}  // namespace app::joint
