#pragma once

#include <string>
#include <vector>

#include "vision/relief/relief.h"

/// Across the weld at one station line: what is read off a relief, by whichever way its heights were earned.
namespace vision::relief {

/// Where the toes lie by other witnesses (colour, texture), per relief column; NaN = not known. They hold the toe where
/// the surface leaves the wall too gently to be told by height. u: standard uncertainty, one a place.
struct ToeHints {
  std::vector<double> left_z_mm, right_z_mm, left_u_mm, right_u_mm;
};

/// One station line. Every length in mm; u = standard uncertainty (k = 1); NaN = not measured, `why` says so.
struct SectionLine {
  double theta_deg = 0;
  double wall_left = kNotMeasured, wall_right = kNotMeasured;  ///< Each wall's own level (h) beside its toe.
  double wall_left_u = kNotMeasured, wall_right_u = kNotMeasured;
  double toe_left_z = kNotMeasured, toe_right_z = kNotMeasured;  ///< Where the surface leaves the wall.
  double toe_left_u = kNotMeasured, toe_right_u = kNotMeasured;
  double crown = kNotMeasured, crown_u = kNotMeasured;  ///< Over the chord of the two toes, ripples averaged out.
  double crown_with_ripples = kNotMeasured;             ///< The highest cell over the chord.
  double crown_over_left = kNotMeasured, crown_over_right = kNotMeasured;  ///< Over each side's own wall.
  double concavity = kNotMeasured, concavity_u = kNotMeasured;  ///< Greatest depth under the chord; 0 if none.
  double concavity_under_left = kNotMeasured, concavity_under_right = kNotMeasured;
  double misalignment = kNotMeasured, misalignment_u = kNotMeasured;  ///< b wall's h minus the a wall's.
  double undercut_left = kNotMeasured, undercut_right = kNotMeasured, undercut_u = kNotMeasured;  ///< Depth at the toe.
  std::string why;  ///< Why crown and concavity are absent; empty where they are stated.
};

struct SectionOptions {
  double wall_reach_mm = 6;                 ///< Wall beside the toe that is used for its level, each side; > 0.
  double wall_gap_mm = 0.4;                 ///< Kept clear of the toe; >= 0.
  double ripple_arc_mm = 3;                 ///< Averaged around the bore for the smooth crown (two ripples); > 0.
  double toe_from_mm = 1.2, toe_to_mm = 9;  ///< Toes are sought this far from z = 0, each side.
  double longest_gap_mm = 1.6;              ///< A longer stretch without heights across the weld: not stated.

  [[nodiscard]] Status Check() const;
};

/// One SectionLine for every column of the relief. z = 0 must lie within the weld.
/// @return kBadInput for options or a relief that cannot be used.
Result<std::vector<SectionLine>> SectionOf(const Relief& relief, const SectionOptions& options = {},
                                           const ToeHints& hints = {});

}  // namespace vision::relief
