#pragma once

#include <vector>

#include "vision/match/align.h"
#include "vision/reading/look.h"

namespace vision::reading {

/// One toe at one station line, from all the looks that show it.
struct Sighting {
  double z_mm = kNotMeasured, u_mm = kNotMeasured;
  bool near = false;  ///< Seen by a look on whose side it lies.
  bool stated() const { return std::isfinite(z_mm); }
};

/// What the looks together know beyond each of them.
struct Together {
  double radius_mm = 0;
  const match::Alignment* opposed = nullptr;  ///< First look against one from the other side; null with one side only.
  double opposed_sum_mm = 0;                  ///< Distances of those two added.

  std::vector<match::AroundBore> disagreements;  ///< Of every look with the first; the first's own is 0.

  /// What must be added to the first look's z so that every pose errs equally little.
  double MeanDisagreement(double theta_deg) const;
  /// Step between the walls (right minus left height) at a place, 0 where not known.
  double StepMm(double theta_deg) const;
  /// Standard uncertainty of a toe from the walls' registration.
  double RegistrationU() const;
};

Together TogetherOf(const std::vector<Look>& looks, double radius_mm);

/// A toe on all station lines, in common coordinates. Looks that have it on their near side speak first, the others
/// only where those are silent.
///
/// Of a push the near toe is read off a line through its z over the camera's distance, where that is 0.6 of the radius:
/// a glossy flank lights up higher the farther off the lamp is, so that its edge drifts with the distance. The far toe
/// is that of the nearest looks: from farther off the crown's outline passes for it.
std::vector<Sighting> ToesAround(const std::vector<Look>& looks, bool left, const Together& together);

}  // namespace vision::reading
