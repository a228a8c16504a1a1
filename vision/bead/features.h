#pragma once

#include <algorithm>
#include <cmath>
#include <opencv2/core.hpp>
#include <vector>

#include "vision/bore/stations.h"
#include "vision/unroll/strip.h"

/// What the toes and the fusion are read from: the strip over its own wall, one column per station line.
namespace vision::bead {

/// Pictures of rows by station lines, row 0 at z_from_mm, always with the side nearest the camera at the top: where the
/// near side is the right one, z here is minus the strip's z.
struct Features {
  cv::Mat1f level;    ///< Logarithm of the luminance over that of the wall of the same line; 0 = like the wall.
  cv::Mat1f texture;  ///< Logarithm of the ripple amplitude around the joint over that of the wall; 0 = like the wall.
  cv::Mat1f slope;    ///< Change of level over 0.4 mm along z, growing z.
  cv::Mat1f kinship;  ///< Correlation around the joint with the wall's own drawing lines further out, -1 to 1.
  cv::Mat1b seen;     ///< 255 where most of the line's cells were seen.
  double z_from_mm = 0, pitch_mm = 0.1, line_mm = 0;  ///< line_mm: arc between two station lines.
  double wall_kinship = 0;                            ///< Median of kinship on the wall: how much its lines can tell.
  double level_sigma = 0, texture_sigma = 0,
         slope_sigma = 0;  ///< Robust scatter of each on the wall away from the weld.

  double ZMm(double row) const { return z_from_mm + row * pitch_mm; }
  int Row(double z_mm) const;  ///< Nearest row, kept inside.
  /// Mean of a picture over z in [from, to] at one line (which wraps).
  static double Mean(const cv::Mat1f& picture, int line, int from_row, int to_row);
  /// The same of one line's own values (Column), which lie in one piece: for many means of one line.
  static double Mean(const std::vector<float>& column, int from_row, int to_row);
  static std::vector<float> Column(const cv::Mat1f& picture, int line);
};

/// @param wall_from_mm,wall_to_mm Distance from z = 0 in which the wall is taken to be bare, both sides.
Features MakeFeatures(const unroll::Strip& strip, bool near_is_left, double wall_from_mm = 6, double wall_to_mm = 12);

/// Box mean around the circle; cells are columns.
cv::Mat1f BlurAround(const cv::Mat1f& picture, int cells);

/// A line's index brought into [0, kStationLines).
inline int WrapLine(int line) { return ((line % bore::kStationLines) + bore::kStationLines) % bore::kStationLines; }

/// Lines to either side that an arc of so many mm spans; at least one.
inline int LinesIn(double arc_mm, double line_mm) {
  return std::max(1, static_cast<int>(std::lround(arc_mm / line_mm)));
}

/// What the lines within `half` of one hold, every `stride`-th of them, where `wanted(index)` says so. One value a
/// line.
template <class T, class Wanted>
std::vector<T> Around(const std::vector<T>& values, int line, int half, Wanted wanted, int stride = 1) {
  std::vector<T> around;
  for (int k = -half; k <= half; k += stride)
    if (const auto i = static_cast<std::size_t>(WrapLine(line + k)); wanted(i)) around.push_back(values[i]);
  return around;
}

inline bool EveryLine(std::size_t) { return true; }

}  // namespace vision::bead
