#pragma once

#include <opencv2/core.hpp>

namespace vision::unroll {

/// One row of cells out of `frame`, bicubic: the pixels that cv::remap gives for the same fixed-point map with
/// INTER_CUBIC and a black border, equal to the last bit (OpenCV 4.6 takes 3 times as long, it has no SIMD for this).
/// @param at, fraction As cv::convertMaps writes them (CV_16SC2, CV_16UC1).
/// @param seen 0: the cell becomes black without a look at the frame.
void CubicRow(const cv::Mat3b& frame, const cv::Vec2s* at, const ushort* fraction, const uchar* seen, int cells,
              cv::Vec3b* out);

}  // namespace vision::unroll
