#pragma once

#include <vector>

#include "vision/fusion/cues.h"
#include "vision/fusion/shelf.h"

namespace vision::fusion {

/// Joins two unfused arcs that a short doubtful one parts, where the straight edge runs on through it.
/// @param unfused 1 = unfused, per line. @param line_mm Arc between two lines.
void JoinRuns(const Cues& cues, double line_mm, std::vector<char>& unfused);

/// The unfused arcs at whose ends the surface does not change: the insert as laid gives way to melt, and ripples begin,
/// within a millimetre or two, while a dull or hollow arc of melt fades in and out. Where the bead beside it is smooth,
/// the edge that jumps outward at both ends tells the same. Arcs of less than 2.5 mm are among them: no end is found.
/// @return 1 = belongs to such an arc.
std::vector<char> WithoutEnds(const Cues& cues, const Shelf& shelf, double line_mm, const std::vector<char>& unfused);

/// The fused lines within 2.5 mm of an unfused one: a run fades out over a millimetre or two, and its end is not known
/// to better.
std::vector<char> BesideRuns(double line_mm, const std::vector<char>& unfused);

}  // namespace vision::fusion
