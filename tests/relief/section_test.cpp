#include "vision/relief/section.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "vision/base/says.h"

namespace vision::relief {
namespace {

/// A weld by formula: walls at 0 and `step`, toes at -3 and +3, a parabola of `crown` over the chord between them.
double Height(double z, double step, double crown) {
  if (z <= -3) return 0;
  if (z >= 3) return step;
  return step * (z + 3) / 6 + crown * (1 - z * z / 9);
}

Relief WeldByFormula(double step, double crown, float u_mm = 0.01F) {
  Relief relief = EmptyRelief(77, -8, 8, 0.2, How::kLightSection);
  for (int row = 0; row < relief.grid.rows; ++row)
    for (int c = 0; c < relief.grid.columns; ++c) {
      relief.h_mm(row, c) = static_cast<float>(Height(relief.grid.ZMm(row), step, crown));
      relief.u_mm(row, c) = u_mm;
    }
  return relief;
}

ToeHints ToesAtThree() {
  const std::vector<double> u(720, 0.05);
  return {std::vector<double>(720, -3.0), std::vector<double>(720, 3.0), u, u};
}

TEST(Relief, AnEmptyOneIsSoundAndAWrongOneSaysWhatIsWrong) {
  Relief relief = EmptyRelief(77, -8, 8, 0.2, How::kTravel);
  EXPECT_FALSE(relief.Check());
  EXPECT_EQ(relief.grid.rows, 81);
  EXPECT_EQ(cv::countNonZero(relief.h_mm == relief.h_mm), 0);
  relief.u_mm = cv::Mat1f(3, 3, 0.F);
  ASSERT_TRUE(relief.Check());
  EXPECT_NE(relief.Check()->message.find("as large as the grid"), std::string::npos);
}

// Numbers by hand: crown 1.2 over the chord of walls at 0 and 0.6. Over the left wall the surface is highest where
// 0.6 (z + 3) / 6 + 1.2 (1 - z^2 / 9) has no slope: z = 0.375, height 1.51875; over the right wall 0.91875.
TEST(SectionOf, CrownOverTheChordAndOverEachWall) {
  const auto lines = SectionOf(WeldByFormula(0.6, 1.2), {}, ToesAtThree());
  ASSERT_TRUE(lines.ok());
  for (const auto& line : lines.value()) {
    EXPECT_NEAR(line.misalignment, 0.6, 0.005);
    EXPECT_NEAR(line.crown, 1.2, 0.01);
    EXPECT_NEAR(line.crown_over_left, 1.51875, 0.01);
    EXPECT_NEAR(line.crown_over_right, 0.91875, 0.01);
    EXPECT_NEAR(line.concavity, 0, 0.01);
    EXPECT_TRUE(line.why.empty());
  }
}

// 0.9 under the chord of walls at 0 and 0.6: under the right wall lowest at z = -0.5 (slope 0.1 - 0.2 * -0.5... = 0):
// 0.6 - (0.25 - 0.9 * (1 - 0.25 / 9)) = 1.225; under the left wall 0.625.
TEST(SectionOf, ConcavityUnderTheChordAndUnderEachWall) {
  const auto lines = SectionOf(WeldByFormula(0.6, -0.9), {}, ToesAtThree());
  ASSERT_TRUE(lines.ok());
  const auto& line = lines.value()[100];
  EXPECT_NEAR(line.concavity, 0.9, 0.01);
  EXPECT_NEAR(line.concavity_under_right, 1.225, 0.01);
  EXPECT_NEAR(line.concavity_under_left, 0.625, 0.01);
  EXPECT_NEAR(line.crown, 0, 0.01);
}

// By hand: 1.5 mm to either side are averaged, 4 columns of 0.333 mm at R = 38.2. The 20 empty ones are 100 to 109.5
// degrees; a column is averaged while more than 4.5 of its 9 are measured, so it is stated as near as the hole's edge.
TEST(SectionOf, AHoleTakesNothingFromTheRestOfTheRing) {
  Relief relief = EmptyRelief(38.2, -8, 8, 0.2, How::kLightSection);
  for (int row = 0; row < relief.grid.rows; ++row)
    for (int c = 0; c < 720; ++c) {
      if (c >= 200 && c < 220) continue;
      relief.h_mm(row, c) = static_cast<float>(Height(relief.grid.ZMm(row), 0.6, 1.2));
      relief.u_mm(row, c) = 0.02F;
    }
  const auto lines = SectionOf(relief, {}, ToesAtThree());
  ASSERT_TRUE(lines.ok());
  for (int c = 0; c < 720; ++c) {
    const auto& line = lines.value()[static_cast<std::size_t>(c)];
    if (c >= 200 && c < 220)
      EXPECT_FALSE(std::isfinite(line.crown)) << line.theta_deg;
    else
      EXPECT_NEAR(line.crown, 1.2, 0.01) << line.theta_deg;
  }
}

TEST(SectionOf, FindsTheToesByHeightWhereTheSurfaceLeavesTheWallSteeply) {
  const auto lines = SectionOf(WeldByFormula(-0.3, 1.5));
  ASSERT_TRUE(lines.ok());
  EXPECT_NEAR(lines.value()[40].toe_left_z, -3, 0.3);
  EXPECT_NEAR(lines.value()[40].toe_right_z, 3, 0.3);
}

/// A parabola to the power of 1.3 between toes that run around the bore (-2.6 + 0.3 cos, 3.1 + 0.3 sin), walls 0.5
/// apart: not the shape that is fitted, and it leaves the wall without a kink.
TEST(SectionOf, FindsToesThatRunAroundTheBoreFromAShapeThatIsNotItsOwn) {
  Relief relief = WeldByFormula(0, 0);
  std::mt19937 random(3);
  std::normal_distribution<float> noise(0, 0.02F);
  const auto left = [](int c) { return -2.6 + 0.3 * std::cos(c * CV_PI / 360); };
  const auto right = [](int c) { return 3.1 + 0.3 * std::sin(c * CV_PI / 360); };
  for (int c = 0; c < 720; ++c)
    for (int row = 0; row < relief.grid.rows; ++row) {
      const double t = std::clamp((relief.grid.ZMm(row) - left(c)) / (right(c) - left(c)), 0.0, 1.0);
      relief.h_mm(row, c) = static_cast<float>(0.5 * t + std::pow(4 * t * (1 - t), 1.3)) + noise(random);
      if (c > 500 && c < 560) relief.h_mm(row, c) = NAN;  // the camera's own arm
    }
  const auto lines = SectionOf(relief);
  ASSERT_TRUE(lines.ok());
  for (int c = 0; c < 720; c += 9) {
    const auto& line = lines.value()[static_cast<std::size_t>(c)];
    EXPECT_NEAR(line.toe_left_z, left(c), 0.5) << c;
    EXPECT_NEAR(line.toe_right_z, right(c), 0.5) << c;
    EXPECT_LE(std::abs(line.toe_left_z - left(c)), 2 * line.toe_left_u) << c;
    if (c <= 496 || c >= 564) {
      EXPECT_NEAR(line.crown, 1, 0.1) << c;
    }
  }
}

/// Picture and surface tell the right toe 1.2 mm apart: either may be wrong, so the middle, and the half in its u.
TEST(SectionOf, AToeThatTwoWitnessesHaveElsewhereIsInDoubt) {
  ToeHints hints = ToesAtThree();
  const auto surface = SectionOf(WeldByFormula(-0.3, 1.5));
  ASSERT_TRUE(surface.ok());
  const double by_surface = surface.value()[40].toe_right_z;
  hints.right_z_mm.assign(720, by_surface + 1.2);
  const SectionLine line = SectionOf(WeldByFormula(-0.3, 1.5), {}, hints).value()[40];
  EXPECT_NEAR(line.toe_right_z, by_surface + 0.6, 0.02);
  EXPECT_GE(line.toe_right_u, 0.6);
  EXPECT_LT(line.toe_left_u, 0.1);
}

// By hand: walls 1.2 apart over 6 mm, so the chord leans by 0.2; right toe uncertain by 0.5: half of it at the crest's
// place in the middle, 0.2 * 0.5 * 0.5 = 0.05.
TEST(SectionOf, AToesPlaceCountsInTheCrownAsTheChordLeans) {
  const auto crown_u = [](double step, double toe_u) {
    ToeHints hints = ToesAtThree();
    hints.right_u_mm.assign(720, toe_u);
    return SectionOf(WeldByFormula(step, 1.5), {}, hints).value()[40].crown_u;
  };
  const double level = std::sqrt(std::pow(crown_u(0, 0.5), 2) - std::pow(crown_u(0, 0.05), 2));
  const double leaning = std::sqrt(std::pow(crown_u(1.2, 0.5), 2) - std::pow(crown_u(1.2, 0.05), 2));
  const SectionLine line = SectionOf(WeldByFormula(1.2, 1.5), {}, ToesAtThree()).value()[40];
  EXPECT_LT(line.toe_right_u, 0.1);
  EXPECT_GT(std::sqrt(leaning * leaning - level * level), 0.015);
  EXPECT_LT(std::sqrt(leaning * leaning - level * level), 0.05);  // the surface tells the toe too
}

/// What a stripe that is followed wrongly on a bead leaves behind: a jump of 2.5 mm.
void Tear(Relief& relief, int from, int to) {
  for (int c = from; c < to; ++c)
    for (int row = 0; row < relief.grid.rows; ++row)
      if (std::abs(relief.grid.ZMm(row) + 1.5) < 0.3) relief.h_mm(row, c) = 2.5F + 0.6F;
}

TEST(SectionOf, NothingIsStatedWhereTheSurfaceIsTorn) {
  Relief relief = WeldByFormula(0.3, 1);
  Tear(relief, 100, 130);
  const auto lines = SectionOf(relief, {}, ToesAtThree());
  EXPECT_TRUE(std::isnan(lines.value()[115].crown) && std::isnan(lines.value()[115].concavity));
  EXPECT_EQ(lines.value()[115].why.code, Says::kStripeTorn);
  EXPECT_NEAR(lines.value()[300].crown, 1, 0.02);
}

TEST(SectionOf, WhatIsLeftOfAStripeLostOverMostOfTheBeadIsNotTrusted) {
  Relief torn = WeldByFormula(0.3, 1), hidden = torn;
  Tear(torn, 0, 400);
  const auto lines = SectionOf(torn, {}, ToesAtThree());
  EXPECT_TRUE(std::isnan(lines.value()[600].crown) && std::isnan(lines.value()[600].concavity_under_right));
  EXPECT_EQ(lines.value()[600].why.code, Says::kStripeLost);
  EXPECT_NEAR(lines.value()[600].misalignment, 0.3, 0.05) << "the walls were seen all the same";
  hidden.h_mm.colRange(0, 400) = NAN;  // by the camera's own arm: that says nothing about the rest
  EXPECT_NEAR(SectionOf(hidden, {}, ToesAtThree()).value()[600].crown, 1, 0.02);
}

TEST(SectionOf, AnUndercutIsADipBesideTheToeAndAConcaveRootIsNone) {
  Relief relief = WeldByFormula(0, 1.0);
  for (int c = 0; c < 720; ++c)
    for (int row = 0; row < relief.grid.rows; ++row)
      if (std::abs(relief.grid.ZMm(row) + 3) < 0.35) relief.h_mm(row, c) = -0.4F;
  const auto cut = SectionOf(relief, {}, ToesAtThree());
  EXPECT_NEAR(cut.value()[300].undercut_left, 0.4, 0.03);
  EXPECT_NEAR(cut.value()[300].undercut_right, 0, 0.03);
  const auto concave = SectionOf(WeldByFormula(0, -1), {}, ToesAtThree());
  EXPECT_NEAR(concave.value()[300].undercut_left, 0, 0.03);
}

TEST(SectionOf, NothingIsStatedAcrossAGap) {
  Relief relief = WeldByFormula(0, 1);
  for (int c = 200; c < 300; ++c)
    for (int row = 0; row < relief.grid.rows; ++row)
      if (std::abs(relief.grid.ZMm(row) - 0.5) < 1.1) relief.h_mm(row, c) = NAN;
  const auto lines = SectionOf(relief, {}, ToesAtThree());
  EXPECT_TRUE(std::isnan(lines.value()[250].crown));
  EXPECT_EQ(lines.value()[250].why.code, Says::kHeightGap);
  EXPECT_TRUE(std::isfinite(lines.value()[400].crown));
}

// Propagation by Monte Carlo (JCGM 101): cells err by their own u and all cells of one row by a shared first harmonic,
// as a pose's error leaves it; what is stated must hold k = 2 in about 95 % of the draws.
TEST(SectionOf, StatedUncertaintyAgreesWithMonteCarlo) {
  std::mt19937 random(7);
  std::normal_distribution<float> normal;
  int inside_crown = 0, inside_step = 0, all = 0;
  for (int draw = 0; draw < 40; ++draw) {
    Relief relief = WeldByFormula(0.4, 1.0, 0.05F);
    relief.shared_u_mm = 0.03;
    // a wall or a crown is a stretch of cuts: their errors go together over a few mm
    for (int stretch = 0; stretch < 3; ++stretch) {
      const float a = 0.03F * normal(random), b = 0.03F * normal(random);
      for (int row = stretch * 27; row < (stretch + 1) * 27; ++row)
        for (int c = 0; c < 720; ++c) {
          const auto theta = static_cast<float>(c) * 0.5F * 0.0174533F;
          relief.h_mm(row, c) += a * std::cos(theta) + b * std::sin(theta) + 0.04F * normal(random);
        }
    }
    const auto lines = SectionOf(relief, {}, ToesAtThree());
    for (const auto& line : lines.value()) {
      ++all;
      inside_crown += std::abs(line.crown - 1.0) <= 2 * line.crown_u;
      inside_step += std::abs(line.misalignment - 0.4) <= 2 * line.misalignment_u;
    }
  }
  EXPECT_GT(inside_crown, 0.90 * all);
  EXPECT_LT(inside_crown, 0.999 * all);
  EXPECT_GT(inside_step, 0.90 * all);
  EXPECT_LT(inside_step, 0.9995 * all);
}

}  // namespace
}  // namespace vision::relief
