#include "vision/fusion/breaks.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <opencv2/imgproc.hpp>

#include "tests/bead/strip_maker.h"
#include "vision/fusion/fusion.h"

namespace {

using vision::fusion::Break;
using vision::fusion::BreakOptions;
using vision::fusion::Breaks;
using vision::fusion::FindBreaks;
using vision::fusion::State;

constexpr double kRadius_mm = 60, kMiddle_deg = 150;

double DegOf(double arc_mm) { return arc_mm / kRadius_mm * 180 / std::numbers::pi; }

/// A rippled bead with a straight toe whose near flank (1.9 times the wall) lacks over an arc: `inside` times the wall
/// from the toe inward over `deep_mm`, wall beyond.
struct WithBreak {
  double arc_mm = 2, inside = 0.85, deep_mm = 2, from_toe_mm = 0, ripple = 0.15, flank = 1.9;
  double every_mm = 0;       ///< Repeats the break round the joint; 0 = once.
  double gaps_every_mm = 0;  ///< Dark gaps of half a millimetre, as dark as the break, beside it; 0 = none.
  bool near_is_left = true, round = false;

  vision::unroll::Strip Make() const {
    vision::unroll::Strip s;
    s.grid = vision::unroll::StripGrid::Over(kRadius_mm, -10, 10);
    cv::Mat1f grey(s.grid.rows, s.grid.columns);
    cv::RNG rng(11);
    for (int r = 0; r < grey.rows; ++r)
      for (int c = 0; c < grey.cols; ++c)
        grey(r, c) = static_cast<float>(80 * At(s.grid.ThetaDeg(c), Z(s.grid.ZMm(r))));
    cv::GaussianBlur(grey, grey, cv::Size(0, 0), 1.5);
    cv::Mat1f noise(grey.size());
    rng.fill(noise, cv::RNG::NORMAL, 0, 2);
    grey += noise;
    cv::Mat1b bytes;
    grey.convertTo(bytes, CV_8U);
    cv::cvtColor(bytes, s.image, cv::COLOR_GRAY2BGR);
    s.source_frame = cv::Mat1s(grey.size(), static_cast<short>(0));
    s.resolution_arc_mm = s.resolution_z_mm = cv::Mat1f(grey.size(), 0.25F);
    return s;
  }
  /// z with the near toe at -2.5, whichever side that is.
  double Z(double z_mm) const { return near_is_left ? z_mm : -z_mm; }
  double At(double theta_deg, double z_mm) const {
    if (z_mm < -2.5 || z_mm > 2.5) return 1;
    const double in = z_mm + 2.5 - from_toe_mm;
    double arc = (theta_deg - kMiddle_deg) * std::numbers::pi / 180 * kRadius_mm;
    if (every_mm > 0) arc = std::remainder(arc, every_mm);
    const bool broken = round ? std::hypot(arc, in - 0.5 * arc_mm) < 0.5 * arc_mm
                              : std::abs(arc) < 0.5 * arc_mm && in > 0 && in < deep_mm;
    if (broken) return in < 0.6 || round ? inside : 1.05;
    if (gaps_every_mm > 0 && std::abs(arc) > 0.5 * arc_mm + 1.5 && z_mm < 1 &&
        std::abs(std::remainder(arc, gaps_every_mm)) < 0.25)
      return inside;
    return (z_mm < 1 ? flank : 0.8) * (1 + ripple * std::sin(2 * std::numbers::pi * (arc + 0.4 * z_mm) / 1.3));
  }
  vision::bead::ToeLine Toe() const {
    vision::bead::ToeLine toe;
    toe.z_mm.assign(720, near_is_left ? -2.5 : 2.5);
    toe.u_mm.assign(720, 0.1);
    toe.visible.assign(720, 1);
    toe.reason.assign(720, "");
    return toe;
  }
  Breaks Find() const {
    BreakOptions options;
    options.near_is_left = near_is_left;
    return FindBreaks(Make(), Toe(), options);
  }
};

TEST(Breaks, ArcsOfOneToFiveMillimetresAreFoundWithTheirEnds) {
  for (const double arc_mm : {1.2, 1.5, 2.5, 4.0, 5.0})
    for (const bool left : {true, false}) {
      WithBreak made;
      made.arc_mm = arc_mm, made.near_is_left = left;
      const auto found = made.Find().found;
      ASSERT_EQ(found.size(), 1U) << arc_mm;
      EXPECT_TRUE(found[0].believed) << arc_mm;
      EXPECT_NEAR(found[0].length_deg, DegOf(arc_mm), DegOf(0.3));
      EXPECT_NEAR(found[0].start_deg + 0.5 * found[0].length_deg, kMiddle_deg, DegOf(0.25));
    }
}

TEST(Breaks, AnArcOfHalfAMillimetreIsOnlyDoubtful) {
  WithBreak made;
  made.arc_mm = 0.5;
  const auto found = made.Find().found;
  ASSERT_EQ(found.size(), 1U);
  EXPECT_FALSE(found[0].believed);
}

TEST(Breaks, ACoarsePictureBelievesNoShortOne) {
  WithBreak made;
  made.arc_mm = 1.2;
  auto strip = made.Make();
  strip.resolution_arc_mm.setTo(0.8F);
  const auto breaks = FindBreaks(strip, made.Toe(), {});
  ASSERT_EQ(breaks.found.size(), 1U);
  EXPECT_FALSE(breaks.found[0].believed);
  EXPECT_NEAR(breaks.smallest_mm[20], 1.6, 0.01);
}

TEST(Breaks, AWholeBeadHasNone) {
  WithBreak made;
  made.arc_mm = 0;
  EXPECT_TRUE(made.Find().found.empty());
}

// Nearer to the toe than this a deep pore looks like a break and is called one: a place to look at either way.
TEST(Breaks, APoreInsideTheToeIsNoBreak) {
  for (const auto& [diameter_mm, from_toe_mm] : {std::pair{0.9, 0.3}, {1.2, 0.3}, {1.2, 0.5}, {1.6, 0.4}}) {
    WithBreak made;
    made.round = true, made.arc_mm = diameter_mm, made.from_toe_mm = from_toe_mm, made.inside = 0.3, made.flank = 1.6;
    for (const Break& at : made.Find().found) EXPECT_FALSE(at.believed) << diameter_mm << " " << from_toe_mm;
  }
}

// Behind the gap lies the ring's dull top; a bright flank there is a scratch or a stain at the toe.
TEST(Breaks, WithABrightFlankBehindItItIsNotBelieved) {
  WithBreak made;
  made.deep_mm = 0.75;
  const auto found = made.Find().found;
  ASSERT_EQ(found.size(), 1U);
  EXPECT_FALSE(found[0].believed);
}

// The dark between two glints repeats round the joint; a break does not.
TEST(Breaks, TheDarkBetweenGlintsIsNotBelieved) {
  WithBreak made;
  made.arc_mm = 1.2, made.every_mm = 9;
  const auto found = made.Find().found;
  EXPECT_GT(found.size(), 20U);
  for (const Break& at : found) EXPECT_FALSE(at.believed);
}

// Short dark gaps between glints, a tenth of the flank and as dark as the break, do not make a long one doubtful.
TEST(Breaks, ALongOneIsHeldAgainstPlacesAsLong) {
  WithBreak made;
  made.arc_mm = 3.5, made.gaps_every_mm = 4;
  const auto found = made.Find().found;
  const auto at = std::find_if(found.begin(), found.end(), [](const Break& one) {
    return std::abs(one.start_deg + 0.5 * one.length_deg - kMiddle_deg) < DegOf(0.5);
  });
  ASSERT_NE(at, found.end());
  EXPECT_TRUE(at->believed);
  EXPECT_GT(at->below, 0.2);
  EXPECT_EQ(std::count_if(found.begin(), found.end(), [](const Break& one) { return one.believed; }), 1);
}

TEST(Breaks, LongDarkPlacesThatRepeatAreNotBelieved) {
  WithBreak made;
  made.arc_mm = 2.1, made.every_mm = 19;
  const auto found = made.Find().found;
  EXPECT_FALSE(found.empty());
  for (const Break& at : found) {
    EXPECT_FALSE(at.believed);
    EXPECT_LT(at.below, 0.1);
  }
}

TEST(Breaks, WhatHidesTheWallIsNoBreak) {
  WithBreak made;
  made.arc_mm = 0;
  auto strip = made.Make();
  const int from = strip.grid.NearestColumn(kMiddle_deg - 1), to = strip.grid.NearestColumn(kMiddle_deg + 1);
  strip.image.colRange(from, to).setTo(cv::Vec3b(0, 0, 0));
  strip.source_frame.colRange(from, to).setTo(-1);
  EXPECT_TRUE(FindBreaks(strip, made.Toe(), {}).found.empty());
}

TEST(Breaks, NoneWhereTheToeBesideIsNotStated) {
  WithBreak made;
  auto toe = made.Toe();
  for (std::size_t i = 290; i < 310; ++i) toe.visible[i] = 0;
  EXPECT_TRUE(FindBreaks(made.Make(), toe, {}).found.empty());
}

TEST(Breaks, SaysWhereAShortOneWouldHaveShown) {
  WithBreak bright, dull;
  dull.flank = 1.1;
  EXPECT_NEAR(bright.Find().smallest_mm[20], 0.9, 1e-9);
  EXPECT_TRUE(std::isnan(dull.Find().smallest_mm[20]));
}

// Short arcs through the whole fusion finder: the run is there, and nothing beside it is called fused.
TEST(Fusion, AShortArcIsARunAndNothingOfItIsCalledFused) {
  WithBreak made;
  made.arc_mm = 1.5;
  vision::bead::BeadToes toes;
  toes.weld_found = true;
  toes.left = made.Toe();
  toes.right = made.Toe();
  for (double& z : toes.right.z_mm) z = 2.5;
  auto strip = made.Make();
  strip.valid = cv::Mat1b(strip.image.size(), 255);
  strip.clipped = cv::Mat1b(strip.image.size(), 0);
  const auto f = vision::fusion::FindFusion(strip, toes, {.insert_width_mm = 4, .radius_mm = kRadius_mm});
  ASSERT_TRUE(f.ok());
  ASSERT_EQ(f.value().runs.size(), 1U);
  EXPECT_NEAR(f.value().runs[0].start_deg, kMiddle_deg - 0.5 * DegOf(1.5), 0.6);
  EXPECT_EQ(f.value().left[300], State::kUnfused);
  EXPECT_EQ(std::count(f.value().left.begin() + 298, f.value().left.begin() + 303, State::kFused), 0);
  EXPECT_EQ(f.value().right[300], State::kNotVisible);
}

TEST(Breaks, UnusableOptionsNameTheField) {
  BreakOptions options;
  options.least_drop = 0.1;
  ASSERT_TRUE(options.Check());
  EXPECT_NE(options.Check()->message.find("doubtful_drop"), std::string::npos);
}

}  // namespace
