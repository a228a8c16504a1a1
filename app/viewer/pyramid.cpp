#include "app/viewer/pyramid.h"

#include <opencv2/imgproc.hpp>

namespace app::viewer {
namespace {

constexpr int kMargin = Pyramid::kMargin, kLevels = Pyramid::kLevels;

int Upto(int value, int step) { return (value + step - 1) / step * step; }

}  // namespace

Pyramid::Levels LevelsOf(const cv::Mat& strip) {
  Pyramid::Levels levels;
  if (strip.empty()) return levels;
  cv::Mat wide;
  const int right = Upto(strip.cols + 2 * kMargin, kMargin) - strip.cols - kMargin;
  const int bottom = Upto(strip.rows, kMargin) - strip.rows;
  cv::copyMakeBorder(strip, wide, 0, 0, kMargin, right, cv::BORDER_WRAP);
  cv::copyMakeBorder(wide, wide, 0, bottom, 0, 0, cv::BORDER_REPLICATE);
  levels.push_back(wide);
  while (static_cast<int>(levels.size()) < kLevels) {
    cv::Mat half;
    cv::resize(levels.back(), half, {levels.back().cols / 2, levels.back().rows / 2}, 0, 0, cv::INTER_AREA);
    levels.push_back(half);
  }
  return levels;
}

Pyramid PyramidOf(const cv::Mat3b& picture, const cv::Mat1b& seen, double pitch_mm) {
  return {LevelsOf(picture), LevelsOf(seen), picture.cols, picture.rows, pitch_mm};
}

}  // namespace app::viewer
