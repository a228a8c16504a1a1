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

TEST(Toes, ARingSeenOnFewLinesIsNoWeld) {
  Said said(3);
  for (std::size_t i = 0; i < 600; ++i) said.said.near.hidden[i] = 0.9;
  const auto toes = ToesFrom(said.said, said.strip, said.geometry);
  ASSERT_FALSE(toes.ok());
  EXPECT_EQ(toes.error().message.rfind("no weld found", 0), 0U);
}

}  // namespace
}  // namespace vision::reading
