#include "app/viewer/light.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <vector>

namespace app::viewer {

std::array<unsigned char, 256> Curve(const Light& light) {
  std::array<unsigned char, 256> curve{};
  for (std::size_t i = 0; i < curve.size(); ++i) {
    const double level = std::pow(static_cast<double>(i) / 255.0, 1 / light.gamma) * light.gain;
    curve[i] = static_cast<unsigned char>(std::lround(255 * std::clamp(level, 0.0, 1.0)));
  }
  return curve;
}

cv::Mat3b LocallyContrasted(const cv::Mat3b& strip) {
  const int margin = std::min(strip.cols, 256);
  cv::Mat3b wide, out;
  cv::copyMakeBorder(strip, wide, 0, 0, margin, margin, cv::BORDER_WRAP);
  cv::Mat lab;
  cv::cvtColor(wide, lab, cv::COLOR_BGR2Lab);
  std::vector<cv::Mat> parts;
  cv::split(lab, parts);
  const auto clahe = cv::createCLAHE(3, {std::max(1, wide.cols / 128), std::max(1, wide.rows / 128)});
  clahe->apply(parts[0], parts[0]);
  cv::merge(parts, lab);
  cv::cvtColor(lab, wide, cv::COLOR_Lab2BGR);
  wide.colRange(margin, margin + strip.cols).copyTo(out);
  return out;
}

}  // namespace app::viewer
