#include "vision/reading/edges.h"

#include <gtest/gtest.h>

#include <cmath>

#include "vision/evidence/evidence.h"
#include "vision/reading/look.h"

namespace vision::reading {
namespace {

constexpr double kRadius_mm = 80;
constexpr double kFused = 1e-4, kUnfused = 0.97;

Look From(bool plus_z, double chance) {
  Look look;
  look.facing = plus_z ? pose::Facing::kPlusZ : pose::Facing::kMinusZ;
  look.edge = {std::vector<double>(720, chance), std::vector<char>(720, 1), std::vector<double>(720, 1)};
  return look;
}

TEST(Edges, OnlyLooksThatHaveTheEdgeOnTheirNearSideSpeakOfIt) {
  const auto left = EdgeOf({From(false, kFused)}, true, kRadius_mm);
  EXPECT_EQ(left.state[10], Fusion::kNotVisible);
  EXPECT_EQ(EdgeOf({From(false, kFused)}, false, kRadius_mm).state[10], Fusion::kFused);
}

// By hand: log odds of 0.97 and 0.0001 are +3.476 and -9.210, their mean -2.867: a chance of 0.054.
TEST(Edges, LooksThatDisagreeAreNotCalledFused) {
  const auto edge = EdgeOf({From(true, kFused), From(true, kUnfused)}, true, kRadius_mm);
  EXPECT_NEAR(edge.unfused[0], 0.054, 0.001);
  EXPECT_EQ(edge.state[0], Fusion::kNotVisible);
}

// Four times the pixels, four times the say: (4 * 3.476 - 9.210) / 5 = +0.939, a chance of 0.719.
TEST(Edges, TheLookThatSeesTheEdgeFinerSaysMore) {
  Look near = From(true, kUnfused);
  std::fill(near.edge.weight.begin(), near.edge.weight.end(), 4);
  EXPECT_NEAR(EdgeOf({From(true, kFused), near}, true, kRadius_mm).unfused[0], 0.719, 0.001);
}

TEST(Edges, TwoLooksAlikeAreNoSurerThanOne) {
  const auto one = EdgeOf({From(true, kUnfused)}, true, kRadius_mm),
             two = EdgeOf({From(true, kUnfused), From(true, kUnfused)}, true, kRadius_mm);
  EXPECT_NEAR(two.unfused[0], one.unfused[0], 1e-12);
}

TEST(Edges, OddsMayBeSureEnoughForFused) {
  EXPECT_GT(evidence::TheTrust().fused_below, EdgeOptions().surest) << "else nothing is ever called fused";
}

TEST(Edges, FusedNeedsALookThatMaySaySo) {
  Look coarse = From(true, kFused);
  std::fill(coarse.edge.may_be_fused.begin(), coarse.edge.may_be_fused.end(), char{0});
  EXPECT_EQ(EdgeOf({coarse}, true, kRadius_mm).state[0], Fusion::kNotVisible);
  std::fill(coarse.edge.unfused.begin(), coarse.edge.unfused.end(), kUnfused);
  EXPECT_EQ(EdgeOf({coarse}, true, kRadius_mm).state[0], Fusion::kUnfused);
}

TEST(Edges,
     ARunShorterThanIsBelievedIsNotStated) {  // 80 mm * 0.5 degree = 0.698 mm a line: 2 lines 1.4 mm, 3 lines 2.1
  Look look = From(true, kFused);
  std::fill_n(look.edge.unfused.begin() + 100, 2, kUnfused);
  std::fill_n(look.edge.unfused.begin() + 200, 3, kUnfused);
  const auto edge = EdgeOf({look}, true, kRadius_mm);
  EXPECT_EQ(edge.state[100], Fusion::kNotVisible);
  EXPECT_EQ(edge.state[201], Fusion::kUnfused);
}

/// A chance between the two levels.
double Likely() { return 0.5 * (evidence::TheTrust().unfused_goes_on_above + evidence::TheTrust().unfused_above); }

TEST(Edges, ARunGoesOnWhereItIsLikelyButDoesNotBeginThere) {
  Look look = From(true, kFused);
  auto& chance = look.edge.unfused;
  std::fill_n(chance.begin() + 715, 5, Likely()), std::fill_n(chance.begin(), 10, Likely());  // across the seam
  std::fill_n(chance.begin() + 3, 3, kUnfused);
  std::fill_n(chance.begin() + 100, 40, Likely());
  std::fill_n(chance.begin() + 200, 40, Likely()), std::fill_n(chance.begin() + 210, 2, kUnfused);  // sure over 1.4 mm
  const auto edge = EdgeOf({look}, true, kRadius_mm);
  for (const std::size_t line : {715U, 719U, 0U, 4U, 9U}) EXPECT_EQ(edge.state[line], Fusion::kUnfused) << line;
  for (const std::size_t line : {714U, 10U}) EXPECT_EQ(edge.state[line], Fusion::kFused) << line;
  for (const std::size_t line : {100U, 120U, 205U, 211U}) EXPECT_EQ(edge.state[line], Fusion::kNotVisible) << line;
}

TEST(Edges, WhatIsNotInSightEndsARun) {
  Look look = From(true, kFused);
  std::fill_n(look.edge.unfused.begin() + 100, 6, kUnfused), std::fill_n(look.edge.unfused.begin() + 107, 6, Likely());
  look.edge.unfused[106] = std::nan("");
  const auto edge = EdgeOf({look}, true, kRadius_mm);
  EXPECT_EQ(edge.state[105], Fusion::kUnfused);
  for (const std::size_t line : {106U, 107U, 112U}) EXPECT_EQ(edge.state[line], Fusion::kNotVisible) << line;
}

/// A strip at 0.1 mm of wall a pixel, all in the picture, and a reader that is sure of everything.
struct Seen {
  unroll::Strip strip;
  evidence::StripEvidence said;
  bead::BeadToes toes;

