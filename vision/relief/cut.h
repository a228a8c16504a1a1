#pragma once

#include <vector>

#include "vision/relief/relief.h"

/// The inside surface along one line across the weld, as a relief has it; for showing, nothing is filled or smoothed.
namespace vision::relief {

struct CutCell {
  double z_mm = 0, h_mm = 0, u_mm = 0;  ///< u: standard uncertainty (k = 1), as in Relief::u_mm.
};

/// Measured cells that lie next to each other.
using CutStretch = std::vector<CutCell>;

/// The column nearest to `theta_deg`, z growing; a cell that was not measured ends a stretch. Empty where nothing was
/// measured. @param relief One that passes Check().   @param theta_deg Any angle.
std::vector<CutStretch> CutOf(const Relief& relief, double theta_deg);

}  // namespace vision::relief
