#pragma once

#include <filesystem>
#include <string>

#include "app/joint/joint.h"
#include "vision/live/watch.h"

namespace app::joint {

/// Which camera of a joint looks where.
struct WatchRequest {
  std::filesystem::path joint_file;
  std::string camera;        ///< Id in the joint file.
  std::string looks = "+z";  ///< +z | -z
  double up_theta_deg = 0;   ///< Bore angle of the image's up.
};

/// `options` with bore, lens, mask and picture size as the joint file says.
/// @return kBadInput naming file, field and what would be right.
vision::Result<vision::live::WatchOptions> WatchOptionsFor(const WatchRequest& request,
                                                           vision::live::WatchOptions options = {});

}  // namespace app::joint
