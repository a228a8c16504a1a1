#include "vision/reading/push.h"

#include <gtest/gtest.h>

#include <Eigen/Geometry>

#include "vision/bore/angle.h"

namespace vision::reading {
namespace {

pose::Pose Leaning(double tilt_deg, double x_mm) {
  pose::Pose pose;
  pose.bore_from_cam.rotation =
      Eigen::AngleAxisd(tilt_deg * bore::kRadPerDeg, Eigen::Vector3d::UnitX()).toRotationMatrix();
  pose.bore_from_cam.translation_mm << x_mm, 0, -60;
  const double tilt_u = 0.5 * bore::kRadPerDeg;
  pose.covariance.diagonal() << 1, 1, 1, tilt_u * tilt_u, tilt_u * tilt_u;
  return pose;
}

/// Five frames of 0.5 degree and 1 mm each; the solution leaves them by 6 degrees: 12 / sqrt 2 of their uncertainty.
TEST(FromSingly, CountsInTheFramesOwnUncertainty) {
  std::vector<pose::PushFrame> frames(5);
  pose::PushSolution same, off, one_off;
  for (auto& frame : frames) {
    frame.start = Leaning(1, 2);
    same.poses.push_back(Leaning(1, 2));
    off.poses.push_back(Leaning(7, 2));
    one_off.poses.push_back(Leaning(one_off.poses.empty() ? 7 : 1, 2));
  }
  EXPECT_NEAR(FromSingly(frames, same), 0, 1e-9);
  EXPECT_NEAR(FromSingly(frames, off), 12 / std::sqrt(2.0), 0.01);
  EXPECT_NEAR(FromSingly(frames, one_off), 0, 1e-9) << "one frame that was wrong alone is no reason";
  for (auto& pose : same.poses) pose.bore_from_cam.translation_mm.x() += 3;
  EXPECT_NEAR(FromSingly(frames, same), 3 / std::sqrt(2.0), 1e-9);
  EXPECT_GT(FromSingly(frames, off), PushLimits().most_from_single);
}

}  // namespace
}  // namespace vision::reading
