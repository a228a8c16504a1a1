#pragma once

#include "vision/relief/section.h"

/// Part of SectionOf: where the surface leaves the walls, told by its shape alone.
namespace vision::relief {

/// One element per relief column; NaN where the surface does not tell.
struct ToesByShape {
  std::vector<double> left_z_mm, right_z_mm, left_u_mm, right_u_mm;
};

/// Around the bore, in blocks of 4 degrees: wall, bead, wall, the bead an arc over (or under) the chord of its toes
/// that may lean to one side (common practice for a bead's section, no source). All pairs of toes are tried, each with
/// the best such bead; their mean, weighted by how well they fit, is the toe. Toes run on around the bore (six
/// harmonics), and so carry over arcs on which the surface is level; where fewer than a quarter of the ring tells,
/// there are none.
ToesByShape ToesFromShape(const Relief& relief, const SectionOptions& options);

}  // namespace vision::relief
