#pragma once

#include <Eigen/Core>
#include <optional>

/// Frames of reference, fixed once.
/// `bore`: z along the pipe axis in mm, +z from piece a to piece b, z = 0 at the weld centreline;
///   x = -r sin(theta), y = r cos(theta), so +x is at 9 o'clock for someone looking along +z; right-handed.
/// `cam`: x right, y down, z forward (OpenCV). Pixels: the CENTRE of the top-left pixel is (0, 0).
/// Height h = R - r: positive stands into the bore. Left = the -z side.
namespace vision::bore {

/// The inside of a straight pipe near the weld.
struct Bore {
  double radius_mm = 0;    ///< > 0.
  double radius_u_mm = 0;  ///< Standard uncertainty of the radius (k = 1).
};

/// A place on the inside surface.
struct BorePoint {
  double theta_deg = 0;
  double z_mm = 0;
  double height_mm = 0;
};

/// Where a camera stood: x_bore = rotation * x_cam + translation_mm. Columns of `rotation` are the image's right,
/// the image's down and the viewing direction, in the bore frame; `translation_mm` is the camera's centre.
struct BoreFromCam {
  Eigen::Matrix3d rotation = Eigen::Matrix3d::Identity();
  Eigen::Vector3d translation_mm = Eigen::Vector3d::Zero();

  Eigen::Vector3d CamFromBore(const Eigen::Vector3d& x_bore) const {
    return rotation.transpose() * (x_bore - translation_mm);
  }
  double tilt_deg() const;  ///< Unsigned, viewing direction against the bore's axis, either way along it.
  double axis_azimuth_deg() const;  ///< Bore angle towards which the view leans, in [0, 360).
};

/// @return Cartesian place in the bore frame, mm.
Eigen::Vector3d XyzFromBore(const BorePoint& point, double radius_mm);

/// @return theta in [0, 360); height relative to `radius_mm`.
BorePoint BoreFromXyz(const Eigen::Vector3d& xyz_mm, double radius_mm);

/// Where the ray from `origin_mm` (inside the cylinder) along `direction` meets the wall of radius `radius_mm`.
/// Solves a s^2 + 2 b s + c = 0 for |p_xy(s)| = radius, in the form without cancellation when b > 0 (Higham, Accuracy
/// and Stability of Numerical Algorithms, 2nd ed., sec. 1.8).
/// @return nullopt if the origin is not inside the bore or the ray is parallel to the axis.
std::optional<BorePoint> WallFromRay(const Eigen::Vector3d& origin_mm, const Eigen::Vector3d& direction,
                                     double radius_mm);

}  // namespace vision::bore
