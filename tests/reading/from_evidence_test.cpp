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

// By hand: an insert of 4 mm, less 1 mm, less twice 0.46 * 40 / 80 = 0.46 mm: 2.54 mm is the least that may be stated.
TEST(FarToe, NarrowerThanTheInsertIsAnEdgeOnTheBead) {
  Said just(0.6), narrow(0.5);
  just.geometry.insert_width_mm = narrow.geometry.insert_width_mm = 4;
  EXPECT_TRUE(just.Toes().right.visible[7]);
  EXPECT_FALSE(narrow.Toes().right.visible[7]);
  EXPECT_TRUE(narrow.Toes().left.visible[7]);
  EXPECT_NE(narrow.Toes().right.reason[7].find("narrower than the insert"), std::string::npos);
}

TEST(FarToe, IsNotHeldAgainstAnInsertThatIsNotKnown) { EXPECT_TRUE(Said(0.5).Toes().right.visible[7]); }

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
