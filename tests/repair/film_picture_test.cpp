#include "app/repair/film_picture.h"

#include <gmock/gmock.h>

namespace app::repair {
namespace {

using testing::HasSubstr;

/// A number each 50 mm, 528.6 mm round, clockwise from 12 looking along +z.
const Belt kBelt{View::kAlongPlusZ, 0, Turn::kClockwise, 50, 528.6};

/// By hand: number 2 lies at 100 / 528.6 * 360 = 68.104 degrees, 3 at 102.157, 4 at 136.209.
TEST(FilmPicture, EachPairOfNumbersIsPinnedByItself) {
  const auto stretches = StretchesOf({"film.png", {{2, 100}, {3, 620}, {4, 1100}}}, kBelt);
  ASSERT_EQ(stretches.size(), 2u);
  EXPECT_EQ(stretches[0].x_from_px, 100);
  EXPECT_EQ(stretches[0].x_to_px, 620);
  EXPECT_NEAR(stretches[0].theta_from_deg, 68.104, 0.001);
  EXPECT_NEAR(stretches[0].theta_to_deg, 102.157, 0.001);
  EXPECT_EQ(stretches[1].x_from_px, 620);
  EXPECT_NEAR(stretches[1].theta_to_deg, 136.209, 0.001);
}

TEST(FilmPicture, ReadFromTheOtherFaceItsAnglesFallFromLeftToRight) {
  const auto stretches = StretchesOf({"film.png", {{3, 100}, {2, 620}}}, kBelt);
  EXPECT_NEAR(stretches[0].theta_from_deg, 102.157, 0.001);
  EXPECT_NEAR(stretches[0].theta_to_deg, 68.104, 0.001);
}

/// By hand: number 10 lies at 500 / 528.6 * 360 = 340.522 degrees, 28.6 mm before number 0.
TEST(FilmPicture, ItRunsThroughNumberZero) {
  const auto on = StretchesOf({"film.png", {{10, 0}, {0, 286}, {1, 786}}}, kBelt);
  EXPECT_NEAR(on[0].theta_from_deg, 340.522, 0.001);
  EXPECT_NEAR(on[0].theta_to_deg, 360, 0.001);
  EXPECT_NEAR(on[1].theta_from_deg, 0, 0.001);
  EXPECT_NEAR(on[1].theta_to_deg, 34.052, 0.001);
  const auto back = StretchesOf({"film.png", {{1, 0}, {0, 500}, {10, 786}}}, kBelt);
  EXPECT_NEAR(back[1].theta_from_deg, 0, 0.001);
  EXPECT_NEAR(back[1].theta_to_deg, -19.478, 0.001);
}

/// Against +z and anticlockwise the numbers run with theta again; clockwise against it they run down.
TEST(FilmPicture, ViewAndTurnOfTheBeltTellWhichWay) {
  Belt belt{View::kAgainstPlusZ, 90, Turn::kAnticlockwise, 50, 528.6};  // zero at theta 270
  EXPECT_NEAR(StretchesOf({"", {{0, 0}, {1, 500}}}, belt)[0].theta_to_deg, 270 + 34.052, 0.001);
  belt.numbers_run = Turn::kClockwise;
  EXPECT_NEAR(StretchesOf({"", {{0, 0}, {1, 500}}}, belt)[0].theta_to_deg, 270 - 34.052, 0.001);
}

TEST(FilmPicture, WhatPinsNothingIsRefusedByName) {
  const auto said = [](std::vector<FilmMarker> markers) {
    const auto fault = FilmPicture{"film.png", std::move(markers)}.Check(kBelt);
    return fault ? fault->message : std::string();
  };
  EXPECT_EQ(said({{2, 100}, {3, 620}}), "");
  EXPECT_EQ(said({{10, 0}, {0, 286}, {1, 786}}), "");
  EXPECT_THAT(said({{2, 100}}), HasSubstr("two numbers or more"));
  EXPECT_THAT(said({{2, 100}, {11, 620}}), HasSubstr("number 11 is not on the belt, which has 0 to 10"));
  EXPECT_THAT(said({{2, 620}, {3, 100}}), HasSubstr("x_px must rise"));
  EXPECT_THAT(said({{2, 0}, {3, 500}, {2, 1000}}), HasSubstr("turn round at number 2"));
  EXPECT_THAT(said({{2, 0}, {2, 500}}), HasSubstr("one way"));
  std::vector<FilmMarker> round;
  for (int k = 0; k < 14; ++k) round.push_back({k % 11, 100.0 * k});
  EXPECT_THAT(said(round), HasSubstr("more than once round"));
}

}  // namespace
}  // namespace app::repair
