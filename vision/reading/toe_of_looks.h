#pragma once

#include <vector>

#include "vision/base/result.h"
#include "vision/match/align.h"
#include "vision/reading/look.h"

namespace vision::reading {

/// One toe from several looks. Source: chosen on made-up pushes; no other.
struct SightingOptions {
  double close_share = 1.1;       ///< Looks of a push within so many radii tell the near toe.
  double read_share = 0.6;        ///< At so many the near toe is read; within them every look counts for the far toe.
  double beside_share = 0.25;     ///< Of the radius: behind the nearest look a second one helps.
  double least_span_share = 0.3;  ///< Of the radius: looks closer together make no line.
  double astray_mm = 0.3;         ///< A look farther from the others has taken another edge.
  /// From a radius away what shades the far toe puts it 0.2 to 0.5 mm off, from two radii by a millimetre or two.
  double outline_mm = 0.35;
  double even_mm = 0.5;  ///< Of arc to either side, over which a push's toe is averaged.

  [[nodiscard]] Status Check() const;
};

/// One toe at one station line, from all the looks that show it.
struct Sighting {
  double z_mm = kNotMeasured, u_mm = kNotMeasured;
  bool near = false;  ///< Seen by a look on whose side it lies.
  bool stated() const { return std::isfinite(z_mm); }
};

/// What the looks together know beyond each of them.
struct BetweenLooks {
  double radius_mm = 0;
  const match::Alignment* opposed = nullptr;  ///< First look against one from the other side; null with one side only.
  double opposed_sum_mm = 0;                  ///< Distances of those two added.

  std::vector<match::AroundBore> disagreements;  ///< Of every look with the first; the first's own is 0.
  SightingOptions options;

  /// What must be added to the first look's z so that every pose errs equally little.
  double MeanDisagreement(double theta_deg) const;
  /// Step between the walls (right minus left height) at a place, 0 where not known.
  double StepMm(double theta_deg) const;
  /// Standard uncertainty of a toe from the walls' registration.
  double RegistrationU() const;
};

BetweenLooks BetweenLooksOf(const std::vector<Look>& looks, double radius_mm);

/// A toe on all station lines, in common coordinates. Looks that have it on their near side speak first, the others
/// only where those are silent.
///
/// Of a push the near toe is read off a line through its z over the camera's distance, where that is 0.6 of the radius:
/// a glossy flank lights up higher the farther off the lamp is, so that its edge drifts with the distance. The far toe
/// is that of the nearest looks: from farther off the crown's outline passes for it.
std::vector<Sighting> ToesAround(const std::vector<Look>& looks, bool left, const BetweenLooks& together);

}  // namespace vision::reading
