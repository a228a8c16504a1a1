#include "vision/surface/ground.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/bore/stations.h"

namespace vision::surface {
namespace {

cv::Mat Wrapped(const cv::Mat& band, int pad) {
  cv::Mat wide;
  cv::copyMakeBorder(band, wide, 0, 0, pad, pad, cv::BORDER_WRAP);
  return wide;
}

/// Straight across gaps of at most `bridge_lines`.
std::vector<double> Bridged(const std::vector<double>& z_mm, const GroundOptions& o) {
  std::vector<double> out = z_mm;
  for (std::size_t i = 0; i < bore::kStationLines; ++i) {
    if (!std::isfinite(z_mm[i])) continue;
    std::size_t gap = 1;
    while (static_cast<int>(gap) <= o.bridge_lines && !std::isfinite(z_mm[(i + gap) % bore::kStationLines])) ++gap;
    const double next = z_mm[(i + gap) % bore::kStationLines];
    if (gap == 1 || !std::isfinite(next)) continue;
    for (std::size_t k = 1; k < gap; ++k)
      out[(i + k) % bore::kStationLines] =
          z_mm[i] + (next - z_mm[i]) * static_cast<double>(k) / static_cast<double>(gap);
  }
  return out;
}

/// Rows that hold every toe with the wall beside it.
cv::Range RowsAbout(const unroll::StripGrid& grid, const Ground& ground, const GroundOptions& o) {
  double low = 0, high = 0;
  for (const auto* toe : {&ground.left_z_mm, &ground.right_z_mm})
    for (const double z : *toe)
      if (std::isfinite(z)) low = std::min(low, z), high = std::max(high, z);
  const int from = std::clamp(static_cast<int>(grid.Row(low - o.beside_mm)), 0, grid.rows - 1);
  return {from, std::clamp(static_cast<int>(grid.Row(high + o.beside_mm)) + 1, from + 1, grid.rows)};
}

int OddCells(double mm, double cell_mm) { return 2 * std::max(1, static_cast<int>(std::lround(mm / cell_mm))) + 1; }

}  // namespace

std::size_t Ground::Line(int column) const {
  const auto line = std::lround(ThetaDeg(column) / 360.0 * bore::kStationLines);
  return static_cast<std::size_t>(
      (line % static_cast<long>(bore::kStationLines) + static_cast<long>(bore::kStationLines)) %
      static_cast<long>(bore::kStationLines));
}

Ground Prepare(const unroll::Strip& strip, const Bead& bead, const SurfaceOptions& options) {
  Ground ground;
  ground.grid = strip.grid;
  ground.columns = strip.grid.columns;
  ground.pad = std::min(strip.grid.columns, static_cast<int>(options.ground.pad_mm / strip.grid.pitch_mm));
  ground.left_z_mm = Bridged(bead.left_z_mm, options.ground);
  ground.right_z_mm = Bridged(bead.right_z_mm, options.ground);
  const cv::Range rows = RowsAbout(strip.grid, ground, options.ground);
  ground.first_row = rows.start;
  cv::Mat grey, light;
  cv::cvtColor(Wrapped(strip.image.rowRange(rows), ground.pad), grey, cv::COLOR_BGR2GRAY);
  grey.convertTo(light, CV_32F, 1, 4);
  cv::log(light, light);
  ground.light = light;
  ground.pixel_mm =
      Wrapped(cv::max(strip.resolution_z_mm.rowRange(rows), strip.resolution_arc_mm.rowRange(rows)), ground.pad);
  const double median_px = ground.pixel_mm(ground.rows() / 2, ground.pad);
  const cv::Mat1b clipped = Wrapped(strip.clipped.rowRange(rows), ground.pad);
  const cv::Mat1b valid = Wrapped(strip.valid.rowRange(rows), ground.pad);
  ground.seen = valid | clipped;
  if (!strip.source_frame.empty()) ground.seen |= Wrapped(cv::Mat(strip.source_frame.rowRange(rows) >= 0), ground.pad);
  cv::Mat1b glare;
  const int rim =
      OddCells(std::isfinite(median_px) ? options.ground.glare_rim_px * median_px : 0.5, strip.grid.pitch_mm);
  cv::dilate(clipped, glare, cv::Mat1b::ones(rim, rim));
  ground.usable = ground.seen & ~glare;
  return ground;
}

}  // namespace vision::surface
