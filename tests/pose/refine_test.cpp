#include <gmock/gmock.h>

#include <random>

#include "fixtures/scene/scenario.h"
#include "vision/bore/angle.h"
#include "vision/pose/pose.h"

namespace vision::pose {
namespace {

constexpr double kRadius_mm = 77, kWidth_mm = 4.6, kToe_mm = 0.3, kLean_rad = 0.4 * bore::kRadPerDeg;

/// A camera at a known place, and toe points made from it with the lens's exact projection.
struct Bench {
  FrameSetting setting;
  bore::BoreFromCam truth;

  explicit Bench(bool plus_z)
      : setting{fixtures::scene::TypicalLens("equidistant", 1280, 960).value(),
                plus_z ? Facing::kPlusZ : Facing::kMinusZ,
                0,
                {}},
        truth(fixtures::scene::PoseLooking(plus_z, 3, -5, plus_z ? -58 : 58, 2, -3, 140)) {
    setting.up_theta_deg = fixtures::scene::UpThetaDeg(truth);
  }

  RingPoint Point(double theta_deg, bool left, double stray_mm) const {
    const double z = (left ? -0.5 : 0.5) * kWidth_mm + stray_mm;
    const auto wall = bore::XyzFromBore({theta_deg, z, 0}, kRadius_mm);
    return {setting.lens.Project(truth.CamFromBore(wall)).value(), kToe_mm, left};
  }

  /// The far end's witness: the axis leaning by (a, b) from the truth.
  Pose Start(double a, double b) const {
    const Eigen::Vector3d side(0, 0, setting.facing == Facing::kMinusZ ? -1 : 1);
    const Eigen::Vector3d axis = (truth.rotation.transpose() * side + Eigen::Vector3d(a, b, 0)).normalized();
    Pose start;
    start.bore_from_cam.rotation = RotationFromAxis(axis, setting.up_theta_deg, setting.facing);
    start.bore_from_cam.translation_mm = truth.translation_mm + Eigen::Vector3d(2, -1.5, 2.5);
    start.covariance(3, 3) = start.covariance(4, 4) = kLean_rad * kLean_rad;
    return start;
  }
};

TEST(RefinePose, ExactPointsGiveTheExactPlace) {
  for (const bool plus_z : {true, false}) {
    const Bench bench(plus_z);
    std::vector<RingPoint> points;
    for (int i = 0; i < 72; ++i)
      points.push_back(bench.Point(5.0 * i, true, 0)), points.push_back(bench.Point(5.0 * i, false, 0));
    const auto pose = RefinePose(bench.Start(0, 0), points, {kRadius_mm, 0}, bench.setting);
    ASSERT_TRUE(pose.ok()) << pose.error().message;
    const Eigen::Vector3d off = pose.value().bore_from_cam.translation_mm - bench.truth.translation_mm;
    EXPECT_LT(off.norm(), 0.05) << off.transpose();
    EXPECT_LT((pose.value().bore_from_cam.rotation - bench.truth.rotation).norm(), 1e-3);
    EXPECT_LT(pose.value().residual_px, 0.1);
  }
}

TEST(RefinePose, APartOfTheRingIsEnough) {
  const Bench bench(true);
  std::vector<RingPoint> points;
  for (int i = 0; i < 40; ++i) points.push_back(bench.Point(100 + 5.0 * i, true, 0));
  const auto pose = RefinePose(bench.Start(0, 0), points, {kRadius_mm, 0}, bench.setting);
  ASSERT_TRUE(pose.ok());
  const Eigen::Vector3d off = pose.value().bore_from_cam.translation_mm - bench.truth.translation_mm;
  EXPECT_LT(off.head<2>().norm(), 0.1) << off.transpose();
  EXPECT_LT(std::abs(off.z()), 0.3) << off.transpose();  // the width is held at 5 mm only weakly: (5 - 4.6) / 2
}

/// How many neighbours share one stray. Sixteen places stray independently, as the room assumes.
class Scatter : public testing::TestWithParam<int> {};

TEST_P(Scatter, IsWhatTheCovarianceSays) {
  const Bench bench(true);
  std::mt19937 random(17);
  std::normal_distribution<double> normal;
  const int trials = 400, sharing = GetParam();
  Eigen::Matrix<double, 5, 1> sum_squares = Eigen::Matrix<double, 5, 1>::Zero(), said = sum_squares;
  for (int trial = 0; trial < trials; ++trial) {
    std::vector<RingPoint> points;
    for (int place = 0; place < 8; ++place)
      for (const bool left : {true, false}) {
        const double stray = kToe_mm * normal(random);
        for (int k = 0; k < sharing; ++k)
          points.push_back(bench.Point(45.0 * (place + 1.0 * k / sharing), left, stray));
      }
    const auto pose = RefinePose(bench.Start(kLean_rad * normal(random), kLean_rad * normal(random)), points,
                                 {kRadius_mm, 0}, bench.setting);
    ASSERT_TRUE(pose.ok()) << pose.error().message;
    const auto& found = pose.value().bore_from_cam;
    const Eigen::Vector3d lean = (found.rotation - bench.truth.rotation).transpose() * Eigen::Vector3d::UnitZ();
    Eigen::Matrix<double, 5, 1> off;
    off << found.translation_mm - bench.truth.translation_mm, lean.x(), lean.y();
    sum_squares += off.cwiseProduct(off);
    said += pose.value().covariance.diagonal();
  }
  for (int i = 0; i < 5; ++i) {
    const double scatter = std::sqrt(sum_squares[i] / trials), stated = std::sqrt(said[i] / trials);
    EXPECT_NEAR(stated / scatter, 1, 0.3) << "number " << i << ": scatter " << scatter << ", stated " << stated;
  }
}

INSTANTIATE_TEST_SUITE_P(OneAndFiveToAPlace, Scatter, testing::Values(1, 5));

TEST(RefinePose, FewerThanSixPointsAreRefused) {
  const Bench bench(true);
  std::vector<RingPoint> points;
  for (int i = 0; i < 5; ++i) points.push_back(bench.Point(70.0 * i, true, 0));
  const auto pose = RefinePose(bench.Start(0, 0), points, {kRadius_mm, 0}, bench.setting);
  ASSERT_FALSE(pose.ok());
  EXPECT_EQ(pose.error().code, ErrorCode::kBadInput);
  EXPECT_THAT(pose.error().message, testing::HasSubstr("5 were given"));
}

}  // namespace
}  // namespace vision::pose
