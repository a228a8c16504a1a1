#pragma once

#include <optional>
#include <string>
#include <vector>

#include "vision/match/change.h"
#include "vision/match/depth_options.h"
#include "vision/relief/relief.h"

namespace vision::match {

/// A depth and where it was found.
struct DepthAt {
  double mm = 0, u_mm = 0;  ///< U: standard uncertainty (k = 1).
  WallPlace place;          ///< In the first recording's angles and z.
};

/// How deep a ground pocket is, by the heights of the recordings; two numbers that are not the same wherever the
/// surface did not lie in the wall before (a bead stood up, a groove lay deep).
struct Depths {
  std::optional<DepthAt> floor;  ///< Deepest place under the line that joins the walls on either side; > 0 is below it.
  Reason floor_why;              ///< Why there is none.
  std::optional<DepthAt> removed;  ///< Greatest height taken away.
  Reason removed_why;
  double seen = 0;       ///< Share of the pocket whose height the second recording has.
  double seen_both = 0;  ///< Share whose height both have.
};

/// Where the bare wall begins on either side of weld and pocket: z below `left_z_mm` and above `right_z_mm`.
struct WallEnds {
  double left_z_mm = 0, right_z_mm = 0;
  double from_z_mm = 0,
         to_z_mm = 0;      ///< The one wall's level runs straight into the other's from here to there: the toes.
  bool toes_known = true;  ///< False: the pocket's ends stand in for them; a flank is then not told from the weld.
  double toe_u_mm = 0.3;   ///< Standard uncertainty of either toe's place.
};

/// Source: not noted, so taken as chosen; where a field says none.
struct DepthOptions {
  double window_mm = 1.2;     ///< Heights are averaged over a square of this side before the deepest is sought; > 0.
  double least_filled = 0.5;  ///< Share of the window's cells that must carry a height; (0, 1].
  double wall_from_mm = 0.6, wall_to_mm = 5;  ///< The stretch of bare wall that the line rests on; to > from >= 0.
  double least_seen = 0.7;    ///< Share of the pocket that must carry heights before a deepest place is stated; (0, 1].
  double edge_mm = 0.6;       ///< Cells nearer to the rim are not asked; >= 0.
  double level_reach_mm = 3;  ///< Around, for the level of a wall.
  int least_level_cells = 15;  ///< Cells for the level of a wall.
  FootprintOptions footprint;

  [[nodiscard]] Status Check() const;
};

/// @param before, after The reliefs of the two recordings, each on its own grid; null where a recording has none.
/// @param match Brings a place of the first recording to the second (MatchRing).
/// @return kBadInput for options only; what cannot be told comes back absent, with its reason.
Result<Depths> DepthsOf(const Pocket& pocket, const relief::Relief* before, const relief::Relief* after,
                        const RingMatch& match, const WallEnds& walls, const DepthOptions& options = {});

}  // namespace vision::match
