#pragma once

#include <vector>

#include "vision/reading/look.h"
#include "vision/reading/reading.h"
#include "vision/reading/resolving.h"
#include "vision/reading/toe_of_looks.h"
#include "vision/reading/told.h"

namespace vision::reading {

/// How alike the fitted reader errs at both toes of a weld, outward with outward: correlation of the rings' mean errors
/// over their spreads, in [0, 1]. Source: scripts/evidence/calibrate.py on held-out drawn scenes (DEVELOPERS.md).
struct WidthOptions {
  double both_near = 0.5;      ///< Each seen from its own side; in [0, 1].
  double near_and_far = 0.25;  ///< Of one look; in [0, 1].

  [[nodiscard]] Status Check() const;
};

/// Standard uncertainty of the width between two stated toes, mm, without that of the scale.
double WidthU(const Sighting& left, const Sighting& right, const WidthOptions& options = {});

/// Puts the looks of one joint together: toes, width, step, each with its uncertainty and its reason when absent.
///
/// A wall that stands h higher looks h * d / R further along the sight (R bore radius, d distance), so one view takes a
/// step s between the walls for s * d / R of width. Looks from both sides err in opposite directions; weighted by each
/// other's distance the step cancels, and half of what they disagree is the step itself.
///
/// Here alone the joint's z = 0 is chosen: the mean of both toes where both are seen.
Told TellByLooks(const std::vector<Look>& looks, const MeasureInput& input);

/// Both edges of the insert: fused only where the recording could have shown a gap.
EdgesTold TellEdges(const std::vector<Look>& looks, double radius_mm, const Told& told, const Unresolved& unresolved);

/// What the bead's own lean and wander around the bore leave in a toe's z: the pose takes the bead for a true circle,
/// which no other witness in one picture contradicts (tried: light over the whole wall, tint lines, the wall's
/// drawing). Common to both toes, so it is not in the width. Root mean square of a first harmonic whose amplitude is
/// the ring's wander.
double RoundnessU();

/// Coverage: station lines on which each edge of the insert was examined, and on which the zone was seen.
Coverage CoverageOf(const unroll::Strip& merged, const Profile& profile, double zone_mm);

}  // namespace vision::reading
