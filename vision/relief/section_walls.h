#pragma once

#include <vector>

#include "vision/relief/section.h"

namespace vision::relief {

/// The level of one wall all round.
struct WallLevel {
  std::vector<double> h_mm, u_mm;  ///< Per relief column; NaN where no wall was measured within 45 degrees.
};

/// Robust level of a wall: the medians of its cells beside the toe, column by column, brought together by mean and four
/// harmonics (a pipe's end is round, oval, or set off; what stays over goes into u).
/// @param toe_z_mm The toe on this side, per column; NaN = not known there.
WallLevel LevelOfWall(const Relief& relief, bool left, const std::vector<double>& toe_z_mm,
                      const SectionOptions& options);

}  // namespace vision::relief
