#pragma once

#include <Eigen/Core>
#include <opencv2/core.hpp>
#include <vector>

#include "vision/pose/sphere_chart.h"

namespace vision::pose {

/// The picture as the fitted reader of the stand is shown it: one pixel is about a column of its strip.
constexpr double kStandPxPerRad = 240;  ///< Format: the network's input.

/// @param mask As FrameSetting::mask.
SphereChart StandChart(const cv::Mat3b& picture, const camera::Lens& lens, const cv::Mat1b& mask);

/// The wall unrolled about a stand: rows uniform in the angle from the axis, near ones first; columns in azimuth from
/// AxisBasis e1 towards e2. What the reader's numbers mean is bound to these (scripts/stand/samples.py).
constexpr int kStandRows = 128, kStandColumns = 1440;   ///< Format: the network's input.
constexpr double kStandFromDeg = 24, kStandToDeg = 86;  ///< Format: the same.

struct StandStrip {
  cv::Mat1f light, tint;  ///< As SphereChart's; 0 where not seen.
  cv::Mat1f seen;         ///< 1 or 0.
};

/// @param lean, offset As AxisBasis and Stand.
StandStrip UnrollAbout(const WallView& view, const Eigen::Vector2d& lean, const Eigen::Vector2d& offset);

/// 1 x 5 x 128 x 1632: level, fine change around, change along, tint, seen; 96 columns wrapped on either side.
cv::Mat StandInput(const StandStrip& strip);

}  // namespace vision::pose
