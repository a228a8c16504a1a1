#pragma once

#include <Eigen/Core>
#include <opencv2/core.hpp>

#include "vision/base/result.h"
#include "vision/pose/axis.h"
#include "vision/pose/pose.h"

namespace vision::pose {

/// The weld ring as a circle around the bore, the axis given.
struct RingSeen {
  Eigen::Vector2d offset_mm{0, 0};  ///< Camera centre across the bore, x and y of the bore frame.
  double distance_mm = 0;           ///< Along the axis from the camera to the ring's middle, > 0.
  double strength = 0;              ///< Energy of the ring over that of the wall's own bands.
};

/// Finds the circle whose averaged profile along the axis stands out most, over offset and distance.
/// In azimuth theta and t = ln tan(angle from the axis) a circle around the bore at distance d is t = ln rho(theta) -
/// ln d, with rho the camera's distance to the wall at that azimuth, so an offset is a shift of columns and no
/// resampling is needed.
/// @return kNotFound "no weld found: ..." when no circle stands out.
Result<RingSeen> FindRing(const cv::Mat1f& grey, const FrameSetting& setting, const Eigen::Matrix3d& rotation,
                          double radius_mm, const PoseOptions& options);

}  // namespace vision::pose
