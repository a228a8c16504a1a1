#include "vision/evidence/laid_flat.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/bore/angle.h"

namespace vision::evidence {
namespace {

/// `from` with some of its last columns before the first and some of its first behind the last.
cv::Mat Wrapped(const cv::Mat& from, int columns) {
  cv::Mat wide;
  cv::copyMakeBorder(from, wide, 0, 0, columns, columns, cv::BORDER_WRAP);
  return wide;
}

/// Where the window's cells lie in the strip, in its rows and (wrapped) columns.
struct Places {
  cv::Mat1f column, row;
};

Places PlacesOf(const unroll::StripGrid& grid, bool near_is_left, int rows, int border) {
  Places places{cv::Mat1f(rows, kColumns), cv::Mat1f(rows, kColumns)};
  for (int i = 0; i < rows; ++i) {
    const double z = (i - rows / 2) * kRowPitch_mm;
    const auto row = static_cast<float>(grid.Row(near_is_left ? z : -z));
    for (int j = 0; j < kColumns; ++j) {
      places.column(i, j) = static_cast<float>(grid.Column((j - 0.5) * kColumnPitch_deg) + border);
      places.row(i, j) = row;
    }
  }
  return places;
}

/// Odd number of strip cells that a column of the window stands for.
int CellsToAverage(const unroll::StripGrid& grid) { return 2 * (grid.columns / kColumns / 2) + 1; }

}  // namespace

LaidFlat LayFlat(const unroll::Strip& strip, bool near_is_left, int rows) {
  const int average = CellsToAverage(strip.grid), border = average + 2;
  const Places at = PlacesOf(strip.grid, near_is_left, rows, border);
  cv::Mat even;
  cv::blur(Wrapped(strip.image, border), even, {average, 1});
  LaidFlat laid;
  cv::remap(even, laid.image, at.column, at.row, cv::INTER_LINEAR, cv::BORDER_CONSTANT);
  const cv::Mat1b inside(cv::Mat(strip.source_frame >= 0));
  cv::remap(Wrapped(inside, border), laid.seen, at.column, at.row, cv::INTER_NEAREST, cv::BORDER_CONSTANT);
  laid.image.setTo(0, laid.seen == 0);
  cv::Mat1f resolution;
  cv::remap(Wrapped(strip.resolution_z_mm, border), resolution, at.column, at.row, cv::INTER_NEAREST,
            cv::BORDER_CONSTANT);
  cv::Mat1f usable;
  cv::max(resolution, 1e-3, usable);
  usable.setTo(1, laid.seen == 0);
  cv::log(usable, laid.log_resolution);
  return laid;
}

cv::Mat1f Obliquity(const Sight& sight, double radius_mm, int rows) {
  const double camera_z = sight.near_is_left ? sight.camera_mm.z() : -sight.camera_mm.z();
  cv::Mat1f tangent(rows, kColumns);
  for (int j = 0; j < kColumns; ++j) {
    const double theta = (j - 0.5) * kColumnPitch_deg * bore::kRadPerDeg;
    const double across = std::hypot(-radius_mm * std::sin(theta) - sight.camera_mm.x(),
                                     radius_mm * std::cos(theta) - sight.camera_mm.y());
    for (int i = 0; i < rows; ++i)
      tangent(i, j) =
          static_cast<float>(((i - rows / 2) * kRowPitch_mm - camera_z) / std::max(across, 0.05 * radius_mm));
  }
  return tangent;
}

}  // namespace vision::evidence
