#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "vision/reading/look.h"
#include "vision/reading/measure.h"
#include "vision/resolve/resolve.h"

namespace vision::reading {

/// What a recording could show at each place of the wall.
struct Resolving {
  unroll::Strip strip;
  cv::Mat1f smallest_line_mm;  ///< By cell; NaN where no frame sees it.
  std::vector<resolve::Sharpness> sharpness;
  std::vector<std::string> frames, how;  ///< Names; how each pose is known.
  std::vector<std::string> notes;        ///< Frames that were refused, assumed blur.
};

/// The smallest line by place. A frame whose pose the joint file gives needs no weld in it (a resolution target in a
/// bare bore, or no picture of interest at all); the others are placed as `Measure` does.
/// @return kNotFound when no frame could be placed.
Result<Resolving> Resolve(const MeasureInput& input, const MeasureOptions& options,
                          const resolve::ResolveOptions& resolving, const JobContext& job = {});

/// Places that could not show the line are not examined: they leave the strip's mask, the fusion there is not visible,
/// and `why` says so (`fusion_left`, `fusion_right`, `zone`). Fills reading.strip.smallest_line_mm.
void TakeBackUnresolved(const cv::Mat1f& smallest_line_mm, const resolve::ResolveOptions& options, double zone_mm,
                        unroll::Strip& merged, Reading& reading);

}  // namespace vision::reading
