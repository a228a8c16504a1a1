#include "vision/camera/lens.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>
#include <opencv2/calib3d.hpp>
#include <opencv2/ccalib/omnidir.hpp>
#include <random>

namespace vision::camera {
namespace {

constexpr double kRad = std::numbers::pi / 180;
constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

Lens Pinhole() {
  return {LensModel::kPinhole, 640, 480, 535.9, 534.1, 342.3, 235.6, 0, {-0.266, -0.0386, 0.0018, -0.0003, 0.238}, 35};
}
Lens KannalaBrandt() {
  return {LensModel::kKannalaBrandt, 640, 720, 190, 191, 318.9, 319.6, 0, {-0.0174, 0.0183, -0.0084, 0.0004}, 95};
}
Lens Omni() {
  return {LensModel::kOmni, 640, 720, 398.8, 399.1, 319.2, 319.7, 1.133, {-0.2497, 0.0097, 0.0004, -0.0003}, 95};
}
Lens Equidistant() { return {LensModel::kEquidistant, 1280, 960, 311.05, 311.05, 639.5, 479.5, 0, {}, 120}; }

cv::Mat MatrixOf(const Lens& lens) {
  return (cv::Mat_<double>(3, 3) << lens.fx_px, 0, lens.cx_px, 0, lens.fy_px, lens.cy_px, 0, 0, 1);
}

/// Points in front of a camera, up to `max_deg` from its axis, at 5 to 500 mm.
std::vector<cv::Point3d> Sights(double max_deg) {
  std::mt19937 random(11);
  std::uniform_real_distribution<double> unit(0, 1);
  std::vector<cv::Point3d> points{{0, 0, 1}};
  for (int i = 0; i < 300; ++i) {
    const double a = max_deg * kRad * unit(random), b = 2 * std::numbers::pi * unit(random), d = 5 + 495 * unit(random);
    points.emplace_back(d * std::sin(a) * std::cos(b), d * std::sin(a) * std::sin(b), d * std::cos(a));
  }
  return points;
}

void ExpectSame(const Lens& lens, const std::vector<cv::Point3d>& points, const std::vector<cv::Point2d>& opencv) {
  for (std::size_t i = 0; i < points.size(); ++i) {
    const auto got = lens.Project({points[i].x, points[i].y, points[i].z});
    ASSERT_TRUE(got) << points[i];
    EXPECT_LE((*got - Eigen::Vector2d(opencv[i].x, opencv[i].y)).norm(), 1e-8) << points[i];
  }
}

TEST(Project, AgreesWithOpenCvPinhole) {
  const Lens lens = Pinhole();
  const auto points = Sights(34.9);
  std::vector<cv::Point2d> opencv;
  cv::projectPoints(points, cv::Vec3d(), cv::Vec3d(), MatrixOf(lens), lens.distortion, opencv);
  ExpectSame(lens, points, opencv);
}

TEST(Project, AgreesWithOpenCvRationalPinhole) {
  Lens lens = Pinhole();
  lens.distortion = {0.1, -0.02, 0.001, -0.002, 0.003, 0.05, 0.01, -0.004};
  const auto points = Sights(34.9);
  std::vector<cv::Point2d> opencv;
  cv::projectPoints(points, cv::Vec3d(), cv::Vec3d(), MatrixOf(lens), lens.distortion, opencv);
  ExpectSame(lens, points, opencv);
}

TEST(Project, AgreesWithOpenCvFisheye) {  // OpenCV's divides by z: valid below 90 degrees only
  const Lens lens = KannalaBrandt();
  const auto points = Sights(89);
  std::vector<cv::Point2d> opencv;
  cv::fisheye::projectPoints(points, opencv, cv::Vec3d(), cv::Vec3d(), MatrixOf(lens), lens.distortion);
  ExpectSame(lens, points, opencv);
}

TEST(Project, AgreesWithOpenCvOmnidirectional) {
  const Lens lens = Omni();
  const auto points = Sights(94.9);
  std::vector<cv::Point2d> opencv;
  cv::omnidir::projectPoints(points, opencv, cv::Vec3d(), cv::Vec3d(), MatrixOf(lens), lens.xi, lens.distortion);
  ExpectSame(lens, points, opencv);
}

TEST(Project, EquidistantByHand) {  // 100 degrees from the axis towards +x: 311.05 * 100 pi / 180 = 542.8847 px
  const auto pixel = Equidistant().Project({std::sin(100 * kRad), 0, std::cos(100 * kRad)});
  ASSERT_TRUE(pixel);
  EXPECT_NEAR(pixel->x(), 639.5 + 542.8847, 1e-3);
  EXPECT_NEAR(pixel->y(), 479.5, 1e-12);
}

TEST(Project, BeyondNinetyDegreesContinuesTheCurve) {  // Kannala-Brandt's polynomial in the angle, worked out here
  const Lens lens = KannalaBrandt();
  for (const double deg : {89.999, 90.0, 90.001, 94.0}) {
    const double a = deg * kRad, a3 = a * a * a, a5 = a3 * a * a, a7 = a5 * a * a, a9 = a7 * a * a;
    const double bent = a - 0.0174 * a3 + 0.0183 * a5 - 0.0084 * a7 + 0.0004 * a9;
    const auto pixel = lens.Project({0, std::sin(a), std::cos(a)});
    ASSERT_TRUE(pixel) << deg;
    EXPECT_NEAR(pixel->y(), 319.6 + 191 * bent, 1e-9) << deg;
  }
}

class EveryLens : public ::testing::TestWithParam<Lens> {};

TEST_P(EveryLens, RayInvertsProject) {
  const Lens lens = GetParam();
  ASSERT_FALSE(lens.Check());
  for (double deg = 0; deg <= lens.max_angle_deg; deg += lens.max_angle_deg / 40)
    for (double around = 0; around < 2 * std::numbers::pi; around += 0.37) {
      const double a = deg * kRad;
      const Eigen::Vector3d sight(std::sin(a) * std::cos(around), std::sin(a) * std::sin(around), std::cos(a));
      const auto pixel = lens.Project(40 * sight);
      if (!pixel && deg > lens.max_angle_deg - 1e-9) continue;  // the edge itself may fall either way by rounding
      ASSERT_TRUE(pixel) << deg;
      const auto back = lens.Ray(*pixel);
      ASSERT_TRUE(back) << deg << " " << around;
      EXPECT_LE((*back - sight).norm(), 1e-9) << deg;
      EXPECT_NEAR(back->norm(), 1, 1e-12);
    }
}

TEST_P(EveryLens, LooksAlongItsAxisAtTheCentre) {
  const Lens lens = GetParam();
  const auto pixel = lens.Project({0, 0, 5});
  ASSERT_TRUE(pixel);
  EXPECT_EQ(*pixel, Eigen::Vector2d(lens.cx_px, lens.cy_px));
  const auto ray = lens.Ray({lens.cx_px, lens.cy_px});
  ASSERT_TRUE(ray);
  EXPECT_LE((*ray - Eigen::Vector3d(0, 0, 1)).norm(), 1e-12);
}

TEST_P(EveryLens, SeesNothingBeyondItsEdge) {
  const Lens lens = GetParam();
  const double inside = (lens.max_angle_deg - 1e-6) * kRad, outside = (lens.max_angle_deg + 1e-6) * kRad;
  EXPECT_TRUE(lens.Project({std::sin(inside), 0, std::cos(inside)}));
  EXPECT_FALSE(lens.Project({std::sin(outside), 0, std::cos(outside)}));
  EXPECT_FALSE(lens.Project({0, 0, -1})) << "straight behind";
  EXPECT_FALSE(lens.Project({0, 0, 0})) << "the camera's own centre";
  EXPECT_FALSE(lens.Ray({lens.cx_px + 5000, lens.cy_px}));
  EXPECT_FALSE(lens.Sees({-0.001, lens.cy_px}));
  EXPECT_FALSE(lens.Sees({lens.cx_px, lens.height_px - 0.999}));
}

TEST_P(EveryLens, HasNoAnswerToNaN) {
  const Lens lens = GetParam();
  EXPECT_FALSE(lens.Project({kNan, 0, 1}));
  EXPECT_FALSE(lens.Project({0, 0, kNan}));
  EXPECT_FALSE(lens.Ray({kNan, 0}));
  EXPECT_FALSE(lens.Sees({0, kNan}));
}

INSTANTIATE_TEST_SUITE_P(Models, EveryLens, ::testing::Values(Pinhole(), KannalaBrandt(), Omni(), Equidistant()),
                         [](const auto& one) { return NameOf(one.param.model); });

TEST(Lens, NamesGoBothWays) {
  for (const LensModel model :
       {LensModel::kEquidistant, LensModel::kKannalaBrandt, LensModel::kPinhole, LensModel::kOmni})
    EXPECT_EQ(LensModelFromName(NameOf(model)), model);
  EXPECT_FALSE(LensModelFromName("fisheye"));
}

TEST(LensCheck, NamesTheField) {
  const auto message = [](auto change) {
    Lens lens = Pinhole();
    change(lens);
    const auto error = lens.Check();
    return error ? error->message : "";
  };
  EXPECT_NE(message([](Lens& l) { l.fx_px = 0; }).find("fx"), std::string::npos);
  EXPECT_NE(message([](Lens& l) { l.fy_px = kNan; }).find("fy"), std::string::npos);
  EXPECT_NE(message([](Lens& l) { l.width_px = 20000; }).find("width"), std::string::npos);
  EXPECT_NE(message([](Lens& l) { l.cx_px = kNan; }).find("cx"), std::string::npos);
  EXPECT_NE(message([](Lens& l) { l.max_angle_deg = 90; }).find("max_angle_deg"), std::string::npos);
  EXPECT_NE(message([](Lens& l) { l.distortion = {kNan}; }).find("distortion"), std::string::npos);
  EXPECT_NE(message([](Lens& l) { l.xi = -1; }).find("xi"), std::string::npos);
}

TEST(PictureEdge, IsTheAngleOfTheFarthestCorner) {
  Lens lens;
  lens.model = LensModel::kPinhole;
  lens.width_px = 641, lens.height_px = 481;
  lens.fx_px = lens.fy_px = 400;
  lens.cx_px = 320, lens.cy_px = 240;
  lens.max_angle_deg = kWidestPinhole_deg;
  EXPECT_NEAR(PictureEdgeDeg(lens), 45, 1e-5);  // 320, 240, 400: atan(400 / 400)
  lens.cx_px = 300;                             // the right border is now 340 away: atan(sqrt(340^2 + 240^2) / 400)
  EXPECT_NEAR(PictureEdgeDeg(lens), 46.13521, 1e-4);
}

}  // namespace
}  // namespace vision::camera
