#pragma once

#include <vector>

#include "vision/reading/reading.h"

namespace vision::reading {

/// A place on a toe that a person set.
struct ToePlace {
  double theta_deg = 0, z_mm = 0;
};

/// Sets a toe by hand clockwise from the first of `points` to the last, z linear between them, and computes the width
/// of these station lines anew (right minus left toe; uncertainty as in `Combine`). Reasons for an absent width are
/// kept only where it is still absent.
/// @param points Two or more; theta may pass 360; a stretch of at most one turn.   @param u_mm Standard uncertainty of
/// a place set by hand, > 0.
void MoveToe(Reading& reading, bool left, const std::vector<ToePlace>& points, double u_mm);

}  // namespace vision::reading
