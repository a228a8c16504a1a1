#include "app/report/text.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "app/report/figures.h"

namespace app::report {
namespace {

/// Worked by hand: 25.4 mm to the inch (exact since the yard and pound agreement of 1959).
TEST(FractionText, AgreesWithCasesWorkedByHand) {
  EXPECT_EQ(FractionText(25.4, 64), "1 in");
  EXPECT_EQ(FractionText(19.05, 64), "3/4 in");   // 48/64
  EXPECT_EQ(FractionText(0.397, 64), "1/64 in");  // MIL-STD-2035A 4.2.13.1: 1/64 in = 0.397 mm
  EXPECT_EQ(FractionText(0.794, 64), "1/32 in");  // 4.2.13.2: 1/32 in
  EXPECT_EQ(FractionText(1.588, 64), "1/16 in");  // 1/16 in
  EXPECT_EQ(FractionText(2.381, 64), "3/32 in");  // Table I: 3/32 in = 2.38 mm
  EXPECT_EQ(FractionText(28.575, 64), "1 1/8 in");
  EXPECT_EQ(FractionText(6.21, 64), "1/4 in");        // 15.647/64 -> 16/64
  EXPECT_EQ(FractionText(5.953125, 64), "15/64 in");  // 15 x 0.396875
}

TEST(FractionText, RoundsToThirtySecondsOnRequest) {
  EXPECT_EQ(FractionText(5.953125, 32), "1/4 in");  // 7.5/32 rounds away from zero to 8/32
  EXPECT_EQ(FractionText(0.397, 32), "1/32 in");    // 0.5002/32
  EXPECT_EQ(FractionText(0.39, 32), "0 in");        // 0.491/32
}

TEST(FractionText, KeepsTheSignAndCarriesIntoTheInch) {
  EXPECT_EQ(FractionText(-3.175, 64), "-1/8 in");
  EXPECT_EQ(FractionText(25.3, 64), "1 in");  // 63.748/64
  EXPECT_EQ(FractionText(-0.1, 64), "0 in");
}

TEST(LengthFormat, PrintsTheExpandedUncertainty) {
  const LengthFormat mm;
  EXPECT_EQ(EnglishOf(mm.Measured(6.214, 0.15)), "6.21 ± 0.30 mm");
  EXPECT_EQ(EnglishOf(mm.Measured(16.13, 0.5)), "16.1 ± 1.0 mm");      // two decimals would be more than U supports
  EXPECT_EQ(EnglishOf(mm.Measured(6.214, 0.0001)), "6.21 ± 0.01 mm");  // never ± 0.00
  EXPECT_EQ(EnglishOf(mm.Measured(-0.001, 0.1)), "0.00 ± 0.20 mm");
}

TEST(LengthFormat, SetsInchesBesideMillimetres) {
  const LengthFormat inches{true, 64};
  EXPECT_EQ(EnglishOf(inches.Measured(6.35, 0.127)), "6.35 ± 0.25 mm (0.250 ± 0.010 in, ≈ 1/4 in)");
  EXPECT_EQ(EnglishOf(inches.Plain(1.59)), "1.59 mm (0.063 in, ≈ 1/16 in)");
}

TEST(Text, NeverPrintsNan) {
  const LengthFormat inches{true, 64};
  for (const double none : {std::nan(""), double{INFINITY}, double{-INFINITY}}) {
    for (const Text& text :
         {inches.Measured(none, 0.1), inches.Plain(none), Typed(FractionText(none, 64).toStdString()), DegText(none),
          PlaceText(none, false), SpanText(none, 3, false), SpanText(3, none, true)})
      EXPECT_EQ(EnglishOf(text), "not measurable from this recording");
    EXPECT_EQ(EnglishOf(inches.Measured(6, none)), "6.00 mm (0.236 in, ≈ 15/64 in) (uncertainty not stated)");
  }
}

TEST(Text, NamesPlacesByClockOnlyWhenThePicturesUpIsKnown) {
  EXPECT_EQ(EnglishOf(PlaceText(135, false)), "4:30 (135.0°)");
  EXPECT_EQ(EnglishOf(PlaceText(135, true)), "135.0° relative");
  EXPECT_EQ(EnglishOf(SpanText(352, 4, false)), "11:44 to 12:08 (352.0° to 4.0°)");
  EXPECT_EQ(EnglishOf(SpanText(0, 360, false)), "all round");
  EXPECT_EQ(EnglishOf(DegText(359.97)), "0.0°");
}

/// Radius 180/pi: one degree is one millimetre of arc, so that marks can be counted by hand.
TEST(Ticks, ArcMarksStandWhereCountedByHand) {
  const double radius = 180.0 / std::acos(-1.0);
  const auto ticks = ArcTicks(90, 120, radius, 10);
  ASSERT_EQ(ticks.size(), 7u);  // 90, 95, ..., 120 mm
  EXPECT_NEAR(ticks[0].theta_deg, 90, 1e-9);
  EXPECT_EQ(ticks[0].label, "90");
  EXPECT_EQ(ticks[1].label, "");
  EXPECT_EQ(ticks[6].label, "120");
}

TEST(Ticks, ClockMarksStandWhereCountedByHand) {
  const auto ticks = ClockTicks(240, 360);  // 8 o'clock to 12 o'clock
  ASSERT_EQ(ticks.size(), 9u);
  EXPECT_EQ(ticks[0].label, "8");
  EXPECT_EQ(ticks[1].label, "");
  EXPECT_EQ(ticks[2].label, "9");
  EXPECT_EQ(ticks[2].theta_deg, 270);
  EXPECT_EQ(ticks[8].label, "12");
}

/// NPS 6 Sch 80, published bore 146.36 mm: 38.3 mm of arc to the clock hour (pi x 146.36 / 12), by hand.
TEST(Ticks, FortyMillimetresOfArcLieJustPastOneOClock) {
  const auto ticks = ArcTicks(0, 60, 146.36 / 2, 20);
  EXPECT_EQ(ticks[8].label, "40");
  EXPECT_NEAR(ticks[8].theta_deg, 40.0 / 38.317 * 30.0, 0.01);
}

TEST(StripRows, GivesAtLeastLifeSizeAndCutsOnClockHours) {
  EXPECT_EQ(StripRows(164.9, 165), 1);  // NPS 2 Sch 40
  EXPECT_EQ(StripRows(484.1, 165), 3);  // NPS 6 Sch 40
  EXPECT_EQ(StripRows(907.4, 165), 6);  // NPS 12 Sch 80
  EXPECT_EQ(StripRows(9000, 165), 12);
}

}  // namespace
}  // namespace app::report
