#include <gtest/gtest.h>

#include <cmath>

#include "vision/relief/light_cuts.h"

namespace vision::relief {
namespace {

constexpr double kRadius_mm = 60, kHalfDepth_mm = 0.5, kOff_mm = 0.2;

/// Cuts a millimetre apart through a hump of 1 mm on z = 45 to 55; where the surface is higher than 0.3 mm the inner
/// edge reads `kOff_mm` high and the outer as much low, as a blurred stripe does. The outer edge is lost where the hump
/// is highest, from 49 to 51, on the first half of the circle.
/// @param astray_mm The outer edge of every other column reads so much lower still, as beside glare.
std::vector<Cut> CutsThroughAHump(const LightPlane& plane, bool own_light, double astray_mm) {
  const auto height = [](double z) { return std::max(0.0, 1 - std::pow((z - 50) / 5, 2)); };
  std::vector<Cut> cuts;
  for (int k = 0; k <= 20; ++k) {
    Cut cut;
    cut.pose.translation_mm.z() = k - 5;
    cut.stripe.mm_per_px = 0.5;
    cut.stripe.radius = kRadius_mm / plane.distance_mm;
    const double z = plane.distance_mm + k - 5;
    for (int i = 0; i < 1440; ++i) {
      const double phi = 2 * CV_PI * i / 1440;
      const Eigen::Vector2d out(std::cos(phi), std::sin(phi));
      const auto slope = [&](double ahead, double sign) {
        const double h = height(z + ahead), astray = sign < 0 && i % 64 < 32 ? astray_mm : 0,
                     read = h + (h > 0.3 ? sign * kOff_mm - astray : 0);
        return Eigen::Vector2d(out * (kRadius_mm - read) / (plane.distance_mm + ahead));
      };
      StripePoint point;
      point.inner = slope(kHalfDepth_mm, 1);
      if (!(std::abs(z - kHalfDepth_mm - 50) < 1.1 && i < 720)) point.outer = slope(-kHalfDepth_mm, -1);
      point.by_own_light = own_light;
      cut.stripe.points.push_back(point);
    }
    cuts.push_back(cut);
  }
  return cuts;
}

Relief MadeFrom(bool own_light, double astray_mm = 0) {
  LightPlane plane;
  plane.distance_mm = 45;
  return ReliefFromCuts(CutsThroughAHump(plane, own_light, astray_mm), plane, kRadius_mm, kHalfDepth_mm, {});
}

/// Between places that know by how much the two edges differ, one edge alone is brought to the mean of both.
TEST(ReliefFromCuts, OneEdgeAloneIsBroughtToTheMeanOfBoth) {
  const Relief relief = MadeFrom(false);
  const int row = static_cast<int>(std::lround(relief.grid.Row(50)));
  int known = 0;
  for (int c = 0; c < relief.grid.columns; c += 7) {
    ASSERT_TRUE(std::isfinite(relief.h_mm(row, c)));
    EXPECT_NEAR(relief.h_mm(row, c), 1, 0.06) << c;
    known += relief.u_mm(row, c) < 0.06F;
    EXPECT_LT(relief.u_mm(row, c), 0.2) << c;
  }
  EXPECT_GT(known, 30);  // both edges: the second half of the circle
  EXPECT_LT(known, 75);  // one edge is worth less
}

/// Coarse colour flattens a crest, more the coarser the picture: at half a millimetre a pixel by 0.062 mm.
TEST(ReliefFromCuts, AStripesOwnLightCountsInTheUncertainty) {
  const Relief by_light = MadeFrom(false), by_own = MadeFrom(true);
  const int row = static_cast<int>(std::lround(by_own.grid.Row(50)));
  for (int c = 0; c < by_own.grid.columns; c += 7) {
    const double plain = by_light.u_mm(row, c), own = by_own.u_mm(row, c);
    EXPECT_NEAR(std::sqrt(own * own - plain * plain), 0.062, 0.002) << c;
  }
}

/// Where one edge jumps by 0.4 mm from place to place the mean of both jumps by 0.2: 2u holds it.
TEST(ReliefFromCuts, EdgesThatDifferUnevenlyAreStatedLessSurely) {
  const Relief even = MadeFrom(false), uneven = MadeFrom(false, 0.4);
  const int row = static_cast<int>(std::lround(uneven.grid.Row(50)));
  int wrong = 0, inside = 0, surer = 0;
  for (int c = uneven.grid.columns / 2 + 20; c < uneven.grid.columns - 20; ++c) {
    const float off = std::abs(uneven.h_mm(row, c) - 1);
    wrong += off > 0.12F;
    inside += off <= 2 * uneven.u_mm(row, c);
    surer += uneven.u_mm(row, c) < even.u_mm(row, c) + 0.03F;
  }
  EXPECT_GT(wrong, 80) << "nothing jumps: this tests nothing";
  const int looked_at = uneven.grid.columns / 2 - 40;
  EXPECT_GE(inside, 0.93 * looked_at);
  EXPECT_LE(surer, 0.03 * looked_at);
}

}  // namespace
}  // namespace vision::relief
