#pragma once

#include <vector>

#include "vision/bead/features.h"

/// The insert as laid seen as a shelf. An unmelted ring stands narrower than the bead beside it, and its top, h above
/// the wall, is seen h * distance / radius further in (light and lens stand together, the view is oblique). So in place
/// of the bead's bright near flank there is, from outside inward: wall up to the joint, the shade of gap and flank, one
/// straight step up, and a flat top that is dull like the wall, because its normal points like the wall's. Needs
/// neither a dark line nor a bright chamfer, which a tight fit or a coarse picture does not show.
namespace vision::fusion {

/// One number per station line, mean over 1.4 mm of arc.
struct Shelf {
  std::vector<double> step;    ///< Rise of the log level over 0.4 mm that three quarters of 3.6 mm of arc share.
  std::vector<double> inward;  ///< How far the step lies inside the toe's own trend, mm.
  std::vector<double> wander;  ///< Mean deviation of the step's z over 3.6 mm of arc, mm: straight = laid, not melted.
  std::vector<double> shade;   ///< Level just outside the step over the wall's, log.
  std::vector<double> top;     ///< Level of the millimetre inside the step over the wall's, log.
  std::vector<double> ripple;  ///< Ripple amplitude there over the wall's, log.
  std::vector<double> slope;   ///< Mean size of the change of level along z there.
  std::vector<double> lack;    ///< How much the brightest near the toe lacks of what the joint's own bead shows, log.
  /// The far half of the ring's top, from the step and the width as laid: its slope, and its ripple and level over the
  /// near half's.
  std::vector<double> far_slope, far_ripple, far_level;
};

/// @param near_row Row of the near toe per line, finite. @param insert_width_mm As laid.
Shelf ReadShelf(const bead::Features& features, const std::vector<double>& near_row, double insert_width_mm);

/// Log-likelihood of "as laid" over "melted" for a millimetre of arc. All signs must be there: the weakest decides.
double ShelfEvidence(const Shelf& shelf, std::size_t line);

/// The same for the far edge of a ring whose near edge is as laid: the edge itself hides behind the ring, but where the
/// top goes on as laid right across, calm and level, so does the edge; melt shows ripples and falls off.
double FarShelfEvidence(const Shelf& shelf, std::size_t line);

}  // namespace vision::fusion
