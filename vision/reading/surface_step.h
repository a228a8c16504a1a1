#pragma once

#include "vision/reading/look.h"
#include "vision/reading/reading.h"
#include "vision/reading/told.h"

namespace vision::reading {

/// Indications, what was searched, and the sign of a concave root, from every look laid on the first.
/// An indication stays when at least half of the looks that searched its place at its size saw it.
/// @return kCancelled, or nothing.
Status SearchSurface(const std::vector<Look>& looks, const std::vector<unroll::Strip>& strips, const Told& told,
                     const EdgesTold& edges, const MeasureOptions& options, Reading& reading, const JobContext& job);

}  // namespace vision::reading
