#include <algorithm>
#include <limits>
#include <opencv2/core/hal/intrin.hpp>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "vision/bore/angle.h"
#include "vision/camera/projector.h"
#include "vision/unroll/unroll.h"

namespace vision::unroll {
namespace {

constexpr float kNaN = std::numeric_limits<float>::quiet_NaN();
constexpr int kStep = 4;   ///< Cells between exact projections.
constexpr int kBand = 16;  ///< Rows made together: what follows from a row is made while it is in the cache.

struct Sights {
  camera::Projector lens;
  const bore::BoreFromCam& pose;
  const StripGrid& grid;
  double least_cos;  ///< Of the sight's angle from the wall's normal.
};

/// Pixel of one wall cell, NaN where not seen.
cv::Vec2f PixelOfCell(const Sights& s, const Eigen::Vector3d& at_zero, double z_mm) {
  const Eigen::Vector3d wall(at_zero.x(), at_zero.y(), z_mm);
  const Eigen::Vector3d sight = s.pose.translation_mm - wall;
  const Eigen::Vector3d inward(-wall.x() / s.grid.radius_mm, -wall.y() / s.grid.radius_mm, 0);
  if (sight.dot(inward) < sight.norm() * s.least_cos) return {kNaN, kNaN};
  const auto pixel = s.lens.Project(s.pose.CamFromBore(wall));
  if (!pixel) return {kNaN, kNaN};
  return {static_cast<float>(pixel->x()), static_cast<float>(pixel->y())};
}

/// Exact projections on a coarse lattice, wrapping past the last column.
cv::Mat2f CoarseLattice(const camera::Lens& lens, const bore::BoreFromCam& pose, const StripGrid& grid,
                        double max_incidence_deg) {
  cv::Mat2f coarse((grid.rows + kStep - 1) / kStep + 1, (grid.columns + kStep - 1) / kStep + 1);
  const Sights sights{camera::Projector(lens), pose, grid, std::cos(max_incidence_deg * bore::kRadPerDeg)};
  std::vector<Eigen::Vector3d> wall;
  for (int j = 0; j < coarse.cols; ++j)
    wall.push_back(bore::XyzFromBore({grid.ThetaDeg(j * kStep), 0, 0}, grid.radius_mm));
  cv::parallel_for_(cv::Range(0, coarse.rows), [&](const cv::Range& range) {
    for (int i = range.start; i < range.end; ++i)
      for (int j = 0; j < coarse.cols; ++j)
        coarse(i, j) = PixelOfCell(sights, wall[static_cast<std::size_t>(j)], grid.ZMm(i * kStep));
  });
  return coarse;
}

/// A lattice row filled along theta; bilinear. NaN spreads to every cell beside an unseen lattice point.
void FillAround(const cv::Vec2f* lattice, int columns, cv::Vec2f* out) {
  for (int j = 0, column = 0; column < columns; ++j)
    for (int k = 0; k < kStep && column < columns; ++k, ++column) {
      const float f = static_cast<float>(k) / kStep;
      for (int c = 0; c < 2; ++c) out[column][c] = lattice[j][c] * (1 - f) + lattice[j + 1][c] * f;
    }
}

/// The rows of the strip one after another out of the lattice.
class RowFiller {
 public:
  RowFiller(const cv::Mat2f& coarse, int columns)
      : coarse_(coarse), columns_(columns), above_(1, columns), below_(1, columns) {}

  void Fill(int row, cv::Vec2f* out) {
    const int i = row / kStep;
    if (i != lattice_row_) {
      FillAround(coarse_[i], columns_, above_[0]);
      FillAround(coarse_[i + 1], columns_, below_[0]);
      lattice_row_ = i;
    }
    const float f = static_cast<float>(row % kStep) / kStep, g = 1 - f;
    const float *a = above_[0]->val, *b = below_[0]->val;
    float* values = out->val;
    for (int k = 0; k < 2 * columns_; ++k) values[k] = a[k] * g + b[k] * f;
  }

