#include <gmock/gmock.h>

#include <numbers>
#include <stop_token>

#include "fixtures/scene/scenario.h"
#include "vision/unroll/unroll.h"

namespace vision::unroll {
namespace {

using fixtures::scene::PoseLooking;
using fixtures::scene::TypicalLens;

TEST(StripGrid, ByHand) {
  const auto grid = StripGrid::Over(100 / (2 * std::numbers::pi), -2, 2.1, 0.5);  // 100 mm around
  EXPECT_EQ(grid.columns, 200);
  EXPECT_DOUBLE_EQ(grid.theta_pitch_deg(), 1.8);
  EXPECT_EQ(grid.rows, 10);  // -2.0, -1.5 ... 2.5: the last rounded outward
  EXPECT_DOUBLE_EQ(grid.ThetaDeg(50), 90);
  EXPECT_DOUBLE_EQ(grid.Column(90), 50);
  EXPECT_DOUBLE_EQ(grid.ZMm(0), -2);
  EXPECT_DOUBLE_EQ(grid.ZMm(9), 2.5);
  EXPECT_DOUBLE_EQ(grid.Row(-1.25), 1.5);
}

TEST(StripGrid, AnExactSpanHasNoRowTooMany) { EXPECT_EQ(StripGrid::Over(50, -1.2, 1.2, 0.1).rows, 25); }

struct MapCase {
  std::string lens;
  bool plus_z;
  double x, y, pitch, yaw;
};

class MapError : public testing::TestWithParam<MapCase> {};

TEST_P(MapError, BelowATwentiethPixelAgainstTheExactProjection) {
  const auto& c = GetParam();
  const auto lens = TypicalLens(c.lens, 1280, 960).value();
  const auto pose = PoseLooking(c.plus_z, c.x, c.y, c.plus_z ? -55 : 55, c.pitch, c.yaw, 33);
  const auto grid = StripGrid::Over(51, -18, 18, 0.1);
  const auto map = BuildMap(lens, pose, grid);
  double worst = 0;
  int seen = 0;
  for (int row = 0; row < grid.rows; row += 3)
    for (int column = row % 5; column < grid.columns; column += 5) {
      if (map.seen(row, column) == 0) continue;
      const auto wall = bore::XyzFromBore({grid.ThetaDeg(column), grid.ZMm(row), 0}, 51);
      const auto exact = lens.Project(pose.CamFromBore(wall));
      ASSERT_TRUE(exact.has_value());
      const auto& got = map.source_px(row, column);
      worst = std::max(worst, std::hypot(exact->x() - got[0], exact->y() - got[1]));
      ++seen;
    }
  EXPECT_GT(seen, 20000);  // most of 77 000
  EXPECT_LT(worst, 0.02);
}

INSTANTIATE_TEST_SUITE_P(Lenses, MapError,
                         testing::Values(MapCase{"equidistant", true, 0, 0, 0, 0},
                                         MapCase{"equidistant", false, 12, -8, 6, -7},
                                         MapCase{"kannala_brandt", true, -10, 10, -8, 3},
                                         MapCase{"pinhole", true, 4, 3, 3, 3}, MapCase{"omni", false, 6, 9, -5, 5}));

/// r = f atan(R / d): dr/dd = f R / (R^2 + d^2) px per mm along z, r / R px per mm around.
TEST(Resolution, IsThePitchOverTheStepInTheFrameAtEveryCell) {
  const auto grid = StripGrid::Over(51, -6, 6, 0.5);
  const auto map =
      BuildMap(TypicalLens("equidistant", 640, 480).value(), PoseLooking(true, 5, -3, -40, 2, 3, 30), grid);
  const double around_mm = bore::ArcMm(grid.theta_pitch_deg(), grid.radius_mm);
  for (int row = 0; row + 1 < grid.rows; ++row)
    for (int column = 0; column < grid.columns; ++column) {
      const auto here = map.source_px(row, column);
      const double along = grid.pitch_mm / cv::norm(map.source_px(row + 1, column) - here),
                   around = around_mm / cv::norm(map.source_px(row, (column + 1) % grid.columns) - here);
      ASSERT_NEAR(map.resolution_z_mm(row, column), along, 1e-6 * along) << row << " " << column;
      ASSERT_NEAR(map.resolution_arc_mm(row, column), around, 1e-6 * around) << row << " " << column;
    }
}

TEST(Resolution, OfACentredEquidistantLensIsTheClosedFormula) {
  const double radius = 77, f = 345.6;
  const auto lens = TypicalLens("equidistant", 1280, 960).value();
  ASSERT_DOUBLE_EQ(lens.fx_px, f);
  const auto grid = StripGrid::Over(radius, -5, 5, 0.1);
  const auto map = BuildMap(lens, PoseLooking(true, 0, 0, -60, 0, 0, 0), grid);
  for (const int row : {5, 50, 95}) {
    const double d = 60 + grid.ZMm(row);
    const double along = (radius * radius + d * d) / (f * radius), around = radius / (f * std::atan2(radius, d));
    for (const int column : {0, 1000, 4000}) {
      EXPECT_NEAR(map.resolution_z_mm(row, column), along, 0.01 * along);
      EXPECT_NEAR(map.resolution_arc_mm(row, column), around, 0.01 * around);
    }
  }
}

/// A grey picture with one blown-out, one black and one masked rectangle.
class Unusable : public testing::Test {
 protected:
  void SetUp() override {
    frame_.setTo(cv::Scalar::all(255), Rectangle(kClipped));
    frame_.setTo(cv::Scalar::all(0), Rectangle(kDark));
    map_ = BuildMap(lens_, PoseLooking(true, 0, 0, -50, 0, 0, 0), grid_, Rectangle(kMasked));
    strip_ = Unroll(frame_, map_, 3).value();
  }
  static cv::Mat1b Rectangle(const cv::Rect& rect) {
    cv::Mat1b mask(480, 640, uchar{0});
    mask(rect).setTo(255);
    return mask;
  }
  /// Calls `check(row, column)` for cells whose source lies well inside `rect`; returns how many.
  template <class Check>
  int ForCellsIn(const cv::Rect& rect, Check check) const {
    int cells = 0;
    for (int row = 0; row < grid_.rows; ++row)
      for (int column = 0; column < grid_.columns; ++column) {
        const auto px = strip_.source_px(row, column);
        const cv::Rect inner(rect.x + 3, rect.y + 3, rect.width - 6, rect.height - 6);
        if (px[0] != px[0] || !inner.contains(cv::Point(cvRound(px[0]), cvRound(px[1])))) continue;
        check(row, column);
        ++cells;
      }
    return cells;
  }

