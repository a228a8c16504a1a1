#include "vision/unroll/unroll.h"

#include <algorithm>
#include <limits>
#include <opencv2/imgproc.hpp>

#include "vision/bore/angle.h"

namespace vision::unroll {
namespace {

constexpr float kNaN = std::numeric_limits<float>::quiet_NaN();
constexpr int kStep = 4;  ///< Cells between exact projections.

/// Pixel of one wall cell, NaN where not seen; incidence is the sight's angle from the wall's normal.
cv::Vec2f PixelOfCell(const camera::Lens& lens, const bore::BoreFromCam& pose, const StripGrid& grid, double column,
                      double row, double max_incidence_deg) {
  const bore::BorePoint place{grid.ThetaDeg(column), grid.ZMm(row), 0};
  const Eigen::Vector3d wall = bore::XyzFromBore(place, grid.radius_mm);
  const Eigen::Vector3d sight = pose.translation_mm - wall;
  const Eigen::Vector3d inward(-wall.x() / grid.radius_mm, -wall.y() / grid.radius_mm, 0);
  if (sight.dot(inward) < sight.norm() * std::cos(max_incidence_deg * bore::kRadPerDeg)) return {kNaN, kNaN};
  const auto pixel = lens.Project(pose.CamFromBore(wall));
  if (!pixel) return {kNaN, kNaN};
  return {static_cast<float>(pixel->x()), static_cast<float>(pixel->y())};
}

/// Exact projections on a coarse lattice, wrapping past the last column.
cv::Mat2f CoarseLattice(const camera::Lens& lens, const bore::BoreFromCam& pose, const StripGrid& grid,
                        double max_incidence_deg) {
  cv::Mat2f coarse((grid.rows + kStep - 1) / kStep + 1, (grid.columns + kStep - 1) / kStep + 1);
  cv::parallel_for_(cv::Range(0, coarse.rows), [&](const cv::Range& range) {
    for (int i = range.start; i < range.end; ++i)
      for (int j = 0; j < coarse.cols; ++j)
        coarse(i, j) = PixelOfCell(lens, pose, grid, j * kStep, i * kStep, max_incidence_deg);
  });
  return coarse;
}

/// Bilinear between lattice points; NaN spreads to every cell of a lattice square that has an unseen corner.
cv::Mat2f FillLattice(const cv::Mat2f& coarse, const StripGrid& grid) {
  cv::Mat2f full(grid.rows, grid.columns);
  cv::parallel_for_(cv::Range(0, grid.rows), [&](const cv::Range& range) {
    for (int row = range.start; row < range.end; ++row) {
      const int i = row / kStep;
      const float fy = static_cast<float>(row % kStep) / kStep;
      const cv::Vec2f *above = coarse[i], *below = coarse[i + 1];
      cv::Vec2f* out = full[row];
      for (int j = 0, column = 0; column < grid.columns; ++j)
        for (int k = 0; k < kStep && column < grid.columns; ++k, ++column) {
          const float fx = static_cast<float>(k) / kStep;
          for (int c = 0; c < 2; ++c) {
            const float top = above[j][c] * (1 - fx) + above[j + 1][c] * fx;
            const float bottom = below[j][c] * (1 - fx) + below[j + 1][c] * fx;
            out[column][c] = top * (1 - fy) + bottom * fy;
          }
        }
    }
  });
  return full;
}

float MmPerPixel(const cv::Vec2f& a, const cv::Vec2f& b, double mm) {
  const double x = a[0] - b[0], y = a[1] - b[1];
  const double px = static_cast<float>(std::sqrt(x * x + y * y));
  return px > 1e-6 ? static_cast<float>(mm / px) : kNaN;
}

void FillResolution(UnrollMap& map) {
  const auto& grid = map.grid;
  map.resolution_z_mm.create(grid.rows, grid.columns);
  map.resolution_arc_mm.create(grid.rows, grid.columns);
  const double arc_mm = bore::ArcMm(grid.theta_pitch_deg(), grid.radius_mm);
  for (int row = 0; row < grid.rows; ++row) {
    const cv::Vec2f *here = map.source_px[row], *next = map.source_px[row + 1 < grid.rows ? row + 1 : row - 1];
    float *along = map.resolution_z_mm[row], *around = map.resolution_arc_mm[row];
    for (int column = 0; column < grid.columns; ++column)
      along[column] = MmPerPixel(here[column], next[column], grid.pitch_mm);
    for (int column = 0; column + 1 < grid.columns; ++column)
      around[column] = MmPerPixel(here[column], here[column + 1], arc_mm);
    around[grid.columns - 1] = MmPerPixel(here[grid.columns - 1], here[0], arc_mm);
  }
}

/// 255 where the pixel is in the picture, not masked, and fine enough.
cv::Mat1b SeenCells(const UnrollMap& map, const camera::Lens& lens, const cv::Mat1b& mask, double max_resolution_mm) {
  cv::Mat1b seen(map.grid.rows, map.grid.columns, uchar{0});
  for (int row = 0; row < map.grid.rows; ++row)
    for (int column = 0; column < map.grid.columns; ++column) {
      const auto px = map.source_px(row, column);
      const bool inside = px[0] >= 1 && px[1] >= 1 && px[0] < static_cast<float>(lens.width_px - 2) &&
                          px[1] < static_cast<float>(lens.height_px - 2);
      if (!inside || !(map.resolution_z_mm(row, column) <= max_resolution_mm)) continue;
      if (!mask.empty() && mask(cvRound(px[1]), cvRound(px[0])) != 0) continue;
      seen(row, column) = 255;
    }
  return seen;
}

}  // namespace

StripGrid StripGrid::Over(double radius_mm, double z_from_mm, double z_to_mm, double pitch_mm) {
  StripGrid grid;
  grid.radius_mm = radius_mm;
  grid.pitch_mm = pitch_mm;
  grid.z_from_mm = z_from_mm;
  grid.rows = static_cast<int>(std::ceil((z_to_mm - z_from_mm) / pitch_mm - 1e-9)) + 1;
  grid.columns = std::max(8, static_cast<int>(std::lround(bore::ArcMm(360, radius_mm) / pitch_mm)));
  return grid;
}

Status UnrollOptions::Check() const {
  if (clipped_level < 128 || clipped_level > 255)
    return BadInput("UnrollOptions::clipped_level is " + std::to_string(clipped_level) + "; it must be 128 to 255.");
  if (dark_level < 0 || dark_level >= 128)
    return BadInput("UnrollOptions::dark_level is " + std::to_string(dark_level) + "; it must be 0 to 127.");
  if (!(max_resolution_mm > 0)) return BadInput("UnrollOptions::max_resolution_mm must be > 0 mm.");
  if (!(max_incidence_deg > 0 && max_incidence_deg <= 90))
    return BadInput("UnrollOptions::max_incidence_deg must be above 0 and at most 90.");
  return std::nullopt;
}

UnrollMap BuildMap(const camera::Lens& lens, const bore::BoreFromCam& pose, const StripGrid& grid,
                   const cv::Mat1b& mask, const UnrollOptions& options) {
  UnrollMap map;
  map.grid = grid;
  map.source_px = FillLattice(CoarseLattice(lens, pose, grid, options.max_incidence_deg), grid);
  FillResolution(map);
  map.seen = SeenCells(map, lens, mask, options.max_resolution_mm);
  cv::Mat2f for_remap = map.source_px.clone();
  cv::patchNaNs(for_remap, -10);
  cv::convertMaps(for_remap, cv::noArray(), map.fixed_xy, map.fixed_fraction, CV_16SC2);
  return map;
}

Result<Strip> Unroll(const cv::Mat3b& frame, const UnrollMap& map, int frame_index, const UnrollOptions& options,
                     const JobContext& job) {
  if (auto broken = options.Check()) return *broken;
  if (job.Cancelled()) return Cancelled();
  Strip strip;
  strip.grid = map.grid;
  cv::remap(frame, strip.image, map.fixed_xy, map.fixed_fraction, cv::INTER_CUBIC, cv::BORDER_CONSTANT);
  cv::Mat1b grey;
  cv::cvtColor(strip.image, grey, cv::COLOR_BGR2GRAY);
  cv::inRange(strip.image, cv::Scalar::all(options.clipped_level), cv::Scalar::all(255), strip.clipped);
  strip.clipped &= map.seen;
  strip.valid = map.seen & ~strip.clipped & (grey >= options.dark_level);
  const cv::Mat1b unseen(cv::Mat(map.seen == 0));
  strip.image.setTo(cv::Scalar::all(0), unseen);
  strip.source_px = map.source_px;
  strip.source_frame = cv::Mat1s(map.grid.rows, map.grid.columns, static_cast<short>(frame_index));
  strip.source_frame.setTo(-1, unseen);
  strip.resolution_z_mm = map.resolution_z_mm;
  strip.resolution_arc_mm = map.resolution_arc_mm;
  return strip;
}

Result<Strip> Merge(const std::vector<Strip>& strips) {
  if (strips.empty()) return BadInput("No strip to merge.");
  Strip merged = strips.front();
  merged.image = merged.image.clone();
  merged.valid = merged.valid.clone();
  merged.clipped = merged.clipped.clone();
  merged.source_px = merged.source_px.clone();
  merged.source_frame = merged.source_frame.clone();
  merged.resolution_z_mm = merged.resolution_z_mm.clone();
  merged.resolution_arc_mm = merged.resolution_arc_mm.clone();
  for (std::size_t i = 1; i < strips.size(); ++i) {
    const Strip& next = strips[i];
    if (next.grid != merged.grid) return BadInput("Strips of different grids cannot be merged.");
    const cv::Mat1b has_none(cv::Mat((merged.valid == 0) & (merged.clipped == 0)));
    cv::Mat1b better(
        cv::Mat((next.valid != 0) & ((merged.valid == 0) | (next.resolution_z_mm < merged.resolution_z_mm))));
    better |= (next.clipped != 0) & has_none;
    next.image.copyTo(merged.image, better);
    next.valid.copyTo(merged.valid, better);
    next.clipped.copyTo(merged.clipped, better);
    next.source_px.copyTo(merged.source_px, better);
    next.source_frame.copyTo(merged.source_frame, better);
    next.resolution_z_mm.copyTo(merged.resolution_z_mm, better);
    next.resolution_arc_mm.copyTo(merged.resolution_arc_mm, better);
  }
  return merged;
}

}  // namespace vision::unroll