 private:
  const cv::Mat2f& coarse_;
  int columns_, lattice_row_ = -1;
  cv::Mat2f above_, below_;
};

float MmPerPixel(const cv::Vec2f& a, const cv::Vec2f& b, double mm) {
  const double x = a[0] - b[0], y = a[1] - b[1];
  const auto px = static_cast<float>(std::sqrt(x * x + y * y));
  return px > 1e-6F ? static_cast<float>(mm / px) : kNaN;
}

cv::v_float64x2 PixelsOf(const cv::v_float64x2& x, const cv::v_float64x2& y) { return cv::v_sqrt(x * x + y * y); }

/// MmPerPixel of cells that follow each other, four at a time.
void MmPerPixelOfRow(const cv::Vec2f* a, const cv::Vec2f* b, int cells, double mm, float* out) {
  const cv::v_float64x2 length = cv::v_setall_f64(mm);
  const cv::v_float32x4 least = cv::v_setall_f32(1e-6F), none = cv::v_setall_f32(kNaN);
  int i = 0;
  for (; i + 4 <= cells; i += 4) {
    cv::v_float32x4 ax, ay, bx, by;
    cv::v_load_deinterleave(a[i].val, ax, ay);
    cv::v_load_deinterleave(b[i].val, bx, by);
    const cv::v_float32x4 x = ax - bx, y = ay - by;
    const cv::v_float32x4 px = cv::v_cvt_f32(PixelsOf(cv::v_cvt_f64(x), cv::v_cvt_f64(y)),
                                             PixelsOf(cv::v_cvt_f64_high(x), cv::v_cvt_f64_high(y)));
    const cv::v_float32x4 mm_each = cv::v_cvt_f32(length / cv::v_cvt_f64(px), length / cv::v_cvt_f64_high(px));
    cv::v_store(out + i, cv::v_select(px > least, mm_each, none));
  }
  for (; i < cells; ++i) out[i] = MmPerPixel(a[i], b[i], mm);
}

/// @param next The row below; of the last row the one above.
void ResolutionOfRow(const cv::Vec2f* here, const cv::Vec2f* next, int row, UnrollMap& map) {
  const int columns = map.grid.columns;
  const double around_mm = bore::ArcMm(map.grid.theta_pitch_deg(), map.grid.radius_mm);
  float* around = map.resolution_arc_mm[row];
  MmPerPixelOfRow(here, next, columns, map.grid.pitch_mm, map.resolution_z_mm[row]);
  MmPerPixelOfRow(here, here + 1, columns - 1, around_mm, around);
  around[columns - 1] = MmPerPixel(here[columns - 1], here[0], around_mm);
}

/// 255 where the pixel is in the picture, not masked, and fine enough.
void SeenInRow(int row, const camera::Lens& lens, const cv::Mat1b& mask, float max_resolution_mm, UnrollMap& map) {
  const int cells = map.grid.columns;
  const cv::Vec2f* px = map.source_px[row];
  const float* along = map.resolution_z_mm[row];
  const auto width = static_cast<float>(lens.width_px - 2), height = static_cast<float>(lens.height_px - 2);
  uchar* seen = map.seen[row];
  const auto one = [&](int i) {
    return px[i][0] >= 1 && px[i][1] >= 1 && px[i][0] < width && px[i][1] < height && along[i] <= max_resolution_mm;
  };
  const cv::v_float32x4 first = cv::v_setall_f32(1), right = cv::v_setall_f32(width), low = cv::v_setall_f32(height),
                        coarsest = cv::v_setall_f32(max_resolution_mm);
  const auto four = [&](int i) {
    cv::v_float32x4 u, v;
    cv::v_load_deinterleave(px[i].val, u, v);
    return cv::v_reinterpret_as_u32((u >= first) & (v >= first) & (u < right) & (v < low) &
                                    (cv::v_load(along + i) <= coarsest));
  };
  int i = 0;
  for (; i + 16 <= cells; i += 16) cv::v_store(seen + i, cv::v_pack_b(four(i), four(i + 4), four(i + 8), four(i + 12)));
  for (; i < cells; ++i) seen[i] = one(i) ? 255 : 0;
  if (mask.empty()) return;
  for (i = 0; i < cells; ++i)
    if (seen[i] && mask(cvRound(px[i][1]), cvRound(px[i][0])) != 0) seen[i] = 0;
}

void FillBand(const cv::Range& rows, const cv::Mat2f& coarse, const camera::Lens& lens, const cv::Mat1b& mask,
              const UnrollOptions& options, UnrollMap& map) {
  const int columns = map.grid.columns;
  RowFiller filler(coarse, columns);
  cv::Mat2f beyond(1, columns);  // the row after the band
  for (int row = rows.start; row < rows.end; ++row) filler.Fill(row, map.source_px[row]);
  if (rows.end < map.grid.rows) filler.Fill(rows.end, beyond[0]);
  for (int row = rows.start; row < rows.end; ++row) {
    const bool last = row + 1 == map.grid.rows;
    const cv::Vec2f* next = last ? map.source_px[row - 1] : row + 1 < rows.end ? map.source_px[row + 1] : beyond[0];
    ResolutionOfRow(map.source_px[row], next, row, map);
    SeenInRow(row, lens, mask, static_cast<float>(options.max_resolution_mm), map);
  }
  cv::Mat2f for_remap = map.source_px.rowRange(rows).clone();
  cv::patchNaNs(for_remap, -10);
  cv::Mat xy = map.fixed_xy.rowRange(rows), fraction = map.fixed_fraction.rowRange(rows);
  cv::convertMaps(for_remap, cv::noArray(), xy, fraction, CV_16SC2);
}

}  // namespace

UnrollMap BuildMap(const camera::Lens& lens, const bore::BoreFromCam& pose, const StripGrid& grid,
                   const cv::Mat1b& mask, const UnrollOptions& options) {
  UnrollMap map;
  map.grid = grid;
  const cv::Size size(grid.columns, grid.rows);
  map.source_px.create(size);
  map.resolution_z_mm.create(size);
  map.resolution_arc_mm.create(size);
  map.seen.create(size);
  map.fixed_xy.create(size, CV_16SC2);
  map.fixed_fraction.create(size, CV_16UC1);
  const auto coarse = CoarseLattice(lens, pose, grid, options.max_incidence_deg);
  cv::parallel_for_(cv::Range(0, (grid.rows + kBand - 1) / kBand), [&](const cv::Range& bands) {
    for (int band = bands.start; band < bands.end; ++band)
      FillBand({band * kBand, std::min(grid.rows, (band + 1) * kBand)}, coarse, lens, mask, options, map);
  });
  return map;
}

}  // namespace vision::unroll
