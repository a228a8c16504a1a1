#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "vision/base/job.h"
#include "vision/base/result.h"
#include "vision/bore/bore.h"
#include "vision/camera/lens.h"
#include "vision/unroll/strip.h"

namespace vision::unroll {

/// Where every cell of a strip is seen in one frame: the part of unrolling that can be kept while the camera stands
/// still.
struct UnrollMap {
  StripGrid grid;
  cv::Mat fixed_xy, fixed_fraction;              ///< cv::remap's fixed-point pair (CV_16SC2, CV_16UC1; 1/32 px).
  cv::Mat2f source_px;                           ///< NaN where the lens does not see the cell.
  cv::Mat1b seen;                                ///< 255 where the lens sees the cell and it is not masked.
  cv::Mat1f resolution_z_mm, resolution_arc_mm;  ///< mm of wall per source pixel.
};

/// What makes a cell unusable.
/// Source: not noted, so taken as chosen; where a field says none.
struct UnrollOptions {
  int clipped_level = 250;         ///< A source pixel with all of B, G, R at or above is blown out; in [128, 255].
  int dark_level = 14;             ///< Luminance below is too dark to tell; in [0, 128).
  double max_resolution_mm = 1.5;  ///< Coarser than this along z: not examined; > 0.
  double max_incidence_deg = 88;   ///< Sight from the wall's normal; beyond: not examined; in (0, 90].

  [[nodiscard]] Status Check() const;
};

/// @param mask 255 where the camera sees its own arm or cable; empty = none. Size of the frame.
/// Cost: one lens projection a fourth cell each way, bicubic-free bilinear fill between (error below 0.01 px for a
/// smooth lens).
UnrollMap BuildMap(const camera::Lens& lens, const bore::BoreFromCam& pose, const StripGrid& grid,
                   const cv::Mat1b& mask = {}, const UnrollOptions& options = {});

/// Bicubic remap through a kept map. @param frame_index Written into `source_frame`.
Result<Strip> Unroll(const cv::Mat3b& frame, const UnrollMap& map, int frame_index = 0,
                     const UnrollOptions& options = {}, const JobContext& job = {});

/// One strip out of many on the same grid: each cell is taken whole from the frame that saw it best (finest resolution
/// along z, not blown out), never averaged.
/// @return kBadInput when there is none or the grids differ.
Result<Strip> Merge(const std::vector<Strip>& strips);

}  // namespace vision::unroll
