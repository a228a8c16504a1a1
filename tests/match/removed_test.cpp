#include "vision/match/removed.h"

#include <gmock/gmock.h>

#include <cmath>
#include <limits>

#include "tests/match/ground_wall.h"

namespace vision::match {
namespace {

using testing::HasSubstr;

using test::Ground, test::Outline, test::Turned, test::Wall, test::kCrown_mm, test::kFloor_mm, test::kRoll_deg,
    test::kWalls;

TEST(DepthsOf, TellsFloorAndRemovalApartWhereABeadStood) {
  const Ground ground;
  const auto before = Wall(nullptr, 0, 0, 0.02, 1), after = Wall(&ground, kRoll_deg, 0.15, 0.02, 2);
  const auto depths = DepthsOf(Outline(ground), &before, &after, Turned(kRoll_deg), kWalls);
  ASSERT_TRUE(depths.ok());
  const auto& d = depths.value();
  ASSERT_TRUE(d.floor) << EnglishOf(d.floor_why);
  ASSERT_TRUE(d.removed) << EnglishOf(d.removed_why);
  EXPECT_NEAR(d.floor->mm, kFloor_mm, 0.05);
  EXPECT_NEAR(d.removed->mm, kFloor_mm + kCrown_mm, 0.08);  // at z = 0 the bead stood 1.2 mm over the line
  EXPECT_NEAR(d.removed->place.z_mm, 0, 0.6);
  EXPECT_NEAR(d.removed->place.theta_deg, 100, 5);
  for (const auto& depth : {*d.floor, *d.removed}) {
    EXPECT_GT(depth.u_mm, 0.01);
    EXPECT_LT(depth.u_mm, 0.1);
  }
  EXPECT_LE(std::abs(d.floor->mm - kFloor_mm), 2 * d.floor->u_mm);
}

TEST(DepthsOf, StateNothingWithoutHeights) {
  const Ground ground;
  const auto after = Wall(&ground, 0, 0, 0.02, 2);
  const auto none = DepthsOf(Outline(ground), nullptr, nullptr, Turned(0), kWalls).value();
  EXPECT_FALSE(none.floor || none.removed);
  EXPECT_THAT(EnglishOf(none.floor_why), HasSubstr("not measurable"));
  EXPECT_THAT(EnglishOf(none.removed_why), HasSubstr("not measurable"));
  const auto half = DepthsOf(Outline(ground), nullptr, &after, Turned(0), kWalls).value();
  EXPECT_TRUE(half.floor);
  EXPECT_FALSE(half.removed);
  EXPECT_THAT(EnglishOf(half.removed_why), HasSubstr("the earlier one has no heights"));
}

TEST(DepthsOf, APocketMostlyWithoutHeightsOrWithoutWallBesideIsNotStated) {
  const Ground ground;
  const auto before = Wall(nullptr, 0, 0, 0.02, 1);
  auto holed = Wall(&ground, 0, 0, 0.02, 2), bare = Wall(&ground, 0, 0, 0.02, 2);
  for (int row = 0; row < holed.grid.rows; ++row)
    for (int column = 0; column < holed.grid.columns; ++column) {
      const float nan = std::numeric_limits<float>::quiet_NaN();
      if (ground.Q(holed.grid.ThetaDeg(column), holed.grid.ZMm(row)) < 0.7) holed.h_mm(row, column) = nan;
      if (bare.grid.ZMm(row) > 8) bare.h_mm(row, column) = nan;
    }
  const auto shy = DepthsOf(Outline(ground), &before, &holed, Turned(0), kWalls).value();
  EXPECT_FALSE(shy.floor || shy.removed);
  EXPECT_THAT(EnglishOf(shy.floor_why), HasSubstr("% of the pocket carries a height"));
  const auto alone = DepthsOf(Outline(ground), &before, &bare, Turned(0), kWalls).value();
  EXPECT_FALSE(alone.floor || alone.removed);
  EXPECT_THAT(EnglishOf(alone.floor_why), HasSubstr("too little bare wall"));
}

TEST(DepthsOf, OptionsAreChecked) {
  const Ground ground;
  DepthOptions options;
  options.window_mm = 0;
  EXPECT_FALSE(DepthsOf(Outline(ground), nullptr, nullptr, Turned(0), kWalls, options).ok());
  options = {};
  options.wall_to_mm = 0.1;
  EXPECT_FALSE(DepthsOf(Outline(ground), nullptr, nullptr, Turned(0), kWalls, options).ok());
}

}  // namespace
}  // namespace vision::match
