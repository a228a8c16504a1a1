#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <random>

#include "app/repair/film_station.h"
#include "vision/bore/angle.h"

namespace app::repair {
namespace {

// NPS 6 Sch 80 (ASME B36.10M: 168.275 mm outside, 10.973 mm wall), belt every 50 mm.
constexpr double kOutsideMm = 168.275, kBoreRadiusMm = (kOutsideMm - 2 * 10.973) / 2;

Belt BeltOf(View view, Turn turn, double zero_clock_deg = 0) {
  return {view, zero_clock_deg, turn, 50, std::numbers::pi * kOutsideMm};
}

FilmIndication AtNumber(int number) {
  FilmIndication indication;
  indication.number = number;
  indication.interval_on_film_mm = 52;
  return indication;
}

// Worked by hand: belt 200 mm of 528.65 mm is 136.2 degrees, 173.9 mm of arc inside.
TEST(FilmStation, TwoHundredMillimetresOfBelt) {
  const auto located = Locate(BeltOf(View::kAlongPlusZ, Turn::kClockwise), AtNumber(4), kBoreRadiusMm).value();
  ASSERT_EQ(located.candidates.size(), 1u);
  EXPECT_NEAR(located.candidates[0].theta_deg, 136.2, 0.05);
  EXPECT_NEAR(located.candidates[0].inside_arc_mm, 173.9, 0.05);
  EXPECT_NEAR(located.candidates[0].band_half_deg, 360 * 25 / 528.65, 1e-3);  // half a spacing beats 10 mm
}

struct Combination {
  View view;
  Turn turn;
  double theta_zero_12, theta_zero_1;  ///< Expected with number 0 at 12 o'clock, and at 1 o'clock in that view.
};

class EveryCombination : public testing::TestWithParam<Combination> {};

// By hand, with a strip of paper laid round a cylinder in mind: 136.2 degrees along the belt from zero. Looking against
// +z mirrors what that person calls clockwise and where they see number 0.
TEST_P(EveryCombination, WorkedByHand) {
  const Combination& c = GetParam();
  EXPECT_NEAR(Locate(BeltOf(c.view, c.turn), AtNumber(4), kBoreRadiusMm).value().candidates[0].theta_deg,
              c.theta_zero_12, 0.05);
  EXPECT_NEAR(Locate(BeltOf(c.view, c.turn, 30), AtNumber(4), kBoreRadiusMm).value().candidates[0].theta_deg,
              c.theta_zero_1, 0.05);
}

INSTANTIATE_TEST_SUITE_P(ByHand, EveryCombination,
                         testing::Values(Combination{View::kAlongPlusZ, Turn::kClockwise, 136.2, 166.2},
                                         Combination{View::kAlongPlusZ, Turn::kAnticlockwise, 223.8, 253.8},
                                         Combination{View::kAgainstPlusZ, Turn::kClockwise, 223.8, 193.8},
                                         Combination{View::kAgainstPlusZ, Turn::kAnticlockwise, 136.2, 106.2}));

// Seen from outside with +z up, theta grows to the right (looking along -y at the top of the pipe, up = +z: right = -x,
// and theta grows towards -x there). Read from the source side it is mirrored; so it is with -z up.
TEST(FilmStation, TheFilmsFaceOnlySignsTheDistanceFromTheMarker) {
  const Belt belt = BeltOf(View::kAlongPlusZ, Turn::kClockwise);
  const auto theta = [&](Side side, View up, bool outside) {
    FilmIndication at = AtNumber(4);
    at.side = side, at.film_mm = 10.4, at.up_points = up, at.read_from_outside = outside;  // 10 mm on the pipe
    return Locate(belt, at, kBoreRadiusMm).value().candidates[0].theta_deg;
  };
  const double later = 360 * 210 / belt.length_mm, earlier = 360 * 190 / belt.length_mm;
  EXPECT_NEAR(theta(Side::kRight, View::kAlongPlusZ, true), later, 1e-9);
  EXPECT_NEAR(theta(Side::kLeft, View::kAlongPlusZ, true), earlier, 1e-9);
  EXPECT_NEAR(theta(Side::kRight, View::kAlongPlusZ, false), earlier, 1e-9);
  EXPECT_NEAR(theta(Side::kRight, View::kAgainstPlusZ, true), earlier, 1e-9);
  EXPECT_NEAR(theta(Side::kRight, View::kAgainstPlusZ, false), later, 1e-9);
}

TEST(FilmStation, RightAndLeftAreRefusedWithoutTheFilmsFace) {
  FilmIndication at = AtNumber(2);
  at.side = Side::kRight;
  const auto located = Locate(BeltOf(View::kAlongPlusZ, Turn::kClockwise), at, kBoreRadiusMm);
  ASSERT_FALSE(located.ok());
  EXPECT_NE(located.error().message.find("up_points"), std::string::npos);
}

TEST(FilmStation, AnEllipseKeepsBothPlaces) {
  FilmIndication at = AtNumber(4);
  at.exposure = Exposure::kDoubleWallElliptic;
  const auto located = Locate(BeltOf(View::kAlongPlusZ, Turn::kClockwise), at, kBoreRadiusMm).value();
  ASSERT_EQ(located.candidates.size(), 2u);
  EXPECT_NEAR(located.candidates[1].theta_deg, 316.2, 0.05);
}

// Numbers 0 to 10 round 528.65 mm: the last interval is 28.65 mm, and half of it on the film is half of it on the pipe.
TEST(FilmStation, TheLastIntervalClosesTheBelt) {
  const Belt belt = BeltOf(View::kAlongPlusZ, Turn::kClockwise);
  EXPECT_EQ(belt.Numbers(), 11);
  FilmIndication at = AtNumber(10);
  at.film_mm = 26;
  EXPECT_NEAR(Locate(belt, at, kBoreRadiusMm).value().belt_mm, 500 + 28.652 / 2, 1e-2);
  at = AtNumber(0);
  at.side = Side::kTowardsLower, at.film_mm = 26;
  EXPECT_NEAR(Locate(belt, at, kBoreRadiusMm).value().belt_mm, 500 + 28.652 / 2, 1e-2);
}

TEST(FilmStation, BeyondTheBeltIsRefusedWithTheBeltsNumbers) {
  const auto located = Locate(BeltOf(View::kAlongPlusZ, Turn::kClockwise), AtNumber(11), kBoreRadiusMm);
  ASSERT_FALSE(located.ok());
  EXPECT_NE(located.error().message.find("0 to 10"), std::string::npos);
  FilmIndication at = AtNumber(3);
  at.film_mm = 60;
  EXPECT_FALSE(Locate(BeltOf(View::kAlongPlusZ, Turn::kClockwise), at, kBoreRadiusMm).ok());
}

TEST(FilmStation, PlacedAndMappedBackIsTheSamePlaceForAThousandDatums) {
  std::mt19937 random(20261125);
  std::uniform_real_distribution<double> angle(0, 360), spacing(20, 80), length(150, 1200), z(-15, 15);
  for (int i = 0; i < 1000; ++i) {
    Belt belt;
    belt.view = i % 2 ? View::kAlongPlusZ : View::kAgainstPlusZ;
    belt.numbers_run = i / 2 % 2 ? Turn::kClockwise : Turn::kAnticlockwise;
    belt.zero_clock_deg = angle(random), belt.spacing_mm = spacing(random), belt.length_mm = length(random);
    const double theta = angle(random);
    const auto mark = MarkOutside(belt, theta, z(random), "a", "b");
    FilmIndication at;
    at.number = mark.number;
    const double interval = mark.number == belt.Numbers() - 1 ? belt.LastIntervalMm() : belt.spacing_mm;
    at.interval_on_film_mm = 1.07 * interval;
    at.film_mm = std::min(1.07 * mark.beyond_mm, at.interval_on_film_mm);
    const auto located = Locate(belt, at, 70);
    ASSERT_TRUE(located.ok()) << located.error().message;
    EXPECT_NEAR(vision::bore::Wrap180(located.value().candidates[0].theta_deg - theta), 0, 1e-6);
    EXPECT_NEAR(ClockDegInView(ClockDegInView(theta, belt.view), belt.view), theta, 1e-9);
  }
}

}  // namespace
}  // namespace app::repair
