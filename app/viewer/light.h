#pragma once

#include <array>
#include <opencv2/core.hpp>

namespace app::viewer {

/// How the picture is lit for the eye; never touches the data.
struct Light {
  double gain = 1;   ///< In [0.25, 4].
  double gamma = 1;  ///< In [0.3, 3]; above 1 lifts the dark.
  bool local_contrast = false;
  bool operator==(const Light&) const = default;
};

/// Level out of level in.
std::array<unsigned char, 256> Curve(const Light& light);

/// Contrast evened out over tiles (cv::CLAHE on luminance), continuous through theta 0.
cv::Mat3b LocallyContrasted(const cv::Mat3b& strip);

}  // namespace app::viewer