  const cv::Rect kClipped{440, 200, 60, 60}, kDark{140, 200, 60, 60}, kMasked{290, 330, 60, 60};
  const camera::Lens lens_ = TypicalLens("equidistant", 640, 480).value();
  const StripGrid grid_ = StripGrid::Over(50, -70, 30, 0.25);
  cv::Mat3b frame_ = cv::Mat3b(480, 640, cv::Vec3b(120, 120, 120));
  UnrollMap map_;
  Strip strip_;
};

TEST_F(Unusable, BlownOutCellsAreNotValidAndSaidToBeClipped) {
  EXPECT_GT(ForCellsIn(kClipped,
                       [&](int row, int column) {
                         ASSERT_EQ(strip_.valid(row, column), 0);
                         ASSERT_EQ(strip_.clipped(row, column), 255);
                       }),
            300);
}

TEST_F(Unusable, DarkCellsAreNotValidAndNotClipped) {
  EXPECT_GT(ForCellsIn(kDark,
                       [&](int row, int column) {
                         ASSERT_EQ(strip_.valid(row, column), 0);
                         ASSERT_EQ(strip_.clipped(row, column), 0);
                       }),
            300);
}

TEST_F(Unusable, MaskedCellsAreAsIfNeverSeen) {
  EXPECT_GT(ForCellsIn(kMasked,
                       [&](int row, int column) {
                         ASSERT_EQ(strip_.valid(row, column), 0);
                         ASSERT_EQ(strip_.source_frame(row, column), -1);
                         ASSERT_EQ(strip_.image(row, column), cv::Vec3b(0, 0, 0));
                       }),
            300);
}

TEST_F(Unusable, PlainWallIsValidAndKnowsItsFrame) {
  EXPECT_GT(ForCellsIn({290, 100, 60, 60},
                       [&](int row, int column) {
                         ASSERT_EQ(strip_.valid(row, column), 255);
                         ASSERT_EQ(strip_.source_frame(row, column), 3);
                         ASSERT_EQ(strip_.image(row, column), cv::Vec3b(120, 120, 120));
                       }),
            300);
}

TEST_F(Unusable, WallBehindTheCameraIsNotSeen) {
  for (int row = 0; grid_.ZMm(row) < -52; ++row)  // the camera stands at -50 and its lens ends at 82 degrees
    ASSERT_EQ(cv::countNonZero(strip_.valid.row(row)), 0) << row;
}

TEST_F(Unusable, CoarserThanAskedIsNotExamined) {
  UnrollOptions fine;
  fine.max_resolution_mm = 0.35;
  const auto map = BuildMap(lens_, PoseLooking(true, 0, 0, -50, 0, 0, 0), grid_, {}, fine);
  // 0.35 = (R^2 + d^2) / (f R) at f = 172.8, R = 50: d = 22.9, so z = -27.1
  EXPECT_EQ(map.seen(static_cast<int>(grid_.Row(-28)), 0), 255);
  EXPECT_EQ(map.seen(static_cast<int>(grid_.Row(-26)), 0), 0);
}

TEST_F(Unusable, StopsWhenAsked) {
  std::stop_source stop;
  stop.request_stop();
  EXPECT_TRUE(Unroll(frame_, map_, 0, {}, {stop.get_token(), {}}).cancelled());
}

TEST_F(Unusable, BrokenOptionsNameTheField) {
  UnrollOptions options;
  options.clipped_level = 300;
  const auto strip = Unroll(frame_, map_, 0, options);
  ASSERT_FALSE(strip.ok());
  EXPECT_EQ(strip.error().code, ErrorCode::kBadInput);
  EXPECT_THAT(strip.error().message, testing::HasSubstr("clipped_level is 300"));
}

}  // namespace
}  // namespace vision::unroll
