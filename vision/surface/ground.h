#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "vision/bore/stations.h"
#include "vision/surface/surface.h"

/// What every search stands on: the strip's brightness about the bead, unwrapped past theta 0.
namespace vision::surface {

/// A band of the strip about the bead. Columns `pad` .. `pad + columns` are the circle; what lies outside repeats it.
struct Ground {
  unroll::StripGrid grid;
  int first_row = 0, pad = 0, columns = 0;
  cv::Mat1f light;                            ///< Natural logarithm of (luminance + 4).
  cv::Mat1b usable;                           ///< 255: seen and neither blown out nor beside a blown-out cell.
  cv::Mat1b seen;                             ///< 255: seen, too dark ones included (a hole is dark).
  cv::Mat1f pixel_mm;                         ///< The coarser of the two resolutions.
  std::vector<double> left_z_mm, right_z_mm;  ///< Toes per station line, gaps in sight bridged; NaN where none at all.

  int rows() const { return light.rows; }
  double ZMm(int row) const { return grid.ZMm(first_row + row); }
  double Row(double z_mm) const { return grid.Row(z_mm) - first_row; }
  double ThetaDeg(int column) const { return grid.ThetaDeg(column - pad); }
  int Column(std::size_t line) const { return grid.NearestColumn(LineDeg(line)) + pad; }
  std::size_t Line(int column) const;
  static double LineDeg(std::size_t line) { return 360.0 * static_cast<double>(line) / bore::kStationLines; }
};

Ground Prepare(const unroll::Strip& strip, const Bead& bead, const SurfaceOptions& options);

void FindPores(const Ground& ground, const Bead& bead, const SurfaceOptions& options, Surface& surface);
void FindUndercut(const Ground& ground, const Bead& bead, const SurfaceOptions& options, Surface& surface);
void FindScale(const Ground& ground, const Bead& bead, const SurfaceOptions& options, Surface& surface);
void FindConcaveLook(const Ground& ground, const SurfaceOptions& options, Surface& surface);

}  // namespace vision::surface
