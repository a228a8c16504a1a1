#pragma once

#include <cmath>
#include <opencv2/core.hpp>

/// The strip: the inside wall laid flat. Columns are theta (column 0 at theta 0, growing to the right), rows are z
/// growing downward, so with theta to the right it is the wall as seen from inside; the left (-z) toe is at the top.
namespace vision::unroll {

/// Square cells at the bore wall. Cell CENTRES: theta = column * theta_pitch_deg(), z = z_from_mm + row * pitch_mm.
struct StripGrid {
  double radius_mm = 0;
  double pitch_mm = 0.1;  ///< Along z; the pitch around is the nearest that divides the circumference.
  double z_from_mm = 0;
  int rows = 0, columns = 0;

  /// @param z_from_mm,z_to_mm Centres of the first and last row (the last rounded outward).
  static StripGrid Over(double radius_mm, double z_from_mm, double z_to_mm, double pitch_mm = 0.1);

  bool operator==(const StripGrid&) const = default;

  double theta_pitch_deg() const { return 360.0 / columns; }
  double ThetaDeg(double column) const { return column * theta_pitch_deg(); }
  double ZMm(double row) const { return z_from_mm + row * pitch_mm; }
  double Column(double theta_deg) const { return theta_deg / theta_pitch_deg(); }
  /// The column whose centre is nearest, in [0, columns); theta may lie anywhere.
  int NearestColumn(double theta_deg) const {
    const int column = static_cast<int>(std::lround(Column(theta_deg))) % columns;
    return column < 0 ? column + columns : column;
  }
  double Row(double z_mm) const { return (z_mm - z_from_mm) / pitch_mm; }
};

/// Where each cell came from and how well it was seen.
struct Strip {
  StripGrid grid;
  cv::Mat3b image;              ///< rows x columns, BGR; 0 where not seen.
  cv::Mat1b valid;              ///< 255 = seen and usable; 0 = masked, blown out, too dark, or beyond the lens.
  cv::Mat1b clipped;            ///< 255 = blown out at the source.
  cv::Mat2f source_px;          ///< Pixel (u, v) in the source frame; NaN where none.
  cv::Mat1s source_frame;       ///< Index of the frame, -1 where none.
  cv::Mat1f resolution_z_mm;    ///< mm of wall per source pixel, along z.
  cv::Mat1f resolution_arc_mm;  ///< mm of wall per source pixel, around.
};

}  // namespace vision::unroll
