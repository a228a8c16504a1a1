#include "vision/reading/state.h"

#include <gmock/gmock.h>

#include <cmath>

#include "tests/reading/told.h"
#include "vision/base/says.h"
#include "vision/reading/measure.h"

/// What is told and what is stated of it. Expected by hand from the rules in state.h.
namespace vision::reading {
namespace {

/// Crown 1 mm and concavity 0.3 mm all round; known to 0.05 mm (k = 1), and from 350 to 10 degrees to 0.2 mm.
Told ByLight() {
  Told told;
  for (std::size_t i = 0; i < 720; ++i) {
    const double u = i < 20 || i >= 700 ? 0.2 : 0.05;
    ToldLine line;
    line.toe_z_mm = {Stated<double>::Of(-2, 0.1), Stated<double>::Of(3, 0.1)};
    line.width_mm = Stated<double>::Of(5, 0.15), line.misalignment_mm = Stated<double>::Of(0.1, 0.1);
    line.crown = Stated<RootHeight>::Of({1, 1, 1}, u), line.concavity = Stated<RootHeight>::Of({0.3, 0.3, 0.3}, u);
    told.lines.push_back(line);
  }
  told.heights_by = "light_section";
  return told;
}

EdgesTold Fused() {
  Profile profile;
  profile.Resize(720);
  profile.fusion_left.assign(720, Fusion::kFused), profile.fusion_right.assign(720, Fusion::kFused);
  return EdgesOf(profile);
}

Reading StatedFrom(const Told& told, const Withheld& withheld = {}) {
  Reading reading;
  reading.bore_radius_mm = 50;
  State(told, Fused(), withheld, reading);
  return reading;
}

TEST(State, WithholdsAStepByTravelWhereThePictureIsTooCoarse) {
  Told told = ByLight();
  told.lines[3].misalignment_mm = Stated<double>::Not({Says::kFewBareWall});  // its own reason stays
  EXPECT_EQ(StatedFrom(told, {{}, 0.46, {}}).profile.misalignment_mm[7], 0.1) << "a step by light is no parallax";
  told.step_by_travel = true;
  EXPECT_EQ(StatedFrom(told, {{}, 0.44, {}}).profile.misalignment_mm[7], 0.1);
  const auto reading = StatedFrom(told, {{}, 0.46, {}});
  EXPECT_TRUE(std::isnan(reading.profile.misalignment_mm[7]) && std::isnan(reading.profile.misalignment_u_mm[7]));
  EXPECT_EQ(reading.profile.crown_height_mm[7], 1);
  ASSERT_EQ(reading.why.size(), 2u);
  const auto& coarse = reading.why[reading.why[0].reason.code == Says::kFewBareWall ? 1 : 0];
  EXPECT_EQ(coarse.what, "misalignment_mm");
  EXPECT_DOUBLE_EQ(coarse.start_deg, 2);
  EXPECT_DOUBLE_EQ(coarse.end_deg, 1.5);
  EXPECT_EQ(coarse.reason, (Reason{Says::kStepTooCoarse, {"0.45"}}));
}

/// So that an examiner sees what the states rest on; a reading from before they were kept has none.
TEST(State, KeepsHowLikelyEachEdgeIsStillThere) {
  EdgesTold edges = Fused();
  edges.a.unfused[3] = 0.12345, edges.b.unfused[5] = kNotMeasured;
  Reading reading;
  reading.bore_radius_mm = 50;
  State(ByLight(), edges, {}, reading);
  EXPECT_EQ(reading.profile.unfused_left_chance[3], 0.123);
  EXPECT_EQ(reading.profile.unfused_right_chance[3], 0.5);
  EXPECT_TRUE(std::isnan(reading.profile.unfused_right_chance[5]));
}

TEST(State, WithholdsOnlyHeightsThatAreLessCertainThanAskedAndSaysWhere) {
  const auto reading = StatedFrom(ByLight(), {{0.3, 0.5}, 0.1, {}});
  const auto& p = reading.profile;
  EXPECT_TRUE(std::isnan(p.crown_height_mm[719]) && std::isnan(p.crown_height_mm[0]));
  EXPECT_TRUE(std::isnan(p.crown_over_left_mm[19]) && std::isnan(p.crown_over_right_mm[19]));
  EXPECT_TRUE(std::isnan(p.crown_height_u_mm[5]));
  EXPECT_EQ(p.crown_height_mm[20], 1);
  EXPECT_EQ(p.concavity_mm[0], 0.3) << "2 * 0.2 mm is below 0.5 mm";
  EXPECT_EQ(p.misalignment_mm[0], 0.1);
  EXPECT_EQ(reading.height_by, "light_section");
  ASSERT_EQ(reading.why.size(), 1u);
  EXPECT_EQ(reading.why[0].what, "crown_height_mm");
  EXPECT_DOUBLE_EQ(reading.why[0].start_deg, 350);
  EXPECT_DOUBLE_EQ(reading.why[0].end_deg, 10);
  EXPECT_EQ(reading.why[0].reason, (Reason{Says::kLessSureThanAsked, {"0.30"}}));
}

TEST(State, ABoundJustReachedIsNotBelowIt) {
  const auto reading = StatedFrom(ByLight(), {{0.1, 0.1}, 0.1, {}});
  EXPECT_TRUE(std::isnan(reading.profile.crown_height_mm[300])) << "2 * 0.05 mm is not below 0.1 mm";
  EXPECT_TRUE(std::isnan(reading.profile.concavity_under_left_mm[300]));
  EXPECT_FALSE(reading.height_by) << "no height is left";
  ASSERT_EQ(reading.why.size(), 2u);
  EXPECT_DOUBLE_EQ(reading.why[1].end_deg, 360);
}

TEST(State, WithoutABoundEverythingToldIsStated) {
  const auto reading = StatedFrom(ByLight());
  EXPECT_EQ(reading.profile.crown_height_mm[0], 1);
  EXPECT_EQ(reading.profile.left_toe_z_mm[0], -2);
  EXPECT_EQ(reading.profile.width_u_mm[0], 0.15);
  EXPECT_TRUE(reading.why.empty());
}

TEST(State, WhatWasNeverMeasuredKeepsItsOwnReason) {
  Told told;
  told.lines.resize(720);
  for (ToldLine& line : told.lines) line.crown = Stated<RootHeight>::Not({Says::kSingleView});
  const auto reading = StatedFrom(told, {{0.1, 0.1}, 0.1, std::vector<bool>(720, true), {}});
  ASSERT_EQ(reading.why.size(), 1u);
  EXPECT_EQ(reading.why[0].reason.code, Says::kSingleView);
}

/// Scale hides one side's toe, and with it all that is told across the root; the other toe and the step stay.
TEST(State, NothingThatNeedsAToeUnderScaleIsStated) {
  std::vector<bool> under(720, false);
  std::fill_n(under.begin() + 100, 20, true);
  const auto reading = StatedFrom(ByLight(), {{}, 0.1, under, {}});
  const auto& p = reading.profile;
  for (const auto* numbers : {&p.left_toe_z_mm, &p.left_toe_u_mm, &p.width_mm, &p.width_u_mm, &p.crown_height_mm,
                              &p.crown_over_left_mm, &p.concavity_mm, &p.concavity_u_mm}) {
    EXPECT_TRUE(std::isnan((*numbers)[110]));
    EXPECT_FALSE(std::isnan((*numbers)[120]));
  }
  EXPECT_EQ(p.right_toe_z_mm[110], 3);
  EXPECT_EQ(p.misalignment_mm[110], 0.1);
  ASSERT_EQ(reading.why.size(), 3u);
  for (const Why& why : reading.why) EXPECT_EQ(why.reason.code, Says::kUnderScale);
}

TEST(State, ScaleLiesAsFarRoundAsItIsLongWithItsUncertainty) {
  Reading reading;
  reading.bore_radius_mm = 57.29578;  // a degree is a millimetre
  Indication scale;
  scale.kind = "scale", scale.theta_deg = 1.25, scale.z_mm = -3, scale.length_mm = 6, scale.length_u_mm = 1;
  reading.indications = {scale};
  const auto left = LinesUnderScale(reading, bore::Piece::kA), right = LinesUnderScale(reading, bore::Piece::kB);
  EXPECT_EQ(std::count(left.begin(), left.end(), true), 16);  // 6 mm and 2 * 1 mm: 357.25 to 5.25 degrees
  EXPECT_TRUE(left[715] && left[0] && left[10] && !left[11] && !left[714]);
  EXPECT_EQ(std::count(right.begin(), right.end(), true), 0);
}

TEST(MaxExpandedUncertainty, MustBeAboveZero) {
  MeasureOptions options;
  EXPECT_FALSE(options.Check());
  options.max_expanded_uncertainty_mm.concavity_mm = 0;
  ASSERT_TRUE(options.Check());
  EXPECT_THAT(options.Check()->message, testing::HasSubstr("concavity_mm must be > 0"));
  options.max_expanded_uncertainty_mm = {std::nan(""), 1};
  EXPECT_TRUE(options.Check());
}

}  // namespace
}  // namespace vision::reading
