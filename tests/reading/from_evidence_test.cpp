#include "vision/reading/from_evidence.h"

#include <gtest/gtest.h>

#include <cmath>

namespace vision::reading {
namespace {

/// A reader that is sure of a near toe at -2 mm and of a far one where it is told, in a bore of 80 mm seen from 40 mm.
struct Said {
  unroll::Strip strip;
  evidence::StripEvidence said;
  bead::ToeOptions geometry;

  explicit Said(double far_z_mm) {
    strip.grid = unroll::StripGrid::Over(80, -15, 15);
    strip.source_frame = cv::Mat1s(strip.grid.rows, strip.grid.columns, short{0});
    for (auto* toe : {&said.near, &said.far}) toe->u_mm.assign(720, 0.1), toe->hidden.assign(720, 0.01);
    said.near.z_mm.assign(720, -2), said.far.z_mm.assign(720, far_z_mm);
    said.hollow.assign(720, 0);
    said.covered = cv::Mat1f(evidence::kBins, evidence::kLines, 0.F);
    geometry.radius_mm = 80, geometry.camera_distance_mm = 40;
  }
  bead::BeadToes Toes() const { return ToesFrom(said, strip, geometry).value(); }
};

TEST(FarToe, ShownOnAFewLinesAloneIsTakenBack) {
  Said few(3), enough(3);
  for (std::size_t i = 0; i < 720; ++i) {
    if (i >= 200) few.said.far.hidden[i] = 0.9;     // 28 % of the ring
    if (i >= 230) enough.said.far.hidden[i] = 0.9;  // 32 %
  }
  EXPECT_FALSE(few.Toes().right.visible[7]);
  EXPECT_TRUE(enough.Toes().right.visible[7]);
}

/// By hand: sqrt(0.3^2 + (1 * 0.6)^2) = 0.671 mm, which the step between the walls widens.
TEST(FarToe, OnALineInDoubtHasTheDoubtInItsUncertainty) {
  Said said(3);
  said.said.far.u_mm[7] = said.said.far.u_mm[8] = 0.3;
  said.said.far.hidden[7] = 0.6, said.said.far.hidden[8] = 0.01, said.said.far.hidden[9] = 0.8;
  said.geometry.misalignment_prior_mm = 0, said.geometry.pose_scale_u = 0;
  const bead::ToeLine far = said.Toes().right;
  ASSERT_TRUE(far.visible[7] && far.visible[8]);
  EXPECT_NEAR(far.u_mm[7], 0.671, 0.001);
  EXPECT_NEAR(far.u_mm[8], 0.3, 0.001);
  EXPECT_FALSE(far.visible[9]);
  EXPECT_EQ(far.reason[9].code, Says::kFarToeHidden);
}

TEST(Toes, AFarOneMayBeLessSureThanANearOne) {
  Said said(3);
  said.said.near.u_mm[7] = said.said.far.u_mm[7] = 0.65, said.said.far.u_mm[8] = 0.95;
  const bead::BeadToes toes = said.Toes();
  EXPECT_FALSE(toes.left.visible[7]);
  EXPECT_TRUE(toes.right.visible[7]);
  EXPECT_FALSE(toes.right.visible[8]);
  EXPECT_EQ(toes.left.reason[7].code, Says::kToeNotSure);
}

TEST(StatingOptions, SayWhatIsWrong) {
  StatingOptions options;
  options.coarsest_far_u_mm = 0;
  ASSERT_TRUE(options.Check());
  EXPECT_NE(options.Check()->message.find("coarsest_far_u_mm"), std::string::npos);
}

TEST(Toes, ARingSeenOnFewLinesIsNoWeld) {
  Said said(3);
  for (std::size_t i = 0; i < 600; ++i) said.said.near.hidden[i] = 0.9;
  const auto toes = ToesFrom(said.said, said.strip, said.geometry);
  ASSERT_FALSE(toes.ok());
  EXPECT_EQ(toes.error().message.rfind("no weld found", 0), 0U);
}

}  // namespace
}  // namespace vision::reading
