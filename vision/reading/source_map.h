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

constexpr int kSourceMapStep = 8;       ///< Format: Every eighth cell each way, from cell (0, 0).
constexpr double kSourceMapUnit = 8;    ///< Format: Eighths of a pixel.
constexpr double kSourceMapFine = 1e3;  ///< Format: Resolution in micrometres.

/// 16-bit picture of three channels: 8 u + 1, 8 v + 1, resolution in um; all 0 where the frame does not see the cell.
cv::Mat EncodeSourceMap(const unroll::Strip& strip);

/// Linear between the kept cells; wraps through theta 0.
/// @return nullopt where the frame does not see the place or `map` has another shape.
std::optional<SourcePoint> LookUp(const cv::Mat& map, const StripPicture& strip, double theta_deg, double z_mm);

/// Adds source_N.png for the reading's pose N and names it there. @param strip On the merged strip's grid; its picture
/// is not needed.
void AddSourceMap(std::size_t pose, const unroll::Strip& strip, Measured& measured);

/// Where a frame of this pose sees the cells of a grid: a strip without a picture.
unroll::Strip SightOf(const camera::Lens& lens, const bore::BoreFromCam& pose, const cv::Mat1b& mask,
                      const unroll::StripGrid& grid);

/// Adds strip_origin.png and names it in the reading. @param pose_of_cell Index of the pose a cell's picture was taken
/// from, -1 = none.
void AddOrigin(const cv::Mat1s& pose_of_cell, Measured& measured);

}  // namespace vision::reading
