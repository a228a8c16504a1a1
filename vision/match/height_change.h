#pragma once

#include <opencv2/core.hpp>

#include "vision/match/ring.h"
#include "vision/relief/relief.h"

namespace vision::match {

/// What the surface gained or lost between two recordings that both tell heights.
struct HeightChange {
  unroll::StripGrid grid;  ///< Of the first recording's relief.
  cv::Mat1f mm;            ///< Second minus first; negative: metal is gone. NaN where either has no height.
  cv::Mat1f u_mm;          ///< Standard uncertainty (k = 1) of mm; NaN with it.
};

/// Each height stands over its own recording's bore; a wall that moved as a whole shows as a change.
/// @param match Brings a place of the first recording to the second.
HeightChange HeightChangeOf(const relief::Relief& before, const relief::Relief& after, const RingMatch& match);

/// The change on a strip's grid, for the eye: one colour where metal is gone, the other where it came, pale where
/// neither, dotted where not measured; full colour at `full_mm`.
cv::Mat3b HeightPicture(const HeightChange& change, const unroll::StripGrid& strip, double full_mm = 1,
                        const TwoColours& colours = {});

}  // namespace vision::match
