#include <gmock/gmock.h>

#include "fixtures/scene/scenario.h"
#include "vision/unroll/unroll.h"

namespace vision::unroll {
namespace {

const StripGrid kGrid = StripGrid::Over(50, -15, 15, 0.5);

/// A strip of one grey, taken from `z_mm`.
Strip Taken(bool plus_z, double z_mm, uchar grey, int index, const StripGrid& grid = kGrid) {
  const auto lens = fixtures::scene::TypicalLens("equidistant", 640, 480).value();
  const auto map = BuildMap(lens, fixtures::scene::PoseLooking(plus_z, 2, -1, z_mm, 2, 1, 40), grid);
  return Unroll(cv::Mat3b(480, 640, cv::Vec3b(grey, grey, grey)), map, index).value();
}

TEST(Merge, EachCellIsWholeFromTheFrameThatSawItFinest) {
  const Strip a = Taken(true, -40, 90, 0), b = Taken(false, 40, 170, 1);
  const auto merged = Merge({a, b});
  ASSERT_TRUE(merged.ok());
  const Strip& m = merged.value();
  int from_a = 0, from_b = 0;
  for (int row = 0; row < kGrid.rows; ++row)
    for (int column = 0; column < kGrid.columns; ++column) {
      if (a.valid(row, column) == 0 || b.valid(row, column) == 0) continue;
      const bool is_b = b.resolution_z_mm(row, column) < a.resolution_z_mm(row, column);
      (is_b ? from_b : from_a)++;
      const Strip& best = is_b ? b : a;
      const uchar grey = is_b ? 170 : 90;
      ASSERT_EQ(m.image(row, column), cv::Vec3b(grey, grey, grey)) << "averaged, or from the coarser frame";
      ASSERT_EQ(m.source_frame(row, column), is_b ? 1 : 0);
      ASSERT_EQ(m.source_px(row, column), best.source_px(row, column));
      ASSERT_EQ(m.resolution_z_mm(row, column), best.resolution_z_mm(row, column));
      ASSERT_EQ(m.resolution_arc_mm(row, column), best.resolution_arc_mm(row, column));
    }
  EXPECT_GT(from_a, kGrid.columns * 5);  // the -z half is seen finer by the camera that stands there
  EXPECT_GT(from_b, kGrid.columns * 5);
}

TEST(Merge, OrderDoesNotMatter) {
  const Strip a = Taken(true, -40, 90, 0), b = Taken(false, 40, 170, 1), c = Taken(true, -80, 130, 2);
  const auto one = Merge({a, b, c}), other = Merge({c, b, a});
  ASSERT_TRUE(one.ok() && other.ok());
  // Cells that two frames saw equally fine may come from either; their resolution is the same.
  EXPECT_EQ(cv::norm(one.value().valid, other.value().valid, cv::NORM_INF), 0);
  int differ = 0;
  for (int row = 0; row < kGrid.rows; ++row)
    for (int column = 0; column < kGrid.columns; ++column) {
      if (one.value().valid(row, column) == 0) continue;
      ASSERT_EQ(one.value().resolution_z_mm(row, column), other.value().resolution_z_mm(row, column));
      differ += one.value().source_frame(row, column) != other.value().source_frame(row, column);
    }
  EXPECT_LT(differ, kGrid.rows * kGrid.columns / 1000);
}

TEST(Merge, ABlownOutCellGivesWayToACoarserOne) {
  const Strip fine = Taken(true, -40, 255, 0), coarse = Taken(true, -80, 90, 1);
  ASSERT_EQ(cv::countNonZero(fine.valid), 0);
  for (const auto& merged : {Merge({fine, coarse}), Merge({coarse, fine})}) {
    ASSERT_TRUE(merged.ok());
    const int row = static_cast<int>(kGrid.Row(0));
    EXPECT_EQ(merged.value().valid(row, 100), 255);
    EXPECT_EQ(merged.value().clipped(row, 100), 0);
    EXPECT_EQ(merged.value().image(row, 100), cv::Vec3b(90, 90, 90));
  }
}

TEST(Merge, WhereAllAreBlownOutItStaysClippedAndInvalid) {
  const auto merged = Merge({Taken(true, -40, 255, 0), Taken(true, -80, 255, 1)});
  ASSERT_TRUE(merged.ok());
  EXPECT_EQ(cv::countNonZero(merged.value().valid), 0);
  EXPECT_EQ(merged.value().clipped(static_cast<int>(kGrid.Row(0)), 100), 255);
}

TEST(Merge, LeavesItsInputsAlone) {
  const Strip a = Taken(true, -80, 90, 0);
  const cv::Mat before = a.image.clone();
  ASSERT_TRUE(Merge({a, Taken(true, -40, 170, 1)}).ok());
  EXPECT_EQ(cv::norm(a.image, before, cv::NORM_INF), 0);
}

TEST(Merge, RefusesNothingAndDifferentGrids) {
  const auto none = Merge({});
  ASSERT_FALSE(none.ok());
  EXPECT_EQ(none.error().code, ErrorCode::kBadInput);
  StripGrid longer = kGrid, moved = kGrid;
  longer.rows += 1;
  moved.z_from_mm += 1;  // as many cells, at other places
  for (const auto& grid : {longer, moved}) {
    const auto merged = Merge({Taken(true, -40, 90, 0), Taken(true, -40, 90, 1, grid)});
    ASSERT_FALSE(merged.ok());
    EXPECT_EQ(merged.error().code, ErrorCode::kBadInput);
    EXPECT_THAT(merged.error().message, testing::HasSubstr("grid"));
  }
}

}  // namespace
}  // namespace vision::unroll
