#pragma once

#include <array>
#include <opencv2/core.hpp>

namespace vision::live {

constexpr int kBlock = 8;  ///< Format: of the strip in memory. Cells a side of what is laid flat at once.

/// Lays one block flat: places are bilinear between its corners' pixels (1/32 px), colours bilinear between pixels.
/// @param corners Top left, top right, bottom left, bottom right, px; three pixels inside the picture.
/// @param top, left First cell; rows beyond the strip's end are left out, columns must all be there.
void LayFlat(const cv::Mat3b& frame, const std::array<cv::Vec2f, 4>& corners, cv::Mat3b& strip, int top, int left);

}  // namespace vision::live
