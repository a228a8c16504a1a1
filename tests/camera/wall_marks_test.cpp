#include "vision/camera/wall_marks.h"

#include <gmock/gmock.h>

#include <cmath>
#include <nlohmann/json.hpp>
#include <opencv2/calib3d.hpp>
#include <random>

/// Marks on a bore's wall put into pictures by OpenCV's own projections (cv::fisheye::projectPoints,
/// cv::projectPoints).
namespace vision::camera {
namespace {

using testing::HasSubstr;

struct Photographed {
  LensModel model = LensModel::kKannalaBrandt;
  double f_px = 280, bend = -0.02;  ///< k1; the others 0.
  double noise_px = 0.4;
  int views = 5, points = 16;  ///< Points a mark.
  bool ruler = false;          ///< Four taped rulers with a mark every 5 mm, instead of two rings.
  std::vector<double> away_mm = {45, 60, 80, 105, 135};
  unsigned seed = 7;
};
constexpr double kRadius_mm = 77, kApart_mm = 40;
constexpr int kWidth_px = 960, kHeight_px = 720;

WallTarget Target() { return {2 * kRadius_mm, 0.1, kApart_mm, 0.1}; }

cv::Point2d Shown(const Photographed& how, const cv::Point3d& x_cam) {
  const cv::Matx33d camera(how.f_px, 0, 471, 0, how.f_px, 366, 0, 0, 1);
  std::vector<cv::Point2d> shown;
  const std::vector<cv::Point3d> place{x_cam};
  if (how.model == LensModel::kPinhole)
    cv::projectPoints(place, cv::Vec3d(), cv::Vec3d(), camera, cv::Vec<double, 5>(how.bend, 0, 0, 0, 0), shown);
  else
    cv::fisheye::projectPoints(place, shown, cv::Vec3d(), cv::Vec3d(), camera, cv::Vec4d(how.bend, 0, 0, 0));
  return shown[0];
}

/// @param true_mm The lengths as they are, which a person knows but for their uncertainty.
std::vector<MarkedView> Photograph(const Photographed& how, const WallTarget& true_mm = Target()) {
  std::mt19937 random(how.seed);
  std::uniform_real_distribution<double> unit(-1, 1);
  std::normal_distribution<double> noise(0, how.noise_px);
  std::vector<MarkedView> views;
  for (int v = 0; v < how.views; ++v) {
    const cv::Vec3d tilt(0.08 * unit(random), 0.08 * unit(random), 3 * unit(random));
    cv::Matx33d cam_from_bore;
    cv::Rodrigues(tilt, cam_from_bore);
    const double radius_mm = 0.5 * true_mm.bore_mm, x = 8 * unit(random), y = 8 * unit(random);
    MarkedView view{"view_" + std::to_string(v) + ".jpg", {}};
    const int marks = how.ruler ? 9 : 2, around = how.ruler ? 4 : how.points;
    for (int m = 0; m < marks; ++m)
      for (int i = 0; i < around; ++i) {
        const double share = m / (marks - 1.0), theta = 2 * M_PI * (i + 0.3) / around;
        const cv::Vec3d p =
            cam_from_bore * cv::Vec3d(radius_mm * std::cos(theta) - x, radius_mm * std::sin(theta) - y,
                                      how.away_mm[static_cast<std::size_t>(v)] + share * true_mm.apart_mm);
        const auto shown = Shown(how, {p[0], p[1], p[2]});
        view.points.push_back({share * kApart_mm, {shown.x + noise(random), shown.y + noise(random)}});
      }
    views.push_back(view);
  }
  return views;
}

Result<WallCalibration> Fit(const Photographed& how, const WallTarget& true_mm = Target(), WallOptions options = {}) {
  if (!(options.target.bore_mm > 0)) options.target = Target();
  return CalibrateByWall(Photograph(how, true_mm), kWidth_px, kHeight_px, options);
}

/// Largest error of a sight's angle from the axis where points were set, deg, against OpenCV's picture of that sight.
double WorstSight_deg(const WallCalibration& found, const Photographed& how) {
  double worst = 0;
  for (double angle_deg = found.seen_from_deg; angle_deg <= found.lens.max_angle_deg; angle_deg += 1) {
    const double a = angle_deg * M_PI / 180;
    const double true_px = Shown(how, {std::sin(a), 0, std::cos(a)}).x - 471;
    const auto ray = found.lens.Ray({found.lens.cx_px + true_px, found.lens.cy_px});
    if (!ray) continue;
    worst = std::max(worst, std::abs(std::acos(ray->z()) - a) * 180 / M_PI);
  }
  return worst;
}

TEST(CalibrateByWall, FindsAFisheyeFromTwoScribedRings) {
  const Photographed how;
  const auto found = Fit(how);
  ASSERT_TRUE(found.ok()) << found.error().message;
  EXPECT_NEAR(found.value().rms_px, how.noise_px, 0.1);
  EXPECT_LT(found.value().sight_u_deg, 0.6);
  EXPECT_LT(WorstSight_deg(found.value(), how), 2 * found.value().sight_u_deg);
  EXPECT_LT(found.value().lens.max_angle_deg, 65);  // no sight is claimed past the points: atan(77 / 45) and the tilt
}

TEST(CalibrateByWall, FindsAPinholeWithBentEdges) {
  Photographed how;
  how.model = LensModel::kPinhole, how.f_px = 330, how.bend = -0.05;
  how.away_mm = {85, 100, 120, 145, 170};
  const auto found = Fit(how);
  ASSERT_TRUE(found.ok()) << found.error().message;
  EXPECT_LT(WorstSight_deg(found.value(), how), 2 * found.value().sight_u_deg);
}

TEST(CalibrateByWall, TapedRulersServeAsWell) {
  Photographed how;
  how.ruler = true;
  const auto found = Fit(how);
  ASSERT_TRUE(found.ok()) << found.error().message;
  EXPECT_LT(WorstSight_deg(found.value(), how), 2 * found.value().sight_u_deg);
}

// 2u is some 95 % of a normal error; of 20 draws 17 or more lie within in 98 % of trials (binomial).
TEST(CalibrateByWall, ItsUncertaintyHoldsOverLensesPointsAndLengths) {
  std::mt19937 random(11);
  std::normal_distribution<double> normal;
  std::uniform_real_distribution<double> unit(0, 1);
  int within = 0, found = 0;
  for (unsigned seed = 0; seed < 20; ++seed) {
    Photographed how;
    how.seed = 100 + seed;
    how.f_px = 240 + 80 * unit(random), how.bend = -0.04 + 0.06 * unit(random), how.noise_px = 0.3 + unit(random);
    WallOptions options;
    options.target = {2 * kRadius_mm, 0.3, kApart_mm, 0.4};
    auto true_mm = options.target;
    true_mm.bore_mm += options.target.bore_u_mm * normal(random);
    true_mm.apart_mm += options.target.apart_u_mm * normal(random);
    const auto answer = Fit(how, true_mm, options);
    if (!answer.ok()) continue;
    ++found;
    within += WorstSight_deg(answer.value(), how) < 2 * answer.value().sight_u_deg;
  }
  EXPECT_GE(found, 17);
  EXPECT_GE(within, found - 3) << within << " of " << found;
}

TEST(CalibrateByWall, LengthsKnownWorseMakeItsSightsLessCertain) {
  WallOptions rough;
  rough.target = {2 * kRadius_mm, 0.1, kApart_mm, 1.2};  // 3 %
  const auto sharp = Fit({}), blunt = Fit({}, Target(), rough);
  ASSERT_TRUE(sharp.ok() && blunt.ok());
  EXPECT_GT(blunt.value().sight_u_deg, 1.5 * sharp.value().sight_u_deg);
}

TEST(CalibrateByWall, PicturesFromOneDistanceLeaveTheLensOpen) {
  Photographed how;
  how.away_mm = {60, 60, 60, 60, 60};
  const auto found = Fit(how);
  ASSERT_FALSE(found.ok());
  EXPECT_THAT(found.error().message, HasSubstr("from more distances"));
}

TEST(CalibrateByWall, RefusesWhatCannotBeFitted) {
  Photographed how;
  how.views = 2;
  EXPECT_THAT(Fit(how).error().message, HasSubstr("2 pictures are marked"));
  how.views = 3, how.points = 3;
  EXPECT_THAT(Fit(how).error().message, HasSubstr("view_0.jpg: 6 points"));
  auto views = Photograph({});
  for (auto& point : views[1].points) point.along_mm = 5;
  WallOptions options;
  options.target = Target();
  EXPECT_THAT(CalibrateByWall(views, kWidth_px, kHeight_px, options).error().message, HasSubstr("on one mark"));
  options.target.bore_u_mm = 0;
  EXPECT_THAT(CalibrateByWall(views, kWidth_px, kHeight_px, options).error().message, HasSubstr("bore_u_mm is 0"));
}

TEST(CalibrateByWall, TheCameraBlockCarriesTargetAndUncertainty) {
  const auto found = Fit({});
  ASSERT_TRUE(found.ok());
  const auto block = nlohmann::json::parse(CameraBlockJson(found.value(), {"head", "2026-02-03", ""}).value());
  EXPECT_EQ(block["calibration"]["target"], "marks 40 mm apart (u 0.1 mm) in a bore of 154 mm (u 0.1 mm)");
  EXPECT_GE(block["calibration"]["sight_u_deg"].get<double>(), found.value().sight_u_deg);
  EXPECT_LE(block["calibration"]["sight_u_deg"].get<double>(), found.value().sight_u_deg + 0.001);
}

}  // namespace
}  // namespace vision::camera
