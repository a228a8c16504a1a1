#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <numbers>

#include "vision/resolve/resolve.h"

namespace vision::resolve {
namespace {

constexpr float kNaN = std::numeric_limits<float>::quiet_NaN();

/// What is left of the contrast of a line `width_px` wide whose middle lies half a pixel from the nearest centre.
double ContrastLeft(double width_px, double blur_px) {
  const double s = std::numbers::sqrt2 * std::sqrt(blur_px * blur_px + 1.0 / 12);
  return 0.5 * (std::erf((0.5 * width_px + 0.5) / s) + std::erf((0.5 * width_px - 0.5) / s));
}

}  // namespace

double SmallestLinePx(double blur_px, const ResolveOptions& options) {
  double low = 0, high = 10 * (1 + blur_px);
  for (int i = 0; i < 60; ++i) {
    const double middle = 0.5 * (low + high);
    (ContrastLeft(middle, blur_px) < options.least_contrast ? low : high) = middle;
  }
  return std::max(0.5 * (low + high), options.least_pixels);
}

cv::Mat1f SmallestLineMm(const unroll::Strip& strip, const std::vector<Sharpness>& by_frame,
                         const ResolveOptions& options) {
  cv::Mat1f map(strip.grid.rows, strip.grid.columns, kNaN);
  std::map<double, double> line_px;  // one entry a tile: blurs repeat
  for (int row = 0; row < map.rows; ++row)
    for (int column = 0; column < map.cols; ++column) {
      const int frame = strip.source_frame(row, column);
      if (frame < 0 || static_cast<std::size_t>(frame) >= by_frame.size()) continue;
      const auto px = strip.source_px(row, column);
      const double blur = by_frame[static_cast<std::size_t>(frame)].At(px[0], px[1]);
      auto [known, added] = line_px.try_emplace(blur, 0);
      if (added) known->second = SmallestLinePx(blur, options);
      const float coarser = std::max(strip.resolution_z_mm(row, column), strip.resolution_arc_mm(row, column));
      map(row, column) = static_cast<float>(known->second) * coarser;
    }
  return map;
}

cv::Mat3b LinePicture(const unroll::Strip& strip, const cv::Mat1f& smallest_line_mm, const ResolveOptions& options) {
  cv::Mat3b picture = strip.image.clone();
  for (int row = 0; row < picture.rows; ++row)
    for (int column = 0; column < picture.cols; ++column) {
      const float line = smallest_line_mm(row, column);
      if (!(line == line)) {
        picture(row, column) = cv::Vec3b(0, 0, 0);
      } else if (line > options.line_mm && (row + column) % 8 < 3) {
        picture(row, column) = (row + column) % 8 == 0 ? cv::Vec3b(0, 0, 0) : cv::Vec3b(255, 255, 255);
      }
    }
  return picture;
}

}  // namespace vision::resolve