  explicit Seen(float mm_per_px) {
    strip.grid = unroll::StripGrid::Over(kRadius_mm, -15, 15);
    strip.source_frame = cv::Mat1s(strip.grid.rows, strip.grid.columns, short{0});
    strip.resolution_z_mm = cv::Mat1f(strip.grid.rows, strip.grid.columns, mm_per_px);
    said.near.z_mm.assign(720, -2), said.near.hidden.assign(720, 0.01), said.unfused.assign(720, kFused);
    said.covered = cv::Mat1f(evidence::kBins, evidence::kLines, 0.F);
    toes.left.visible.assign(720, 1);
  }
};

TEST(NearEdge, IsToldWhereItIsInSightAndFineEnough) {
  const Seen seen(0.1F);
  const auto edge = NearEdgeFrom(seen.said, seen.toes, seen.strip);
  EXPECT_EQ(edge.unfused[5], kFused);
  EXPECT_TRUE(edge.may_be_fused[5]);
  EXPECT_NEAR(edge.weight[5], 100, 0.01);  // 0.1 mm a pixel
}

TEST(NearEdge, CoarseMayBeUnfusedButNeverFused) {
  const Seen seen(0.6F);
  const auto edge = NearEdgeFrom(seen.said, seen.toes, seen.strip);
  EXPECT_EQ(edge.unfused[5], kFused);
  EXPECT_FALSE(edge.may_be_fused[5]);
}

TEST(NearEdge, SaysNothingBehindAThingOutsideThePictureOrWhereItIsLikelyHidden) {
  Seen seen(0.1F);
  seen.said.covered.col(5).setTo(0.9F);
  seen.said.near.hidden[6] = 0.6;
  seen.strip.source_frame.col(seen.strip.grid.NearestColumn(3.5)).setTo(-1);
  const auto edge = NearEdgeFrom(seen.said, seen.toes, seen.strip);
  for (const std::size_t line : {5U, 6U, 7U}) EXPECT_TRUE(std::isnan(edge.unfused[line])) << line;
  EXPECT_FALSE(std::isnan(edge.unfused[20]));
}

// By hand: z = -2 lies (-2 + 12.75) / 0.2 = 53.75 cells from the first, so in cell 54; looking the other way in
// cell 74.
TEST(NearEdge, IsCoveredWhereTheToeLiesAndNotBesideIt) {
  Seen seen(0.1F);
  seen.said.covered(54, 5) = seen.said.covered(74, 6) = 0.9F;
  const auto edge = NearEdgeFrom(seen.said, seen.toes, seen.strip);
  EXPECT_TRUE(std::isnan(edge.unfused[5]));
  EXPECT_FALSE(std::isnan(edge.unfused[6]));
  seen.said.near_is_left = false;
  EXPECT_FLOAT_EQ(static_cast<float>(seen.said.CoveredAt(-2, 6)), 0.9F);
  EXPECT_EQ(seen.said.CoveredAt(-2, 5), 0);
}

TEST(NearEdge, AToeThatIsNotStatedIsNotCalledFused) {
  Seen seen(0.1F);
  seen.toes.left.visible[9] = 0;
  EXPECT_FALSE(NearEdgeFrom(seen.said, seen.toes, seen.strip).may_be_fused[9]);
}

TEST(EdgeOptions, NamesTheFieldThatCannotBe) {
  EdgeOptions options;
  options.coarsest_for_fused_mm = 0;
  ASSERT_TRUE(options.Check());
  EXPECT_NE(options.Check()->message.find("coarsest_for_fused_mm"), std::string::npos);
}

}  // namespace
}  // namespace vision::reading
