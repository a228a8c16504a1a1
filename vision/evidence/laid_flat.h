#pragma once

#include <Eigen/Core>
#include <opencv2/core.hpp>

#include "vision/unroll/strip.h"

/// The strip as the fitted reader is shown it. Its rows begin at the camera's side: the strip of a camera that looks
/// along -z is turned upside down, so that the near toe always lies above the far one.
namespace vision::evidence {

/// Cells of the reader's window: row i at z = (i - rows / 2) * kRowPitch_mm from the strip's z = 0, towards the far
/// side; column j at theta = (j - 0.5) * kColumnPitch_deg, so that two columns stand for one station line.
constexpr int kWindowRows = 256, kColumns = 1440;                          ///< Format: the network's input.
constexpr double kRowPitch_mm = 0.1, kColumnPitch_deg = 360.0 / kColumns;  ///< Format: the same.

/// From where the strip was seen.
struct Sight {
  Eigen::Vector3d camera_mm = Eigen::Vector3d::Zero();  ///< Centre of the lens in the bore's frame.
  bool near_is_left = true;                             ///< The camera looks along +z.
};

struct LaidFlat {
  cv::Mat3b image;           ///< BGR; 0 where not seen.
  cv::Mat1b seen;            ///< 255 where the picture reaches.
  cv::Mat1f log_resolution;  ///< Natural logarithm of mm of wall per source pixel along z; 0 where not seen.
};

/// Around, what falls into one column is averaged; along z it is read between the rows.
/// @param rows Of the window; even.
LaidFlat LayFlat(const unroll::Strip& strip, bool near_is_left, int rows = kWindowRows);

/// How flat the sight strikes the wall in every cell: way along the axis over way across it (tangent of the sight from
/// the wall's normal), positive seen from the near side.
cv::Mat1f Obliquity(const Sight& sight, double radius_mm, int rows = kWindowRows);

}  // namespace vision::evidence
