#pragma once

#include <Eigen/Core>
#include <opencv2/core.hpp>

#include "vision/base/result.h"
#include "vision/pose/pose.h"

namespace vision::pose {

/// The bore's axis as one frame shows it.
struct AxisSeen {
  Eigen::Vector3d axis_cam{0, 0, 1};  ///< Unit, camera frame, away from the camera.
  double sigma_rad = 0;               ///< Standard uncertainty of either tilt.
};

/// Finds the axis from the way the far end of the bore darkens. With the light beside the lens, ln grey is a function
/// of the angle from the axis minus a multiple of ln(distance to the wall), whatever the wall reflects; so a wrong axis
/// and an offset leave first harmonics that grow apart with the angle, and one linear fit tells them apart.
/// @return kNotFound "not a view along a bore: ..." when the picture does not darken about one direction.
Result<AxisSeen> FindAxis(const cv::Mat1f& grey, const FrameSetting& setting, const PoseOptions& options);

/// A picture resampled around an assumed axis: columns are azimuth (0 at the image's up, growing towards `clockwise` in
/// the bore), rows are angle from the axis.
struct PolarPicture {
  cv::Mat1f grey;                     ///< NaN where the lens does not see.
  double from_deg = 0, step_deg = 0;  ///< Angle from the axis of row 0, and per row.
};

/// @param rotation bore_from_cam; columns then are theta as seen from the axis, 0.5 degree each.
PolarPicture Polar(const cv::Mat1f& grey, const FrameSetting& setting, const Eigen::Matrix3d& rotation, double from_deg,
                   double to_deg, double step_deg, int columns = 720);

}  // namespace vision::pose
