#pragma once

#include <vector>

#include "vision/base/job.h"
#include "vision/base/result.h"
#include "vision/reading/push.h"
#include "vision/reading/reading.h"
#include "vision/reading/told.h"

namespace vision::reading {

/// Are all looks of one push, so that their z and theta are its own?
bool AllOfOnePush(const std::vector<Look>& looks);

/// By the camera's travel (vision/relief/travel.h), on the lines whose two toes are told and whose edges are not
/// unfused: kinds of section, which go into the reading, and, where TravelOptions says that they are stated, crown and
/// concavity, elsewhere the reason.
/// @return kCancelled alone: what cannot be measured has its reason.
Result<Told> WithTravel(const Push& push, Told told, const EdgesTold& edges, const bore::Bore& bore,
                        const JobContext& job, Reading& reading);

}  // namespace vision::reading
