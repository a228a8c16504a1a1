#include "vision/tint/white.h"

#include <cmath>
#include <opencv2/imgproc.hpp>
#include <string>

#include "vision/base/range.h"
#include "vision/base/says.h"

namespace vision::tint {
double LinearOf(uchar value) {
  const double v = value / 255.0;
  return v <= 0.04045 ? v / 12.92 : std::pow((v + 0.055) / 1.055, 2.4);
}

Result<White> WhiteOf(const cv::Mat3b& picture, std::optional<cv::Rect> box_px, const WhiteOptions& o) {
  if (auto broken = o.Check()) return *broken;
  const cv::Rect all(0, 0, picture.cols, picture.rows);
  const cv::Rect box = box_px.value_or(all);
  if (box.empty() || (box & all) != box) return BadInput(Says::kBoxOutside, {all.width, all.height});
  const cv::Mat3b target = picture(box);
  cv::Mat3d linear(target.size());
  int blown = 0;
  for (int row = 0; row < target.rows; ++row)
    for (int column = 0; column < target.cols; ++column)
      for (int channel = 0; channel < 3; ++channel) {
        const uchar value = target(row, column)[channel];
        blown += value >= o.blown_out;
        linear(row, column)[channel] = LinearOf(value);
      }
  if (blown > o.blown_out_share * static_cast<double>(target.total())) return BadInput(Says::kWhiteBlownOut);
  cv::Scalar mean, deviation;
  cv::meanStdDev(target, mean, deviation);
  if (mean[0] < o.too_dark || mean[1] < o.too_dark || mean[2] < o.too_dark)
    return BadInput(Says::kWhiteTooDark, {o.too_dark});
  cv::Mat1b grey;
  cv::cvtColor(target, grey, cv::COLOR_BGR2GRAY);
  cv::meanStdDev(grey, mean, deviation);
  if (deviation[0] > o.one_surface_share * mean[0]) return BadInput(Says::kWhiteUneven);
  const cv::Scalar white = cv::mean(linear);
  return White{{white[0], white[1], white[2]}};
}

Status WhiteOptions::Check() const {
  return FirstOutside("WhiteOptions", {{"blown_out", blown_out, 128, 255},
                                       {"too_dark", too_dark, 0, 200},
                                       {"blown_out_share", blown_out_share, 0, 1},
                                       {"one_surface_share", one_surface_share, 0, 2}});
}

}  // namespace vision::tint
