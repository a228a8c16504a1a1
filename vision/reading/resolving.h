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

/// Where a recording could not show the line that an edge is told by: not examined there.
struct Unresolved {
  unroll::StripGrid grid;
  cv::Mat1b fails;  ///< By cell; 255 = could not show it. A cell that no frame sees is not among them.
  Reason why;

  /// At a toe of a station line; z NaN: at the weld's middle.
  bool At(std::size_t line, double z_mm) const;
  /// Lines of whose zone, `zone_mm` to either side, more than a tenth could not be shown.
  std::vector<bool> Zone(double zone_mm) const;
};

Unresolved UnresolvedIn(const unroll::StripGrid& grid, const cv::Mat1f& smallest_line_mm,
                        const resolve::ResolveOptions& options);

/// Median over the bead, `half_mm` to either side of the weld's middle and every so many columns; NaN where no cell has
/// a value.
double MedianAtBead(const unroll::StripGrid& grid, const cv::Mat1f& values, double half_mm, int every);

}  // namespace vision::reading
