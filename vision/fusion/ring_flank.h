#pragma once

#include "vision/bead/toes.h"
#include "vision/fusion/fusion.h"
#include "vision/unroll/strip.h"

namespace vision::fusion {

/// Where the original edge is still to be seen, the toe is the foot of the ring's flank. It lies inside the dark gap:
/// the toe finder, which looks for the end of the wall, stands on the gap's outer edge, and the bright edge on its
/// inner side is the ring's top, which its height moves inward (by height * distance / radius). Puts the near toe of
/// those lines half-way, with the rectangular uncertainty of the stretch between; where no bright edge is found
/// within 1.4 mm the line stays as it was.
void MoveToesToFlank(const unroll::Strip& strip, const Fusion& fusion, bool near_is_left, bead::BeadToes& toes);

}  // namespace vision::fusion
