#include "vision/pose/light_pose.h"

#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/base/says.h"
#include "vision/pose/axis.h"
#include "vision/pose/ring.h"

namespace vision::pose {
namespace {

cv::Mat1f Grey(const cv::Mat3b& frame) {
  cv::Mat grey;
  cv::cvtColor(frame, grey, cv::COLOR_BGR2GRAY);
  grey.convertTo(grey, CV_32F);
  return grey;
}

/// Shading puts the middle of a ring's brightness up to half a bead from the middle of the weld: 1.5 mm root mean
/// square on scenes with truth (tests/pose).
constexpr double kRingMiddle_mm = 1.5;

/// Offset and tilt lie along a valley: an axis wrong by a gives an offset wrong by a * distance for the same ring.
Eigen::Matrix<double, 5, 5> FirstCovariance(double distance_mm, double radius_mm, double sigma_tilt, double wander_mm) {
  Eigen::Matrix<double, 5, 5> covariance = Eigen::Matrix<double, 5, 5>::Zero();
  const double offset_var = std::pow(distance_mm * sigma_tilt, 2) + std::pow(wander_mm * radius_mm / distance_mm, 2);
  covariance.diagonal() << offset_var, offset_var, wander_mm * wander_mm + kRingMiddle_mm * kRingMiddle_mm,
      sigma_tilt * sigma_tilt, sigma_tilt * sigma_tilt;
  return covariance;
}

}  // namespace

Result<Pose> FindPoseByLight(const cv::Mat3b& frame, const bore::Bore& bore, const FrameSetting& setting,
                             const PoseOptions& options, const JobContext& job) {
  const cv::Mat1f grey = Grey(frame);
  const auto axis = FindAxis(grey, setting, options);
  if (!axis.ok()) return axis.error();
  if (job.Cancelled()) return Cancelled();
  Pose pose;
  pose.bore_from_cam.rotation = RotationFromAxis(axis.value().axis_cam, setting.up_theta_deg, setting.facing);
  const auto ring = FindRing(grey, setting, pose.bore_from_cam.rotation, bore.radius_mm, options);
  if (!ring.ok()) return ring.error();
  const double side = setting.facing == Facing::kMinusZ ? 1 : -1;
  pose.bore_from_cam.translation_mm << ring.value().offset_mm, side * ring.value().distance_mm;
  pose.covariance =
      FirstCovariance(ring.value().distance_mm, bore.radius_mm, axis.value().sigma_rad, options.ring_wander_mm);
  pose.ring_strength = ring.value().strength;
  pose.how = WordsOf(Says::kFoundInPicture);
  return pose;
}

}  // namespace vision::pose
