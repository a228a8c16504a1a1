#include "vision/bore/bore.h"

#include <cmath>

#include "vision/bore/angle.h"

namespace vision::bore {

double BoreFromCam::tilt_deg() const { return std::acos(std::min(1.0, std::abs(rotation(2, 2)))) * kDegPerRad; }

double BoreFromCam::axis_azimuth_deg() const {
  return Wrap360(std::atan2(-rotation(0, 2), rotation(1, 2)) * kDegPerRad);
}

Eigen::Vector3d XyzFromBore(const BorePoint& point, double radius_mm) {
  const double r_mm = radius_mm - point.height_mm, theta = point.theta_deg * kRadPerDeg;
  return {-r_mm * std::sin(theta), r_mm * std::cos(theta), point.z_mm};
}

BorePoint BoreFromXyz(const Eigen::Vector3d& xyz_mm, double radius_mm) {
  return {Wrap360(std::atan2(-xyz_mm.x(), xyz_mm.y()) * kDegPerRad), xyz_mm.z(),
          radius_mm - std::hypot(xyz_mm.x(), xyz_mm.y())};
}

std::optional<BorePoint> WallFromRay(const Eigen::Vector3d& origin_mm, const Eigen::Vector3d& direction,
                                     double radius_mm) {
  const auto o = origin_mm.head<2>(), d = direction.head<2>();
  const double a = d.squaredNorm(), b = o.dot(d), c = o.squaredNorm() - radius_mm * radius_mm;
  if (!(c < 0) || !(a > 1e-18)) return std::nullopt;
  const double root = std::sqrt(b * b - a * c);
  const double s = b > 0 ? -c / (b + root) : (root - b) / a;
  return BoreFromXyz(origin_mm + s * direction, radius_mm);
}

}  // namespace vision::bore
