#pragma once

#include <opencv2/core.hpp>
#include <optional>

#include "vision/base/result.h"

/// What the camera makes of white in the recording's own light: without it no colour is told.
namespace vision::tint {

/// When a picture of a white target can be used. Source: chosen; no other.
struct WhiteOptions {
  int blown_out = 250;             ///< A channel's value of 255 from which it is blown out.
  int too_dark = 40;               ///< Least mean of a channel, of 255.
  double blown_out_share = 0.01;   ///< Of the target's pixels that may be blown out.
  double one_surface_share = 0.3;  ///< Largest deviation of luminance over its mean.

  [[nodiscard]] Status Check() const;
};

/// Mean of a white target, linear (the curve of IEC 61966-2-1, sRGB, taken off), blue, green, red, each in (0, 1].
/// Only their ratios count: exposure may differ between the target's picture and the recording, white balance not.
struct White {
  cv::Vec3d bgr{1, 1, 1};
};

/// @param picture 8 bit BGR, of a matt white target in the same lights, the camera's automatic white balance off.
/// @param box_px Where the target lies in it; absent = the whole picture.
/// @return kBadInput when the box leaves the picture, when the target is blown out (a channel at 250 and more on over
/// 1 % of it), too dark (mean of a channel below 40) or not one surface (luminance's deviation above 30 % of its mean).
Result<White> WhiteOf(const cv::Mat3b& picture, std::optional<cv::Rect> box_px, const WhiteOptions& o = {});

/// 8 bit to linear 0..1 (IEC 61966-2-1).
double LinearOf(uchar value);

}  // namespace vision::tint
