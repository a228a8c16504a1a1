#pragma once

#include <vector>

#include "vision/bead/features.h"

/// What tells melted insert from insert as laid, one number per station line.
namespace vision::fusion {

struct Cues {
  std::vector<double> gap;          ///< Depth of a straight dark line around the near toe, log level; 0 = none.
  std::vector<double> ridge;        ///< Height of a thin bright straight line (chamfer) inside the near toe, log level.
  std::vector<double> flank;        ///< Brightest just inside the near toe over the wall before it, log level.
  std::vector<double> near_ripple;  ///< Ripple amplitude just inside the near toe over the wall's, log.
  std::vector<double> body_ripple;  ///< The same over the middle of the insert's width.
  std::vector<double> body_level;   ///< Brightness of the middle, log level over the wall.
  std::vector<double> body_slope;   ///< Mean size of the change of level along z in the middle.
  std::vector<double> chamfer;      ///< How far a thin line just inside the near toe outshines what follows, log level.
  /// The strongest straight thin bright line from just outside the near toe to 3.2 mm inside it, log level: where the
  /// toe finder stands off a ring without a dark gap, this is the ring's edge. What lies inside and outside of it:
  std::vector<double> edge, inner_level, inner_ripple, inner_slope, outer_level;
};

/// @param near_row Row of the near toe per line (NaN = none). @param far_row Of the far toe, or where it would lie.
Cues ReadCues(const bead::Features& features, const std::vector<double>& near_row, const std::vector<double>& far_row);

}  // namespace vision::fusion
