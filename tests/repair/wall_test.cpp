#include <gtest/gtest.h>

#include "app/repair/minimum_wall.h"
#include "app/repair/remaining_wall.h"

namespace app::repair {
namespace {

// Published worked example: documentation of a general calculation library, pipe wall of ASME B31.3 304.1.2: P 90 psi,
// D 0.84 in, S 20 000 psi, E 0.8, W 1, Y 0.4, c 0, nominal 0.147 in less 12.5 %: t 0.0023572 in, P 5584.05 psi.
TEST(MinimumWall, PublishedExampleOfASmallPipe) {
  const PressureDesign design{90, 0.84, 20000, 0.8, 1, 0.4, 0};
  const auto wall = MinimumWallB313(design);
  ASSERT_TRUE(wall.ok());
  EXPECT_NEAR(wall.value().pressure_design, 0.0023572, 5e-8);
  EXPECT_NEAR(PressureOfWallB313(design, 0.147 * 0.875), 5584.05, 0.005);
}

// Published calculation sheet, A106 B, E 1, Y 0.4: P / (2 (S E + P Y)) = 0.0071, 0.0045, 0.0111; OD 6.625
// (printed 6.63) at 285 psi: t = 0.0469 in.
TEST(MinimumWall, PublishedSheetOfThreePressures) {
  const auto ratio = [](double pressure, double stress) {
    return MinimumWallB313({pressure, 1, stress, 1, 1, 0.4, 0}).value().pressure_design;
  };
  EXPECT_NEAR(ratio(285, 20000), 0.0071, 5e-5);
  EXPECT_NEAR(ratio(170, 18900), 0.0045, 5e-5);
  EXPECT_NEAR(ratio(450, 20000), 0.0111, 6e-5);
  EXPECT_NEAR(MinimumWallB313({285, 6.625, 20000, 1, 1, 0.4, 0}).value().pressure_design, 0.0469, 5e-5);
}

// Worked by hand: P 1500 psi, D 6.625 in, S 20 000, c 0.0625: t 0.24120 in, t_m 0.30370 in = 7.714 mm; eq. (3b) with
// d = D - 2t and c = 0 gives the same t; B31.1 has the same form.
TEST(MinimumWall, BothEquationsAgreeOnNps6) {
  PressureDesign design{1500, 6.625, 20000, 1, 1, 0.4, 0.0625};
  const auto wall = MinimumWallB313(design).value();
  EXPECT_NEAR(wall.pressure_design, 0.24120, 5e-6);
  EXPECT_NEAR(wall.required * 25.4, 7.714, 5e-4);
  EXPECT_DOUBLE_EQ(MinimumWallB311(design).value().required, wall.required);
  design.allowance = 0;
  EXPECT_NEAR(MinimumWallB313Inside(design, 6.625 - 2 * wall.pressure_design).value().pressure_design,
              wall.pressure_design, 1e-12);
}

TEST(MinimumWall, RefusesWhereTheFormulaDoesNotHold) {
  EXPECT_FALSE(MinimumWallB313({8000, 6, 20000, 1, 1, 0.4, 0}).ok());  // P/SE 0.4
  EXPECT_FALSE(MinimumWallB313({7600, 6, 20000, 1, 1, 0.0, 0}).ok());  // t 1.14 >= D/6
  EXPECT_FALSE(MinimumWallB313({1500, 6, 0, 1, 1, 0.4, 0}).ok());
}

// Worked by hand on the pipe above: wall 10.60 +- 0.10 beside the place (k = 2), 1.00 mm deep with U 0.20, floor 7.714:
// remaining 9.60, margin 1.886, U 0.224, after U 1.662: go. The same depth is beyond MIL-STD-2035A 4.2.13 (1/64 in for
// Class 1, 1/32 in for Class 2 below 1/2 in of wall): the wall passes, the depth fails, and both are said.
TEST(RemainingWall, PassesTheWallAndFailsTheDepth) {
  const auto wall = WallFromReadings({{10.60, 0.05}, {10.72, 0.05}}).value();
  const Measured depth{1.00, 0.10};
  const auto floor = FloorOf(7.714, std::nullopt).value();
  const auto remaining = CheckRemainingWall(wall, depth, floor).value();
  EXPECT_NEAR(remaining.value_mm, 9.60, 1e-9);
  EXPECT_NEAR(remaining.margin_mm, 1.886, 1e-9);
  EXPECT_NEAR(remaining.expanded_mm, 0.224, 5e-4);
  EXPECT_NEAR(remaining.guarded_mm, 1.662, 5e-4);
  EXPECT_EQ(remaining.answer, Answer::kGo);
  EXPECT_EQ(CheckDepth(depth, 25.4 / 64, "4.2.13, Class 1").answer, Answer::kNoGo);
  EXPECT_EQ(CheckDepth(depth, 25.4 / 32, "4.2.13, Class 2").answer, Answer::kNoGo);
}

TEST(RemainingWall, InsideTheUncertaintyAReadingDecides) {
  const auto floor = FloorOf(std::nullopt, 8.0).value();
  const auto answer = [&](double wall_mm) {
    return CheckRemainingWall(WallFromReadings({{wall_mm, 0.05}}).value(), {1.0, 0.1}, floor).value().answer;
  };
  EXPECT_EQ(answer(9.23), Answer::kGo);           // margin 0.23 > U 0.224
  EXPECT_EQ(answer(9.22), Answer::kTakeReading);  // margin 0.22 < U
  EXPECT_EQ(answer(8.78), Answer::kTakeReading);
  EXPECT_EQ(answer(8.77), Answer::kNoGo);
}

TEST(RemainingWall, AnAssumedWallNeverGivesGo) {
  const auto wall = WallFromNominal(10.97).value();
  EXPECT_NEAR(wall.thickness.value_mm, 9.599, 1e-3);
  const auto check = CheckRemainingWall(wall, {0.5, 0.1}, FloorOf(7.714, std::nullopt).value()).value();
  EXPECT_GT(check.guarded_mm, 0);
  EXPECT_EQ(check.answer, Answer::kTakeReading);
  EXPECT_NE(EnglishOf(check.said).find("assumed"), std::string::npos);
  EXPECT_EQ(CheckRemainingWall(wall, {3.5, 0.1}, FloorOf(7.714, std::nullopt).value()).value().answer, Answer::kNoGo);
}

TEST(RemainingWall, RefusesGrindingThroughAndAMissingFloor) {
  const auto wall = WallFromReadings({{5.0, 0.05}}).value();
  const auto through = CheckRemainingWall(wall, {5.2, 0.1}, FloorOf(3.0, std::nullopt).value());
  ASSERT_FALSE(through.ok());
  EXPECT_NE(through.error().message.find("5.20 mm"), std::string::npos);
  EXPECT_FALSE(FloorOf(std::nullopt, std::nullopt).ok());
  EXPECT_FALSE(WallFromReadings({}).ok());
}

TEST(Floor, IsTheLargerOfTheTwo) {
  EXPECT_DOUBLE_EQ(FloorOf(7.7, 8.2).value().value_mm, 8.2);
  EXPECT_DOUBLE_EQ(FloorOf(7.7, 6.0).value().value_mm, 7.7);
}

}  // namespace
}  // namespace app::repair
