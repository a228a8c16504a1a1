#pragma once

#include <limits>
#include <opencv2/core.hpp>
#include <string>

#include "vision/base/result.h"
#include "vision/bore/stations.h"
#include "vision/unroll/strip.h"

/// Height of the inside surface over the bore's nominal cylinder, cell by cell, and how it was earned.
/// Frames as in vision/bore/bore.h: h = R - r, positive stands into the bore; columns are theta, rows are z.
namespace vision::relief {

constexpr double kNotMeasured = std::numeric_limits<double>::quiet_NaN();

/// The way a height was earned; the two are never mixed in one relief.
enum class How { kLightSection, kTravel };

std::string NameOf(How how);  ///< light_section | travel

/// Heights on the strip's own kind of grid (a column is a station line of 0.5 degree or finer).
/// Nothing is smoothed along z, and no cell is filled that its neighbours do not support.
struct Relief {
  unroll::StripGrid grid;
  cv::Mat1f h_mm;  ///< rows x columns; NaN where not measured.
  cv::Mat1f u_mm;  ///< Standard uncertainty (k = 1) of h against the wall beside the weld; NaN with h_mm.
  /// The part of u_mm that cells a few mm apart share (pose, plane of light, lens): it does not shrink by averaging.
  double shared_u_mm = 0;
  How how = How::kLightSection;

  [[nodiscard]] Status Check() const;  ///< First broken constraint: sizes that differ, fewer than 360 columns, ...
};

/// An empty relief (all NaN): `columns` station lines, rows from z_from_mm to z_to_mm.
Relief EmptyRelief(double radius_mm, double z_from_mm, double z_to_mm, double pitch_mm, How how,
                   int columns = bore::kStationLines);

}  // namespace vision::relief
