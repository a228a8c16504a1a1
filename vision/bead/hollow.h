#pragma once

#include <vector>

#include "vision/bead/bead_options.h"
#include "vision/bead/features.h"

namespace vision::bead {

/// The toes where the root looks hollow (concave): with the lamp beside the lens its near half turns away and is dark,
/// its far half faces the lens and is bright; the near toe is where it darkens, the far toe where it falls to the wall.
struct HollowToes {
  std::vector<char> hollow;            ///< Per station line: 1 = the root looks hollow here.
  std::vector<int> near_row, far_row;  ///< Boundaries; the paths' own where not hollow.
};

/// @param near_row,far_row Paths of both toes, in rows of the features, whose level has the wall at 0 (Rebase).
/// @param features Of hollow lines the level becomes the mean over the arc close by: their steps are faint.
HollowToes FollowHollow(const std::vector<int>& near_row, const std::vector<int>& far_row, Features& features,
                        const EdgeOptions& edge, const HollowOptions& o);

}  // namespace vision::bead
