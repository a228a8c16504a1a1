#include "vision/bore/angle.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <limits>

namespace vision::bore {
namespace {

using ::testing::IsEmpty;
using ::testing::SizeIs;

// Expected values below are counted by hand.

TEST(Wrap360, KeepsAnglesInOneTurn) {
  EXPECT_DOUBLE_EQ(Wrap360(0), 0);
  EXPECT_DOUBLE_EQ(Wrap360(360), 0);
  EXPECT_DOUBLE_EQ(Wrap360(-90), 270);
  EXPECT_DOUBLE_EQ(Wrap360(725), 5);
  EXPECT_DOUBLE_EQ(Wrap360(-725), 355);
  EXPECT_LT(Wrap360(-1e-20), 360) << "a tiny negative angle must not come back as 360";
  EXPECT_TRUE(std::isnan(Wrap360(std::numeric_limits<double>::quiet_NaN())));
}

TEST(Wrap180, TakesTheShortWayRound) {
  EXPECT_DOUBLE_EQ(Wrap180(0), 0);
  EXPECT_DOUBLE_EQ(Wrap180(190), -170);
  EXPECT_DOUBLE_EQ(Wrap180(-190), 170);
  EXPECT_DOUBLE_EQ(Wrap180(180), -180);
  EXPECT_DOUBLE_EQ(Wrap180(-180), -180);
  EXPECT_DOUBLE_EQ(Wrap180(359), -1);
}

TEST(ArcMm, IsTheCircumferenceForOneTurn) {
  EXPECT_NEAR(ArcMm(360, 50), 314.159265358979, 1e-9);   // 2 pi 50
  EXPECT_NEAR(ArcMm(1, 57.29577951308232), 1.0, 1e-12);  // one radian's radius
}

TEST(ClockText, ReadsAsADial) {  // 12 hours a turn: 30 degrees an hour, half a degree a minute
  EXPECT_EQ(ClockText(0), "12:00");
  EXPECT_EQ(ClockText(30), "1:00");
  EXPECT_EQ(ClockText(90), "3:00");
  EXPECT_EQ(ClockText(135), "4:30");
  EXPECT_EQ(ClockText(180), "6:00");
  EXPECT_EQ(ClockText(270), "9:00");
  EXPECT_EQ(ClockText(10), "12:20");
  EXPECT_EQ(ClockText(359.9), "12:00") << "rounds up to the full turn, never to 24:00 or 0:00";
  EXPECT_EQ(ClockText(359.5), "11:59");
  EXPECT_EQ(ClockText(-90), "9:00");
}

TEST(Arc, ContainsAcrossZero) {
  const Arc arc{350, 20};
  EXPECT_DOUBLE_EQ(arc.end_deg(), 10);
  EXPECT_TRUE(arc.Contains(350));
  EXPECT_TRUE(arc.Contains(0));
  EXPECT_TRUE(arc.Contains(10));
  EXPECT_FALSE(arc.Contains(10.001));
  EXPECT_FALSE(arc.Contains(349.999));
  EXPECT_FALSE(arc.Contains(180));
}

// Four lines of half a degree from 359 are 359, 359.5, 0 and 0.5; two degrees, not two and a half.
TEST(Arc, HoldsTheLinesOfItsStepsAndNotTheOneAtItsEnd) {
  const Arc arc{359, 2};
  int held = 0;
  for (int i = 0; i < 720; ++i) held += arc.HoldsLine(i * 0.5);
  EXPECT_EQ(held, 4);
  EXPECT_TRUE(arc.HoldsLine(359));
  EXPECT_TRUE(arc.HoldsLine(0.5));
  EXPECT_FALSE(arc.HoldsLine(1));
  EXPECT_TRUE((Arc{0, 360}.HoldsLine(359.5)));
}

TEST(ArcBetween, RunsClockwiseAndTellsAllRoundFromNothing) {
  EXPECT_DOUBLE_EQ(ArcBetween(350, 10).length_deg, 20);
  EXPECT_DOUBLE_EQ(ArcBetween(10, 350).length_deg, 340);
  EXPECT_DOUBLE_EQ(ArcBetween(0, 360).length_deg, 360);
  EXPECT_DOUBLE_EQ(ArcBetween(90, 450).length_deg, 360);
  EXPECT_DOUBLE_EQ(ArcBetween(90, 90).length_deg, 0);
  EXPECT_DOUBLE_EQ(ArcBetween(-10, 5).start_deg, 350);
}

TEST(Arc, MeetsWhenEitherStartsInTheOther) {
  EXPECT_TRUE((Arc{350, 20}.Meets({5, 10})));
  EXPECT_TRUE((Arc{5, 10}.Meets({350, 20})));
  EXPECT_TRUE((Arc{0, 360}.Meets({100, 1})));
  EXPECT_FALSE((Arc{350, 20}.Meets({11, 300})));
}

TEST(RunsOnCircle, JoinsTheRunThatWrapsThroughZero) {
  // Eight steps of 45 degrees; true at 0, 45, 135, 315: one run from 315 over 3 steps, one from 135 over 1.
  const auto runs = RunsOnCircle({true, true, false, true, false, false, false, true});
  ASSERT_THAT(runs, SizeIs(2));
  EXPECT_DOUBLE_EQ(runs[0].start_deg, 135);
  EXPECT_DOUBLE_EQ(runs[0].length_deg, 45);
  EXPECT_DOUBLE_EQ(runs[1].start_deg, 315);
  EXPECT_DOUBLE_EQ(runs[1].length_deg, 135);
}

TEST(RunsOnCircle, ARunAllRoundClosesAt360AndAnotherWhereItEnds) {
  EXPECT_DOUBLE_EQ(RunsOnCircle({true, true, true, true}).front().closing_deg(), 360);
  EXPECT_DOUBLE_EQ((Arc{350, 20}).closing_deg(), 10);
}

TEST(FillGaps, ClosesWhatIsNoLongerThanAskedAcrossZeroToo) {
  std::vector<bool> flags{false, true, false, true, false, false, true, false};  // steps of 45 degrees
  FillGaps(45, &flags);
  EXPECT_EQ(flags, (std::vector<bool>{false, true, true, true, false, false, true, false}));
  FillGaps(90, &flags);
  EXPECT_EQ(flags, std::vector<bool>(8, true));
  std::vector<bool> none(8, false);
  FillGaps(90, &none);
  EXPECT_EQ(none, std::vector<bool>(8, false));
}

TEST(RunsOnCircle, KnowsNothingAndEverything) {
  EXPECT_THAT(RunsOnCircle({}), IsEmpty());
  EXPECT_THAT(RunsOnCircle({false, false, false}), IsEmpty());
  const auto all = RunsOnCircle({true, true, true});
  ASSERT_THAT(all, SizeIs(1));
  EXPECT_DOUBLE_EQ(all[0].start_deg, 0);
  EXPECT_DOUBLE_EQ(all[0].length_deg, 360);
}

TEST(RunsOnCircle, OneFlagIsOneStep) {
  const auto last = RunsOnCircle({false, false, false, true});
  ASSERT_THAT(last, SizeIs(1));
  EXPECT_DOUBLE_EQ(last[0].start_deg, 270);
  EXPECT_DOUBLE_EQ(last[0].length_deg, 90);
}

}  // namespace
}  // namespace vision::bore
