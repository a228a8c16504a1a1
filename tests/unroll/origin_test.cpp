#include "vision/unroll/origin.h"

#include <gtest/gtest.h>

namespace vision::unroll {
namespace {

/// A weld's middle at z = 1.5: whatever lay there lies at 0, and camera, strip and point keep their distances.
TEST(Origin, WhatIsMovedTogetherKeepsItsDistances) {
  StripGrid grid = StripGrid::Over(50, -10, 10, 0.1);
  std::vector<bore::BoreFromCam> poses(2);
  poses[0].translation_mm.z() = -40, poses[1].translation_mm.z() = 1.5;
  double point_mm = 3;
  const double row = grid.Row(point_mm);
  const Origin weld(1.5);
  weld.Move(grid), weld.Move(poses), weld.Move(point_mm);
  EXPECT_DOUBLE_EQ(poses[1].translation_mm.z(), 0);
  EXPECT_DOUBLE_EQ(poses[0].translation_mm.z(), -41.5);
  EXPECT_DOUBLE_EQ(point_mm, 1.5);
  EXPECT_NEAR(grid.Row(point_mm), row, 1e-9) << "the same cell of the strip";
  Origin(-1.5).Move(point_mm);
  EXPECT_DOUBLE_EQ(point_mm, 3);
}

}  // namespace
}  // namespace vision::unroll
