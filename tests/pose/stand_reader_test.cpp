#include "vision/pose/stand_reader.h"

#include <gmock/gmock.h>

#include <Eigen/Geometry>
#include <Eigen/LU>
#include <cmath>

#include "tests/pose/known_frames.h"
#include "vision/bore/angle.h"
#include "vision/pose/stand_strip.h"
#include "vision/pose/structure_search.h"

/// What the fitted reader of the stand is shown, and what it says. Truth: walls painted by formula, and the scene
/// maker's own geometry.
namespace vision::pose {
namespace {

using bore::kRadPerDeg;

/// Chart of a camera that leans by `lean` and stands `offset` radii off the axis, in a bore whose light is a formula of
/// the wall's place. Each sight is followed to the cylinder here.
template <class Light>
WallView Painted(const Eigen::Vector2d& lean, const Eigen::Vector2d& offset, const Light& light) {
  WallView view;
  view.chart.scale_px = 480, view.chart.centre_x = view.chart.centre_y = 480, view.chart.px_per_rad = 240;
  view.chart.light = cv::Mat1f(961, 961), view.chart.tint = cv::Mat1f::zeros(961, 961);
  const Eigen::Vector3d a(lean.x(), lean.y(), std::sqrt(1 - lean.squaredNorm()));
  const Eigen::Vector3d e1 = (Eigen::Vector3d::UnitX() - a.x() * a).normalized(), e2 = a.cross(e1);
  for (int v = 0; v < 961; ++v)
    for (int u = 0; u < 961; ++u) {
      const double x = (u - 480) / 480.0, y = (v - 480) / 480.0, r2 = x * x + y * y;
      const Eigen::Vector3d sight = Eigen::Vector3d(2 * x, 2 * y, 1 - r2) / (1 + r2);
      const Eigen::Vector2d across(sight.dot(e1), sight.dot(e2));
      // |offset + t across| = 1
      const double b = offset.dot(across), c = across.squaredNorm();
      const double t = (-b + std::sqrt(b * b + c * (1 - offset.squaredNorm()))) / std::max(c, 1e-9);
      const Eigen::Vector2d at = offset + t * across;
      view.chart.light(v, u) = static_cast<float>(light(std::atan2(at.y(), at.x()), t * sight.dot(a)));
    }
  return view;
}

TEST(StandStrip, LaysTheWallFlatAboutTheStandThatIsTrue) {
  const Eigen::Vector2d lean(0.06, -0.04), offset(-0.12, 0.09);
  const auto light = [](double phi, double z) { return 4 + 0.5 * std::cos(3 * phi) + 0.2 * z; };
  const auto strip = UnrollAbout(Painted(lean, offset, light), lean, offset);
  double worst = 0;
  int seen = 0;
  for (int i = 0; i < kStandRows; i += 5)
    for (int j = 0; j < kStandColumns; j += 7) {
      if (strip.seen(i, j) < 1) continue;
      ++seen;
      const double angle = kStandToDeg - (i + 0.5) * (kStandToDeg - kStandFromDeg) / kStandRows;
      const double phi = 2 * std::numbers::pi * (j + 0.5) / kStandColumns;
      const double expected = light(phi, 1 / std::tan(angle * kRadPerDeg));
      worst = std::max(worst, std::abs(static_cast<double>(strip.light(i, j)) - expected));
    }
  EXPECT_GT(seen, 3000);
  EXPECT_LT(worst, 0.02);
}

TEST(StandStrip, WhatIsNotSeenIsNoughtInEveryPlane) {
  auto view = Painted({0, 0}, {0, 0}, [](double, double) { return 4.0; });
  view.chart.light.colRange(0, 480).setTo(std::numeric_limits<float>::quiet_NaN());
  const auto strip = UnrollAbout(view, {0, 0}, {0, 0});
  EXPECT_NEAR(cv::mean(strip.seen)[0], 0.5, 0.01);
  const cv::Mat input = StandInput(strip);
  ASSERT_EQ(input.size[1], 5);
  ASSERT_EQ(input.size[3], kStandColumns + 192);
  for (int plane = 0; plane < 5; ++plane) {
    const cv::Mat1f values(input.size[2], input.size[3], const_cast<float*>(input.ptr<float>(0, plane)));
    EXPECT_TRUE(cv::checkRange(values)) << plane;
    EXPECT_EQ(values(60, 96 + kStandColumns / 2), 0) << plane;  // azimuth 180: the left half of the chart
  }
}

/// Values by hand: a step of 1 along the wall is half over and half under its own blur, and 6 times that; a wave of 8
/// columns and height 0.1 is hardly left in a blur of 8 columns' deviation: 12 times it; both cut at 3.
TEST(StandStrip, WhatTheReaderIsShownIsTheChangeAroundAndAlong) {
  StandStrip strip{cv::Mat1f(kStandRows, kStandColumns, 0.0F), cv::Mat1f(kStandRows, kStandColumns, 0.0F),
                   cv::Mat1f(kStandRows, kStandColumns, 1.0F)};
  const auto value = [&strip](int plane, int row, int column) {
    const cv::Mat input = StandInput(strip);
    return input.ptr<float>(0, plane)[row * input.size[3] + column];
  };
  strip.light.rowRange(64, kStandRows).setTo(1);
  EXPECT_NEAR(value(0, 10, 700), -0.5, 1e-4);
  EXPECT_NEAR(value(0, 100, 700), 0.5, 1e-4);
  EXPECT_NEAR(value(1, 100, 700), 0, 1e-3);
  EXPECT_NEAR(value(2, 64, 700), 6 * 0.46, 0.05) << "half a row past the step, of a blur of 5";
  EXPECT_NEAR(value(2, 63, 700), -6 * 0.46, 0.05);
  for (int j = 0; j < kStandColumns; ++j) strip.light.col(j).setTo(0.1 * std::cos(2 * std::numbers::pi * j / 8));
  EXPECT_NEAR(value(1, 64, 96 + 8), 1.2, 0.02);
  EXPECT_NEAR(value(1, 64, 96 + 4), -1.2, 0.02);
  EXPECT_NEAR(value(1, 64, 0), value(1, 64, kStandColumns), 1e-4) << "wrapped";
  strip.tint.rowRange(64, kStandRows).setTo(4);
  EXPECT_NEAR(value(3, 100, 700), 3, 1e-4) << "cut";
}

Stand TrueStand(const KnownFrame& known) {
  const double side = known.setting.facing == Facing::kMinusZ ? -1 : 1;
  const Eigen::Vector3d axis = side * known.truth.rotation.row(2).transpose();
  const AxisBasis basis(Eigen::Vector2d(axis.head<2>()));
  const Eigen::Vector2d across = known.truth.translation_mm.head<2>() / known.bore.radius_mm;
  return {axis.x(), axis.y(), (known.truth.rotation * basis.e1.cast<double>()).head<2>().dot(across),
          (known.truth.rotation * basis.e2.cast<double>()).head<2>().dot(across)};
}

WallView ViewOf(const KnownFrame& known) {
  WallView view;
  view.chart = StandChart(known.picture, known.setting.lens, known.setting.mask);
  return view;
}

/// From two degrees off along the valley the reader leads back, and what it says of its own doubt holds.
TEST(StandReader, LeadsBackFromAlongTheValley) {
  for (const std::uint64_t seed : {21U, 24U, 27U}) {
    const auto known = Rendered("fused", seed, "equidistant", seed % 2 == 1);
    const Stand truth = TrueStand(known);
    const double lean = 2 * kRadPerDeg;
    Stand stand = truth + Stand(lean, -lean, lean / 0.45, -lean / 0.45);
    StandRead read;
    for (int look = 0; look < 3; ++look) stand = (read = ReadStand({ViewOf(known)}, stand)).mean;
    EXPECT_LT((stand - truth).head<2>().norm(), 0.8 * kRadPerDeg) << seed;
    EXPECT_LT((stand - truth).tail<2>().norm(), 0.03) << seed;
    EXPECT_LT(read.TiltUDeg(), 1) << seed;
    const double distance = std::abs(known.truth.translation_mm.z()) / known.bore.radius_mm;
    EXPECT_GT(read.LnWeldAt(distance), read.LnWeldAt(1.3 * distance) + 1) << seed;
    EXPECT_LT(read.weld.back(), 0.3) << seed;
  }
}

/// A picture turned about the viewing axis: the correction turns with it.
TEST(StandReader, SaysTheSameOfAPictureThatIsTurned) {
  const auto known = Rendered("fused", 24, "equidistant", true);
  const WallView view = ViewOf(known);
  const Stand about = TrueStand(known) + Stand(0.01, 0, 0.02, 0);
  const auto straight = ReadStand({view}, about);
  WallView turned = view;
  turned.cam_from_search = Eigen::AngleAxisf(static_cast<float>(M_PI / 2), Eigen::Vector3f::UnitZ()).toRotationMatrix();
  // What lay along x of the camera lies along -y of a frame that is turned with it.
  const auto back = [](const Stand& s) { return Stand(s[1], -s[0], s[3], -s[2]); };
  const auto other = ReadStand({turned}, back(about));
  EXPECT_LT((other.mean - back(straight.mean)).norm(), 0.004);
  EXPECT_NEAR(other.TiltUDeg() / straight.TiltUDeg(), 1, 0.1);
}

/// Two cameras that say the same make it twice as sure, but for what is assumed with no evidence.
TEST(StandReader, CamerasAddUp) {
  const auto known = Rendered("fused", 27, "equidistant", true);
  const WallView view = ViewOf(known);
  const Stand about = TrueStand(known);
  const auto one = ReadStand({view}, about), two = ReadStand({view, view}, about);
  EXPECT_NEAR(two.information(0, 0) / one.information(0, 0), 2, 0.1);
  EXPECT_LT((two.mean - one.mean).norm(), 0.003);
}

TEST(StandReader, ChanceOfThePlaceIsHeldAgainstAnEvenSpread) {
  StandRead read;
  read.weld.fill(0);
  read.weld[30] = 1;
  const double angle = kStandToDeg - 30.5 * (kStandToDeg - kStandFromDeg) / kWeldRows;
  EXPECT_NEAR(read.LnWeldAt(1 / std::tan(angle * kRadPerDeg)), std::log(64.0), 1e-9);
  EXPECT_LT(read.LnWeldAt(0.2), -4);
}

}  // namespace
}  // namespace vision::pose
