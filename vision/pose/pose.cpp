#include "vision/pose/pose.h"

#include <Eigen/Geometry>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/bore/angle.h"
#include "vision/pose/axis.h"
#include "vision/pose/ring.h"

namespace vision::pose {

std::optional<Looks> LooksFromName(const std::string& name) {
  if (name == "+z") return Looks::kPlusZ;
  if (name == "-z") return Looks::kMinusZ;
  if (name == "side") return Looks::kSide;
  return std::nullopt;
}

std::string NameOf(Looks looks) { return looks == Looks::kPlusZ ? "+z" : looks == Looks::kMinusZ ? "-z" : "side"; }

double Pose::tilt_deg() const { return bore_from_cam.tilt_deg(); }
double Pose::offset_u_mm() const { return std::sqrt(std::max(covariance(0, 0), covariance(1, 1))); }
double Pose::z_u_mm() const { return std::sqrt(covariance(2, 2)); }
double Pose::tilt_u_deg() const { return std::sqrt(std::max(covariance(3, 3), covariance(4, 4))) * bore::kDegPerRad; }

Status PoseOptions::Check() const {
  if (!(max_tilt_deg > 0 && max_tilt_deg <= 45))
    return BadInput("PoseOptions::max_tilt_deg must be above 0 and at most 45.");
  if (!(max_offset_share > 0 && max_offset_share <= 0.8))
    return BadInput("PoseOptions::max_offset_share must be above 0 and at most 0.8.");
  if (!(ring_wander_mm > 0)) return BadInput("PoseOptions::ring_wander_mm must be > 0 mm.");
  if (!(min_ring_strength > 1)) return BadInput("PoseOptions::min_ring_strength must be > 1.");
  return std::nullopt;
}

Eigen::Matrix3d RotationFromAxis(const Eigen::Vector3d& axis_cam, double up_theta_deg, Looks looks) {
  const Eigen::Vector3d up = -Eigen::Vector3d::UnitY();
  const Eigen::Vector3d up_across = (up - up.dot(axis_cam) * axis_cam).normalized();
  const double sign = looks == Looks::kMinusZ ? -1 : 1;
  const double theta = up_theta_deg * bore::kRadPerDeg;
  Eigen::Matrix3d cam, in_bore;  // the same three directions in both frames
  cam << up_across, sign * axis_cam, (sign * axis_cam).cross(up_across);
  const Eigen::Vector3d bore_up(-std::sin(theta), std::cos(theta), 0), bore_z = Eigen::Vector3d::UnitZ();
  in_bore << bore_up, bore_z, bore_z.cross(bore_up);
  return in_bore * cam.transpose();
}

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

Result<Pose> FindPose(const cv::Mat3b& frame, const bore::Bore& bore, const FrameSetting& setting,
                      const PoseOptions& options, const JobContext& job) {
  if (auto broken = options.Check()) return *broken;
  if (!(bore.radius_mm > 0)) return BadInput("The bore's radius must be > 0 mm.");
  if (setting.looks == Looks::kSide)
    return NotFound(
        "a camera that looks sideways shows neither the far end nor the whole ring; give its pose in the joint file.");
  const cv::Mat1f grey = Grey(frame);
  const auto axis = FindAxis(grey, setting, options);
  if (!axis.ok()) return axis.error();
  if (job.Cancelled()) return Cancelled();
  Pose pose;
  pose.bore_from_cam.rotation = RotationFromAxis(axis.value().axis_cam, setting.up_theta_deg, setting.looks);
  const auto ring = FindRing(grey, setting, pose.bore_from_cam.rotation, bore.radius_mm, options);
  if (!ring.ok()) return ring.error();
  const double side = setting.looks == Looks::kMinusZ ? 1 : -1;
  pose.bore_from_cam.translation_mm << ring.value().offset_mm, side * ring.value().distance_mm;
  pose.covariance =
      FirstCovariance(ring.value().distance_mm, bore.radius_mm, axis.value().sigma_rad, options.ring_wander_mm);
  pose.ring_strength = ring.value().strength;
  pose.how = "found in the picture";
  return pose;
}

}  // namespace vision::pose
