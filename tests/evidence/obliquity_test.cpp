#include <gtest/gtest.h>

#include "vision/evidence/laid_flat.h"

namespace vision::evidence {
namespace {

/// From the axis every line sees the wall under the same angle: (z - z_camera) / R.
TEST(Obliquity, FromTheAxisIsTheWayAlongOverTheRadius) {
  const auto tangent = Obliquity({{0, 0, -40}, true}, 50);
  for (const int column : {0, 700, 1439}) {
    EXPECT_NEAR(tangent(kWindowRows / 2, column), 0.8, 1e-6);
    EXPECT_NEAR(tangent(kWindowRows / 2 + 50, column), 0.9, 1e-6);  // rows of 0.1 mm
  }
}

/// A camera that looks along -z stands on the other side, and its near toe lies above too.
TEST(Obliquity, IsTheSameFromTheOtherSide) {
  const auto one = Obliquity({{3, -8, -40}, true}, 50), other = Obliquity({{3, -8, 40}, false}, 50);
  EXPECT_EQ(cv::norm(one, other, cv::NORM_INF), 0);
}

/// 10 mm above the axis (+y, theta 0): 40 mm from the wall there, 60 mm from the one below; columns lie half a quarter
/// of a degree beside.
TEST(Obliquity, IsFlatterWhereTheWallIsNear) {
  const auto tangent = Obliquity({{0, 10, -40}, true}, 50);
  EXPECT_NEAR(tangent(kWindowRows / 2, 0), 40.0 / 40, 1e-4);
  EXPECT_NEAR(tangent(kWindowRows / 2, 720), 40.0 / 60, 1e-4);
}

}  // namespace
}  // namespace vision::evidence
