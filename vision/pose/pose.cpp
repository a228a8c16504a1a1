#include "vision/pose/pose.h"

#include <Eigen/Geometry>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/base/says.h"
#include "vision/bore/angle.h"
#include "vision/pose/axis.h"
#include "vision/pose/ring.h"

namespace vision::pose {

std::optional<Facing> FacingFromName(const std::string& name) {
  if (name == "+z") return Facing::kPlusZ;
  if (name == "-z") return Facing::kMinusZ;
  if (name == "side") return Facing::kSide;
  return std::nullopt;
}

std::string NameOf(Facing facing) {
  return facing == Facing::kPlusZ ? "+z" : facing == Facing::kMinusZ ? "-z" : "side";
}

double Pose::tilt_deg() const { return bore_from_cam.tilt_deg(); }
double Pose::offset_u_mm() const { return std::sqrt(std::max(covariance(0, 0), covariance(1, 1))); }
double Pose::z_u_mm() const { return std::sqrt(covariance(2, 2)); }
double Pose::tilt_u_deg() const { return std::sqrt(std::max(covariance(3, 3), covariance(4, 4))) * bore::kDegPerRad; }

Error InDoubt() { return NotFound(Says::kPlaceInDoubt); }

Status MountPrior::Check() const {
  const auto broken = [](const char* field) { return BadInput(std::string("mount: ") + field + " must be above 0."); };
  if (centred_u_mm && !(*centred_u_mm > 0)) return broken("centred_u_mm");
  if (tilt_u_deg && !(*tilt_u_deg > 0)) return broken("tilt_u_deg");
  if (distance_mm && !(*distance_mm > 0)) return broken("distance_mm");
  if (!(distance_u_mm > 0)) return broken("distance_u_mm");
  return std::nullopt;
}

Status PoseOptions::Check() const {
  if (!(max_tilt_deg > 0 && max_tilt_deg <= 45))
    return BadInput("PoseOptions::max_tilt_deg must be above 0 and at most 45.");
  if (!(max_offset_share > 0 && max_offset_share <= 0.8))
    return BadInput("PoseOptions::max_offset_share must be above 0 and at most 0.8.");
  if (!(ring_wander_mm > 0)) return BadInput("PoseOptions::ring_wander_mm must be > 0 mm.");
  if (!(min_ring_strength > 1)) return BadInput("PoseOptions::min_ring_strength must be > 1.");
  if (!(doubtful_tilt_u_deg > 0)) return BadInput("PoseOptions::doubtful_tilt_u_deg must be > 0.");
  if (!(near_deg > 0 && near_share > 0)) return BadInput("PoseOptions::near_deg and near_share must be > 0.");
  return structure.Check();
}

Eigen::Matrix3d RotationFromAxis(const Eigen::Vector3d& axis_cam, double up_theta_deg, Facing facing) {
  const Eigen::Vector3d up = -Eigen::Vector3d::UnitY();
  const Eigen::Vector3d up_across = (up - up.dot(axis_cam) * axis_cam).normalized();
  const double sign = facing == Facing::kMinusZ ? -1 : 1;
  const double theta = up_theta_deg * bore::kRadPerDeg;
  Eigen::Matrix3d cam, in_bore;  // the same three directions in both frames
  cam << up_across, sign * axis_cam, (sign * axis_cam).cross(up_across);
  const Eigen::Vector3d bore_up(-std::sin(theta), std::cos(theta), 0), bore_z = Eigen::Vector3d::UnitZ();
  in_bore << bore_up, bore_z, bore_z.cross(bore_up);
  return in_bore * cam.transpose();
}

}  // namespace vision::pose
