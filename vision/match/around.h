#pragma once

#include <vector>

#include "vision/match/align.h"

namespace vision::match {

/// A shift seen at one place around the bore.
struct AroundSample {
  double theta_deg = 0, arc_mm = 0, z_mm = 0;
  double correlation = 0;
};

/// Robust fit of arc and z shift (constant and two harmonics each): consensus of the samples first, then least squares
/// over those within 0.6 mm of it.
/// @return false when fewer than eight samples agree.
bool FitAround(const std::vector<AroundSample>& samples, AroundBore* arc_mm, AroundBore* z_mm,
               std::vector<AroundSample>* kept);

}  // namespace vision::match
