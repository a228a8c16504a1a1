#pragma once

#include <vector>

#include "vision/base/job.h"
#include "vision/base/result.h"
#include "vision/reading/push.h"
#include "vision/reading/reading.h"

namespace vision::reading {

/// Are all looks of one push, so that their z and theta are its own?
bool AllOfOnePush(const std::vector<Look>& looks);

/// By the camera's travel (vision/relief/travel.h), on the lines whose two toes are stated and whose edges are not
/// unfused: kinds of section, and, where TravelOptions says that they are stated, crown and concavity, elsewhere the
/// reason.
/// @param taken_off_mm What lies between the push's z and the profile's (Combine).
/// @return kCancelled alone: what cannot be measured is said in the reading.
Status AddHeightsByTravel(const Push& push, double taken_off_mm, const bore::Bore& bore, const JobContext& job,
                          Reading& reading);

}  // namespace vision::reading
