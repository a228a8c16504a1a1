#pragma once

#include <optional>
#include <string>

#include "vision/match/depth_options.h"
#include "vision/match/removed.h"

namespace vision::match {

/// A pocket's extents by what the heights of two recordings lost: it ends where nothing more was taken, also where the
/// ground finish does not show.
struct Footprint {
  WallPlace middle;
  double circ_mm = 0, circ_u_mm = 0, axial_mm = 0, axial_u_mm = 0;  ///< u: standard uncertainty (k = 1).
};

struct FootprintFound {
  std::optional<Footprint> footprint;
  std::string why;  ///< Why there is none.
};

/// The flanks are followed down in the two sections through the pocket's middle; where they rise as straight lines of
/// removal, these are run out to none.
/// @param before, after Null where a recording has no heights.
FootprintFound FootprintOf(const Pocket& pocket, const relief::Relief* before, const relief::Relief* after,
                           const RingMatch& match, const WallEnds& walls, const FootprintOptions& o = {});

}  // namespace vision::match
