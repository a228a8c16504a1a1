#include <algorithm>
#include <cmath>
#include <limits>
#include <opencv2/imgproc.hpp>

#include "vision/base/median.h"
#include "vision/base/range.h"
#include "vision/resolve/resolve.h"

namespace vision::resolve {
namespace {

struct Gradient {
  cv::Mat1f x, y, size;
};

Gradient GradientOf(const cv::Mat1f& grey, double blur_px) {
  cv::Mat1f smooth;
  cv::GaussianBlur(grey, smooth, {}, blur_px);
  Gradient g;
  cv::Sobel(smooth, g.x, CV_32F, 1, 0, 3, 0.125);
  cv::Sobel(smooth, g.y, CV_32F, 0, 1, 3, 0.125);
  cv::magnitude(g.x, g.y, g.size);
  return g;
}

/// Is this pixel on a ridge of the gradient, to the nearest neighbour across it?
bool OnRidge(const Gradient& g, int row, int column) {
  const float here = g.size(row, column);
  const int dx = cvRound(g.x(row, column) / here), dy = cvRound(g.y(row, column) / here);
  return here >= g.size(row + dy, column + dx) && here >= g.size(row - dy, column - dx);
}

/// Blurs of 1 and 2 px, each with the difference over two pixels by which the gradient is taken (variance 1/3).
double BlurFrom(double ratio) {
  constexpr double kFine = 1 + 1.0 / 3, kCoarse = 4 + 1.0 / 3;
  if (ratio <= 1.01) return 10;
  return std::sqrt(std::max(0.0, (kCoarse - kFine * ratio * ratio) / (ratio * ratio - 1)));
}

double MedianOf(std::vector<float>& values, const ResolveOptions& o) {
  return std::max(o.sharpest_px, static_cast<double>(MedianInPlace(values)));
}

}  // namespace

Status ResolveOptions::Check() const {
  if (auto broken = FirstOutside("ResolveOptions", {{"sharpest_px", sharpest_px, 0, 10},
                                                    {"least_gradient", least_gradient, 0, 255},
                                                    {"rim_px", rim_px, 1, 1000}}))
    return broken;
  if (!(line_mm > 0)) return BadInput("ResolveOptions::line_mm must be > 0 mm.");
  if (!(least_contrast >= 0.1 && least_contrast <= 0.95))
    return BadInput("ResolveOptions::least_contrast must be 0.1 to 0.95.");
  if (!(least_pixels >= 0 && least_pixels <= 20)) return BadInput("ResolveOptions::least_pixels must be 0 to 20.");
  if (!(assumed_blur_px >= 0 && assumed_blur_px <= 20))
    return BadInput("ResolveOptions::assumed_blur_px must be 0 to 20.");
  if (tiles_across < 1 || tiles_across > 64) return BadInput("ResolveOptions::tiles_across must be 1 to 64.");
  if (least_edges < 1) return BadInput("ResolveOptions::least_edges must be > 0.");
  return std::nullopt;
}

double Sharpness::At(double u_px, double v_px) const {
  if (blur_px.empty() || !(u_px >= 0) || !(v_px >= 0)) return overall_px;
  const int column = std::min(static_cast<int>(u_px / tile_px), blur_px.cols - 1);
  const int row = std::min(static_cast<int>(v_px / tile_px), blur_px.rows - 1);
  const float blur = blur_px(row, column);
  return blur == blur ? blur : overall_px;
}

Sharpness MeasureSharpness(const cv::Mat3b& frame, const ResolveOptions& options) {
  Sharpness sharpness;
  sharpness.overall_px = options.assumed_blur_px;
  sharpness.tile_px = std::max(16.0, static_cast<double>(frame.cols) / options.tiles_across);
  const int across = static_cast<int>(std::ceil(frame.cols / sharpness.tile_px)),
            down = static_cast<int>(std::ceil(frame.rows / sharpness.tile_px));
  sharpness.blur_px = cv::Mat1f(down, across, std::numeric_limits<float>::quiet_NaN());
  cv::Mat1b grey8, blown;
  cv::cvtColor(frame, grey8, cv::COLOR_BGR2GRAY);
  cv::dilate(grey8 > 245, blown, cv::Mat1b::ones(9, 9));
  cv::Mat1f grey;
  grey8.convertTo(grey, CV_32F);
  const Gradient fine = GradientOf(grey, 1), coarse = GradientOf(grey, 2);
  std::vector<std::vector<float>> tiles(static_cast<std::size_t>(across * down));
  std::vector<float> all;
  for (int row = options.rim_px; row < frame.rows - options.rim_px; ++row)
    for (int column = options.rim_px; column < frame.cols - options.rim_px; ++column) {
      if (fine.size(row, column) < options.least_gradient || blown(row, column) || !OnRidge(fine, row, column))
        continue;
      const auto blur = static_cast<float>(BlurFrom(fine.size(row, column) / coarse.size(row, column)));
      const int tile =
          static_cast<int>(row / sharpness.tile_px) * across + static_cast<int>(column / sharpness.tile_px);
      tiles[static_cast<std::size_t>(tile)].push_back(blur);
      all.push_back(blur);
    }
  if (all.size() < static_cast<std::size_t>(options.least_edges)) return sharpness;
  sharpness.measured = true;
  sharpness.overall_px = MedianOf(all, options);
  for (int i = 0; i < across * down; ++i)
    if (auto& tile = tiles[static_cast<std::size_t>(i)]; tile.size() >= static_cast<std::size_t>(options.least_edges))
      sharpness.blur_px(i / across, i % across) = static_cast<float>(MedianOf(tile, options));
  return sharpness;
}

}  // namespace vision::resolve
