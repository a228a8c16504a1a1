#pragma once

#include <opencv2/core.hpp>
#include <vector>

namespace app::viewer {

/// A picture of the ring in halves of its size, wrapped at both ends, so that tiles of any scale are cut from it. Made
/// away from the window's thread where it is large.
struct Pyramid {
  static constexpr int kMargin = 64;  ///< Wrapped columns either side; 2 to the highest level.
  static constexpr int kLevels = 7;
  using Levels = std::vector<cv::Mat>;

  Levels picture, seen;  ///< Each empty, or kLevels.
  int columns = 0, rows = 0;
  double pitch_mm = 0.1;
};

Pyramid::Levels LevelsOf(const cv::Mat& picture);
/// @param seen 255 = examined; empty = all of it.
Pyramid PyramidOf(const cv::Mat3b& picture, const cv::Mat1b& seen, double pitch_mm);

}  // namespace app::viewer
