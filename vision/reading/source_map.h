#pragma once

#include <opencv2/core.hpp>
#include <optional>
#include <vector>

#include "vision/reading/measure.h"
#include "vision/unroll/strip.h"

/// Where each cell of the flat picture lies in each frame, kept beside reading.json so that a person can be shown the
/// same point in both.
namespace vision::reading {

/// A place in a source frame and how finely the frame shows the wall there.
struct SourcePoint {
  double u_px = 0, v_px = 0;
  double resolution_mm = 0;  ///< mm of wall per source pixel, along z.
};

constexpr int kSourceMapStep = 8;       ///< Every eighth cell each way, from cell (0, 0).
constexpr double kSourceMapUnit = 8;    ///< Eighths of a pixel.
constexpr double kSourceMapFine = 1e3;  ///< Resolution in micrometres.

/// 16-bit picture of three channels: 8 u + 1, 8 v + 1, resolution in um; all 0 where the frame does not see the cell.
cv::Mat EncodeSourceMap(const unroll::Strip& strip);

/// Linear between the kept cells; wraps through theta 0.
/// @return nullopt where the frame does not see the place or `map` has another shape.
std::optional<SourcePoint> LookUp(const cv::Mat& map, const StripPicture& strip, double theta_deg, double z_mm);

/// Adds source_N.png for every pose and strip_origin.png (number of the frame a cell was taken from, 1 = first pose, 0
/// = none), and names them in the reading.
/// @param strips One a pose, on the merged strip's grid.
void AddSourceMaps(const std::vector<unroll::Strip>& strips, const unroll::Strip& merged, Measured& measured);

}  // namespace vision::reading
