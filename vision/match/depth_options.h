#pragma once

#include "vision/base/result.h"

namespace vision::match {

/// Extent of a pocket by what was removed; shares are of the greatest removal. Source: chosen; no other.
struct FootprintOptions {
  double beyond_mm = 8;       ///< Around, past the extent that the pictures tell.
  double half_band_mm = 1.2;  ///< The section's half width.
  double high_share = 0.8;    ///< The line is laid between this ...
  double low_share = 0.12;    ///< ... and this.
  double step_share = 0.3;    ///< From one cell to the next: no flank but a step.
  double least_mm = 0.15;     ///< Less removal has no flank to follow.
  int fewest = 5;             ///< Cells of a flank.
  double toe_mm = 0.3;        ///< Along the pipe: nearer to the weld the bead's height is in the removal.

  [[nodiscard]] Status Check() const;
};

}  // namespace vision::match
