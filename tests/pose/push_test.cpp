#include "vision/pose/push.h"

#include <gmock/gmock.h>

#include <Eigen/Geometry>
#include <cmath>
#include <random>

#include "vision/bore/angle.h"

namespace vision::pose {
namespace {

camera::Lens TestLens() {
  camera::Lens lens;
  lens.width_px = 1280, lens.height_px = 960;
  lens.fx_px = lens.fy_px = 320;
  lens.cx_px = 639.5, lens.cy_px = 479.5;
  lens.max_angle_deg = 88;
  return lens;
}

/// A push through a bore of 51 mm radius whose right wall stands 0.3 mm in and a little aside. Formulas of the
/// projection are written out here, not taken from the code under test.
struct MadeUp {
  std::vector<PushFrame> frames;
  std::vector<bore::BoreFromCam> truth;
  std::vector<WallPoint> points;
  std::vector<WallSighting> exact;
  bore::Bore bore{51, 0.02};
};

double RightWall(double theta_deg) { return 0.3 + 0.15 * std::cos((theta_deg - 40) * bore::kRadPerDeg); }

MadeUp Make(double sigma_px) {
  MadeUp made;
  for (int i = 0; i < 6; ++i) {
    bore::BoreFromCam pose;
    const double turn = 0.02 * std::sin(1.7 * i);
    pose.rotation = (Eigen::AngleAxisd(0.5 + turn, Eigen::Vector3d::UnitZ()) *
                     Eigen::AngleAxisd(0.05 + 0.01 * i, Eigen::Vector3d::UnitX()))
                        .toRotationMatrix();
    pose.translation_mm << 2 + 0.2 * std::cos(2.0 * i), -4 + 0.1 * i, -80 + 11 * i;
    made.truth.push_back(pose);
    PushFrame frame;
    frame.setting.lens = TestLens();
    const Eigen::Vector3d up = -pose.rotation.col(1);
    frame.setting.up_theta_deg = std::atan2(-up.x(), up.y()) * bore::kDegPerRad;
    frame.start.bore_from_cam = pose;
    frame.start.bore_from_cam.translation_mm += Eigen::Vector3d(1, -0.7, 0.5 * std::sin(i));
    frame.start.bore_from_cam.rotation =
        pose.rotation * Eigen::AngleAxisd(0.015, Eigen::Vector3d(0.3, -1, 0).normalized()).toRotationMatrix();
    made.frames.push_back(frame);
  }
  for (int row = 0; row < 12; ++row)
    for (int k = 0; k < 24; ++k) {
      const double z = -50 + 8.3 * row, theta = 15.0 * k + row;
      if (std::abs(z) < 5) continue;
      made.points.push_back({theta, z, z < 0});
      const double r = 51 - (z > 0 ? RightWall(theta) : 0), t = theta * bore::kRadPerDeg;
      for (std::size_t i = 0; i < made.truth.size(); ++i) {
        const Eigen::Vector3d p =
            made.truth[i].rotation.transpose() *
            (Eigen::Vector3d(-r * std::sin(t), r * std::cos(t), z) - made.truth[i].translation_mm);
        const double q = std::hypot(p.x(), p.y()), angle = std::atan2(q, p.z());
        if (angle > 1.4) continue;
        made.exact.push_back({i,
                              made.points.size() - 1,
                              {639.5 + 320 * angle * p.x() / q, 479.5 + 320 * angle * p.y() / q},
                              sigma_px * sigma_px * Eigen::Matrix2d::Identity()});
      }
    }
  return made;
}

std::vector<WallSighting> Noisy(const MadeUp& made, double sigma_px, std::uint32_t seed) {
  std::mt19937 random(seed);
  std::normal_distribution<double> normal(0, sigma_px);
  auto sightings = made.exact;
  for (auto& sighting : sightings) sighting.pixel += Eigen::Vector2d(normal(random), normal(random));
  return sightings;
}

TEST(SolvePush, FindsExactPosesAndTheStepOfTheWallFromExactSightings) {
  const auto made = Make(0.2);
  const auto solved = SolvePush(made.frames, made.points, made.exact, made.bore);
  ASSERT_TRUE(solved.ok()) << solved.error().message;
  // z as a whole is held only by the starts, so it is taken out; priors pull the step by a thousandth.
  const double shift = solved.value().poses[0].bore_from_cam.translation_mm.z() - made.truth[0].translation_mm.z();
  for (std::size_t i = 0; i < made.truth.size(); ++i) {
    Eigen::Vector3d off = solved.value().poses[i].bore_from_cam.translation_mm - made.truth[i].translation_mm;
    off.z() -= shift;
    EXPECT_LT(off.norm(), 0.01) << i << ": " << off.transpose();
    const Eigen::Matrix3d turn = solved.value().poses[i].bore_from_cam.rotation.transpose() * made.truth[i].rotation;
    EXPECT_LT(Eigen::AngleAxisd(turn).angle(), 1e-4);
  }
  for (const double theta : {0.0, 40.0, 130.0, 220.0, 310.0})
    EXPECT_NEAR(solved.value().levels.Step(theta), RightWall(theta), 0.005) << theta;
  EXPECT_LT(solved.value().residual_px, 0.01);
}

// 40 pushes with Gaussian noise of the promised size: the spread of each number over its own promised deviation.
// Of 40 draws the ratio itself strays by 11 %; over 12 numbers its mean by less.
TEST(SolvePush, CovarianceAgreesWithMonteCarlo) {
  const double sigma_px = 0.3;
  const int draws = 40;
  const auto made = Make(sigma_px);
  std::vector<Eigen::VectorXd> values;
  Eigen::VectorXd promised;
  for (int n = 0; n < draws; ++n) {
    PushOptions options;
    options.robust = 30;  // plain least squares, which the formula is for
    const auto solved =
        SolvePush(made.frames, made.points, Noisy(made, sigma_px, 100U + static_cast<unsigned>(n)), made.bore, options);
    ASSERT_TRUE(solved.ok());
    const auto& s = solved.value();
    EXPECT_NEAR(s.chi, 1, 0.12);
    Eigen::VectorXd x(12), u(12);
    int k = 0;
    for (const std::size_t i : {0U, 5U}) {
      const auto& pose = s.poses[i].bore_from_cam;
      const Eigen::Vector3d turn = [&] {
        const Eigen::AngleAxisd t((made.truth[i].rotation.transpose() * pose.rotation).eval());
        return Eigen::Vector3d(t.angle() * t.axis());
      }();
      for (int c = 0; c < 2; ++c) x[k] = pose.translation_mm[c], u[k++] = std::sqrt(s.covariances[i](c, c));
      for (int c = 0; c < 2; ++c) x[k] = turn[c], u[k++] = std::sqrt(s.covariances[i](3 + c, 3 + c));
    }
    for (const double theta : {0.0, 90.0, 180.0, 270.0}) x[k] = s.levels.Step(theta), u[k++] = s.levels.StepU(theta);
    values.push_back(x);
    promised = u;
  }
  Eigen::VectorXd mean = Eigen::VectorXd::Zero(12), variance = Eigen::VectorXd::Zero(12);
  for (const auto& x : values) mean += x / draws;
  for (const auto& x : values) variance += (x - mean).cwiseAbs2() / (draws - 1);
  const Eigen::VectorXd ratio = variance.cwiseSqrt().cwiseQuotient(promised);
  EXPECT_NEAR(ratio.mean(), 1, 0.15) << ratio.transpose();
  EXPECT_GT(ratio.minCoeff(), 0.6) << ratio.transpose();
  EXPECT_LT(ratio.maxCoeff(), 1.5) << ratio.transpose();
}

TEST(SolvePush, OneInTenWrongSightingsDoNotMoveIt) {
  const auto made = Make(0.2);
  auto sightings = Noisy(made, 0.2, 7);
  for (std::size_t i = 0; i < sightings.size(); i += 10) sightings[i].pixel += Eigen::Vector2d(9, -6);
  const auto solved = SolvePush(made.frames, made.points, sightings, made.bore);
  ASSERT_TRUE(solved.ok()) << solved.error().message;
  for (std::size_t i = 0; i < made.truth.size(); ++i) {
    const Eigen::Vector3d off = solved.value().poses[i].bore_from_cam.translation_mm - made.truth[i].translation_mm;
    EXPECT_LT(off.head<2>().norm(), 0.1) << i;
  }
  EXPECT_LT(solved.value().used_share, 0.93);
}

TEST(SolvePush, ACounterHoldsTheStepsThatTheWallDoesNot) {
  auto made = Make(0.2);
  for (auto& sighting : made.exact) sighting.covariance_px2 *= 1e6;  // the wall tells next to nothing
  for (std::size_t i = 0; i < made.frames.size(); ++i) made.frames[i].travel_mm = 500 + 11.0 * static_cast<double>(i);
  PushOptions options;
  options.counter_u_mm = 0.01;
  const auto solved = SolvePush(made.frames, made.points, made.exact, made.bore, options);
  ASSERT_TRUE(solved.ok()) << solved.error().message;
  for (std::size_t i = 1; i < made.truth.size(); ++i)
    EXPECT_NEAR(solved.value().poses[i].bore_from_cam.translation_mm.z() -
                    solved.value().poses[i - 1].bore_from_cam.translation_mm.z(),
                11, 0.05);
}

/// Where the wall past the weld bends (a radius of 250 mm from z = 0 on, towards +x), what the frames show alone holds
/// the axis: with it the tilts stay nearer the truth than without.
TEST(SolvePush, WhatTheFramesShowAloneHoldsTheAxisAgainstABend) {
  auto made = Make(0.8);  // as sure as the tracker calls its sightings (TrackOptions::alike)
  for (auto& sighting : made.exact) {
    const WallPoint& point = made.points[sighting.point];
    if (point.z_mm <= 0) continue;
    const double r = 51 - RightWall(point.theta_deg), t = point.theta_deg * bore::kRadPerDeg;
    const double bend = point.z_mm * point.z_mm / 500;
    const auto& pose = made.truth[sighting.frame];
    const Eigen::Vector3d p =
        pose.rotation.transpose() *
        (Eigen::Vector3d(-r * std::sin(t) + bend, r * std::cos(t), point.z_mm) - pose.translation_mm);
    const double q = std::hypot(p.x(), p.y()), angle = std::atan2(q, p.z());
    sighting.pixel = {639.5 + 320 * angle * p.x() / q, 479.5 + 320 * angle * p.y() / q};
  }
  const auto worst_deg = [&made](bool with_starts) {
    for (std::size_t i = 0; i < made.frames.size(); ++i) {
      made.frames[i].start.bore_from_cam = made.truth[i];
      made.frames[i].start.agreement = with_starts ? 1 : 0;
      made.frames[i].start.covariance.diagonal() << 0.25, 0.25, 1, 2.5e-5, 2.5e-5;  // 0.5 mm, 0.3 degree
    }
    const auto solved = SolvePush(made.frames, made.points, made.exact, made.bore);
    EXPECT_TRUE(solved.ok());
    double worst = 0;
    for (std::size_t i = 0; solved.ok() && i < made.truth.size(); ++i)
      worst = std::max(worst, std::acos(std::min(1.0, solved.value().poses[i].bore_from_cam.rotation.row(2).dot(
                                                          made.truth[i].rotation.row(2)))) *
                                  bore::kDegPerRad);
    return worst;
  };
  const double without = worst_deg(false), with = worst_deg(true);
  EXPECT_GT(without, 0.3) << "the bend must matter for this to say anything";
  EXPECT_LT(with, 0.7 * without);
}

TEST(SolvePush, AFrameThatSharesNothingIsNamed) {
  auto made = Make(0.2);
  std::erase_if(made.exact, [](const WallSighting& s) { return s.frame == 3; });
  const auto solved = SolvePush(made.frames, made.points, made.exact, made.bore);
  ASSERT_FALSE(solved.ok());
  EXPECT_EQ(solved.error().code, ErrorCode::kNotFound);
  EXPECT_THAT(solved.error().message, testing::HasSubstr("frame 4"));
}

TEST(PushOptions, NamesWhatIsWrong) {
  PushOptions options;
  options.up_u_deg = 0;
  EXPECT_THAT(options.Check()->message, testing::HasSubstr("up_u_deg"));
  options = {};
  options.lens_u = 0.5;
  EXPECT_THAT(options.Check()->message, testing::HasSubstr("lens_u"));
}

}  // namespace
}  // namespace vision::pose
