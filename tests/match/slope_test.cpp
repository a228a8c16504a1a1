#include "vision/match/slope.h"

#include <gmock/gmock.h>

#include <cmath>
#include <limits>

#include "tests/match/ground_wall.h"

namespace vision::match {
namespace {

using test::Ground, test::Outline, test::Turned, test::Wall, test::kRoll_deg, test::kWalls;
using testing::HasSubstr;

/// By hand: half the pocket is 7 mm long; a flank over half of it falls 0.6 mm in 3.5 mm, atan(0.6 / 3.5) = 9.728
/// degrees (5.8:1); one over 0.3 of it falls 0.6 mm in 2.1 mm, 15.945 degrees (3.5:1).
TEST(SlopesOf, AgreeWithFlanksWorkedByHand) {
  Ground ground;
  ground.right_flank = 0.3;
  const auto after = Wall(&ground, kRoll_deg, 0.15, 0.02, 2);
  const auto slopes = SlopesOf(Outline(ground), &after, Turned(kRoll_deg), kWalls);
  ASSERT_TRUE(slopes.ok());
  const auto &left = slopes.value().left, &right = slopes.value().right;
  ASSERT_TRUE(left.slope) << EnglishOf(left.why);
  ASSERT_TRUE(right.slope) << EnglishOf(right.why);
  EXPECT_NEAR(left.slope->deg, 9.728, 0.7);
  EXPECT_NEAR(right.slope->deg, 15.945, 0.7);
  EXPECT_LE(std::abs(left.slope->deg - 9.728), 2 * left.slope->u_deg);
  EXPECT_LE(std::abs(right.slope->deg - 15.945), 2 * right.slope->u_deg);
  EXPECT_LT(std::max(left.slope->u_deg, right.slope->u_deg), 1.8);
  EXPECT_LT(left.slope->to_z_mm, -3);  // on what was bare wall: the toe lies at -3
  EXPECT_GT(left.slope->from_z_mm, -6.5);
  EXPECT_GT(right.slope->from_z_mm, 5.5);
  EXPECT_LT(right.slope->to_z_mm, 8.2);
}

/// Steep enough that a slope and its angle differ: 1.5 mm in 2.1 mm are 35.538 degrees.
TEST(SlopesOf, SteepFlanksAreAnglesNotRatios) {
  Ground ground;
  ground.floor_mm = 1.5, ground.right_flank = 0.3;
  const auto after = Wall(&ground, 0, 0, 0.02, 4);
  const auto right = SlopesOf(Outline(ground), &after, Turned(0), kWalls).value().right;
  ASSERT_TRUE(right.slope) << EnglishOf(right.why);
  EXPECT_NEAR(right.slope->deg, 35.538, 1.2);
}

/// The stated uncertainty holds: of 60 walls of other noise, at least 54 flanks in 60 lie inside 2u, and not all u are
/// so wide that nothing could miss.
TEST(SlopesOf, ItsUncertaintyHoldsAgainstMonteCarlo) {
  const Ground ground;
  int inside = 0, all = 0;
  double worst = 0;
  for (unsigned seed = 1; seed <= 30; ++seed) {
    const auto after = Wall(&ground, 0, 0, 0.04, seed);
    const auto slopes = SlopesOf(Outline(ground), &after, Turned(0), kWalls).value();
    for (const auto* flank : {&slopes.left, &slopes.right}) {
      ASSERT_TRUE(flank->slope) << EnglishOf(flank->why);
      const double off = std::abs(flank->slope->deg - 9.728);
      inside += off <= 2 * flank->slope->u_deg, ++all;
      worst = std::max(worst, flank->slope->u_deg);
    }
  }
  EXPECT_GE(inside, 54);
  EXPECT_EQ(all, 60);
  EXPECT_LT(worst, 2.5);
}

TEST(SlopesOf, StateNothingThatIsNotThere) {
  Ground ground;
  const auto none = SlopesOf(Outline(ground), nullptr, Turned(0), kWalls).value();
  EXPECT_FALSE(none.left.slope || none.right.slope);
  EXPECT_THAT(EnglishOf(none.left.why), HasSubstr("not measurable from this recording"));

  ground.floor_mm = 0.05;  // no flank to speak of; the 0.1 mm that are averaged away are noise
  const auto flat = Wall(&ground, 0, 0, 0.01, 3);
  EXPECT_THAT(EnglishOf(SlopesOf(Outline(ground), &flat, Turned(0), kWalls).value().right.why),
              HasSubstr("below the wall"));

  ground.floor_mm = 0.6;
  auto holed = Wall(&ground, 0, 0, 0.02, 2);
  for (int row = 0; row < holed.grid.rows; ++row)
    if (holed.grid.ZMm(row) > 4 && holed.grid.ZMm(row) < 9)
      holed.h_mm.row(row) = std::numeric_limits<float>::quiet_NaN();
  const auto half = SlopesOf(Outline(ground), &holed, Turned(0), kWalls).value();
  EXPECT_TRUE(half.left.slope) << EnglishOf(half.left.why);
  EXPECT_FALSE(half.right.slope);
  EXPECT_THAT(EnglishOf(half.right.why), HasSubstr("shorter than 1.0 mm"));

  const auto after = Wall(&ground, 0, 0, 0.02, 2);
  const WallEnds wide{-7, 9, -7, 9};  // the weld is as wide as the pocket: no flank starts from bare wall
  const auto on_weld = SlopesOf(Outline(ground), &after, Turned(0), wide).value();
  EXPECT_FALSE(on_weld.left.slope || on_weld.right.slope);
}

TEST(SlopesOf, OptionsAreChecked) {
  const Ground ground;
  for (auto change : {+[](SlopeOptions* o) { o->from_share = 0; }, +[](SlopeOptions* o) { o->to_share = 1; },
                      +[](SlopeOptions* o) { o->least_run_mm = 0; }, +[](SlopeOptions* o) { o->clear_of_toe_mm = -1; },
                      +[](SlopeOptions* o) { o->half_width_share = 0.6; }}) {
    SlopeOptions options;
    change(&options);
    EXPECT_FALSE(SlopesOf(Outline(ground), nullptr, Turned(0), kWalls, options).ok());
  }
}

}  // namespace
}  // namespace vision::match
