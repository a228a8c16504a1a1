#include <gtest/gtest.h>

#include <cmath>

#include "vision/arc/course_parts.h"

namespace vision::arc {
namespace {

/// Travel at 2 mm/s, a tenth of a second apart.
Track Steady() {
  Track track;
  for (int i = 0; i <= 40; ++i) track.time_s.push_back(0.1 * i), track.along_mm.push_back(5 + 0.2 * i);
  return track;
}

/// Ordinary least squares: var(slope) = sigma^2 / sum (t - mean)^2; over 15 steps of 0.1 s that sum is
/// 0.01 * 15 (15^2 - 1) / 12 = 2.8.
TEST(FitLine, SlopeAndItsUncertaintyAreThoseOfLeastSquares) {
  const auto line = FitLine(Steady(), 2, 1.4, {0.3, 1});
  EXPECT_NEAR(line.along_mm, 9, 1e-9);
  EXPECT_NEAR(line.speed_mm_s, 2, 1e-9);
  EXPECT_NEAR(line.speed_u_mm_s, 0.3 / std::sqrt(2.8), 1e-6);
  EXPECT_NEAR(line.rest_mm, 0, 1e-9);
  const auto alike = FitLine(Steady(), 2, 1.4, {0.3, 4});
  EXPECT_NEAR(alike.speed_u_mm_s / line.speed_u_mm_s, 2, 1e-6) << "four neighbours that say the same count once";
}

/// What lies before the arc was struck is not of this burn.
TEST(FitLine, UsesNothingOutsideItsSpan) {
  Track track = Steady();
  for (int i = 0; i < 20; ++i) track.along_mm[static_cast<std::size_t>(i)] = -100;
  EXPECT_NEAR(FitLine(track, 2, 1.4, {0.3, 1}, 2.0).speed_mm_s, 2, 1e-9);
}

/// One spatter 6 mm aside bends the line by less than a tenth of what least squares would let it (0.75 mm/s).
TEST(FitLine, OneGlintHardlyBendsIt) {
  Track track = Steady();
  track.along_mm[26] += 6;
  EXPECT_NEAR(FitLine(track, 2, 1.4, {0.3, 1}).speed_mm_s, 2, 0.075 * 2);
}

}  // namespace
}  // namespace vision::arc
