#include "vision/reading/search_arcs.h"

#include <gtest/gtest.h>

#include "vision/base/says.h"
#include "vision/bore/sides.h"
#include "vision/bore/stations.h"

namespace vision::reading {
namespace {

/// Searched from 350 over 0 to 20 degrees down to 0.5 mm, worst 0.8, and from 100 to 110; glare elsewhere but on ten
/// lines.
TEST(SearchedFrom, PutsLinesTogetherToArcsThatMayWrap) {
  std::vector<double> smallest(bore::kStationLines, kNotMeasured);
  std::vector<Reason> why(bore::kStationLines, {Says::kBeadHidden});
  for (std::size_t i = 0; i < 10; ++i) why[400 + i] = {Says::kNotInPicture};
  for (int i = -20; i < 40; ++i) smallest[static_cast<std::size_t>((i + 720) % 720)] = 0.5;
  smallest[3] = 0.8;
  for (std::size_t i = 200; i < 220; ++i) smallest[i] = 0.6;
  const Searched searched = SearchedFrom({"pore", "", "diameter"}, smallest, why);
  EXPECT_DOUBLE_EQ(searched.degrees, 40);
  EXPECT_DOUBLE_EQ(searched.smallest_mm, 0.8);
  EXPECT_EQ(searched.why.code, Says::kBeadHidden) << "the commonest";
  ASSERT_EQ(searched.arcs.size(), 2u);
  const auto& wraps = searched.arcs[searched.arcs[0].start_deg == 100 ? 1 : 0];
  EXPECT_DOUBLE_EQ(wraps.start_deg, 350);
  EXPECT_DOUBLE_EQ(wraps.end_deg, 20);
  EXPECT_DOUBLE_EQ(wraps.smallest_mm, 0.8);
}

TEST(SearchedFrom, AllRoundHasNoReason) {
  const Searched all = SearchedFrom({"scale", "left", "length"}, std::vector<double>(bore::kStationLines, 2),
                                    std::vector<Reason>(bore::kStationLines));
  EXPECT_DOUBLE_EQ(all.degrees, 360);
  EXPECT_TRUE(all.why.empty());
}

/// A camera that looks along -z has piece b near.
TEST(NearFar, TurnsIntoPiecesByTheLook) {
  const bore::NearFar sides{1.0, 2.0};
  EXPECT_EQ(sides.ByPiece(bore::Piece::kA).a, 1.0);
  EXPECT_EQ(sides.ByPiece(bore::Piece::kB).a, 2.0);
  EXPECT_EQ(sides.ByPiece(bore::Piece::kB)[bore::Piece::kB], 1.0);
}

}  // namespace
}  // namespace vision::reading
