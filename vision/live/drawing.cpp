#include "vision/live/drawing.h"

#include <array>
#include <cmath>
#include <opencv2/imgproc.hpp>

namespace vision::live {
namespace {

constexpr int kSurroundings_px = 25;  ///< Of the fine level: wider than a scratch, narrower than the lamp's fall-off.
constexpr double kBand = 0.4;
constexpr float kDarkOffset = 4;  ///< Grey levels: sensor noise is about this.

/// Green carries most of the grey and is one plane: a third of the work of a full conversion.
cv::Mat1b Reduced(const cv::Mat3b& frame, int reduction) {
  cv::Mat1b grey;
  cv::extractChannel(frame, grey, 1);
  while (reduction % 2 == 0) {  // halving is what OpenCV does fastest
    cv::Mat1b half;
    cv::resize(grey, half, {grey.cols / 2, grey.rows / 2}, 0, 0, cv::INTER_AREA);
    grey = half, reduction /= 2;
  }
  if (reduction == 1) return grey;
  cv::Mat1b out;
  cv::resize(grey, out, {grey.cols / reduction, grey.rows / reduction}, 0, 0, cv::INTER_AREA);
  return out;
}

cv::Mat LogTable() {
  cv::Mat1f table(1, 256);
  for (int i = 0; i < 256; ++i) table(0, i) = std::log(static_cast<float>(i) + kDarkOffset);
  return table;
}

}  // namespace

Drawing MakeDrawing(const cv::Mat3b& frame, int widest_px) {
  static const cv::Mat kLog = LogTable();
  Drawing drawing;
  drawing.reduction = std::max(1, (frame.cols + widest_px - 1) / widest_px);
  drawing.grey = Reduced(frame, drawing.reduction);
  cv::Mat1f level, around;
  cv::LUT(drawing.grey, kLog, level);
  cv::blur(level, around, {kSurroundings_px, kSurroundings_px});
  cv::GaussianBlur(level, level, {3, 3}, 0);
  cv::subtract(level, around, drawing.fine);
  cv::min(drawing.fine, kBand, drawing.fine);
  cv::max(drawing.fine, -kBand, drawing.fine);
  cv::GaussianBlur(drawing.fine, level, {5, 5}, 1.2);
  cv::resize(level, drawing.coarse, {level.cols / 2, level.rows / 2}, 0, 0, cv::INTER_AREA);
  return drawing;
}

double LightInFew(const cv::Mat1b& grey) {
  std::array<double, 256> count{};
  for (int row = 0; row < grey.rows; ++row)
    for (int column = 0; column < grey.cols; ++column) ++count[grey(row, column)];
  double all = 0, few = 0, left = 0.02 * static_cast<double>(grey.total());
  for (int level = 255; level >= 0; --level) {
    const double light = static_cast<double>(level) * level;  // undoes a display curve of about 2
    const double taken = std::min(left, count[static_cast<std::size_t>(level)]);
    few += taken * light, left -= taken;
    all += count[static_cast<std::size_t>(level)] * light;
  }
  return all > 0 ? few / all : 0;
}

}  // namespace vision::live
