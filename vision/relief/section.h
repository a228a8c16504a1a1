#pragma once

#include <string>
#include <vector>

#include "vision/base/sentence.h"
#include "vision/relief/relief.h"
#include "vision/relief/section_options.h"

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
  Reason why;  ///< Why crown and concavity are absent; empty where they are stated.
};

/// Source: not noted, so taken as chosen; where a field says none.
struct SectionOptions {
  double wall_reach_mm = 6;                 ///< Wall beside the toe that is used for its level, each side; > 0.
  double wall_gap_mm = 0.4;                 ///< Kept clear of the toe; >= 0.
  double ripple_arc_mm = 3;                 ///< Averaged around the bore for the smooth crown (two ripples); > 0.
  double toe_from_mm = 1.2, toe_to_mm = 9;  ///< Toes are sought this far from z = 0, each side.
  double longest_gap_mm = 1.6;              ///< A longer stretch without heights across the weld: not stated.
  /// Standard uncertainty of a toe told by height alone; in [0.01, 5]. Chosen.
  double toe_by_height_u_mm = 0.25;
  /// Two witnesses of one toe that lie further apart put it in doubt. In [0, 10]. Chosen.
  double apart_mm = 0.7;
  /// Still further: the other witness took something else for the toe. In [0, 10]. Chosen.
  double astray_mm = 2.0;
  /// Standard uncertainty of a toe carried over from its neighbours. In [0, 5]. Chosen.
  double across_gap_u_mm = 0.35;
  /// What a toe held by one witness alone (picture or shape) leaves in a height over the chord: 0.06 mm on rendered
  /// frames (one independent scene, three of our own). Two that agree bring a toe's u below `two_witnesses_u_mm`.
  double one_witness_u_mm = 0.06;
  /// Below this a toe's u shows that two witnesses agree on it. Trials: as one_witness_u_mm.
  double two_witnesses_u_mm = 0.28;
  /// Of one cell. What is beyond it (one edge alone, a stripe's own light, a gap between cuts) neighbours share.
  /// Chosen.
  float scatter_mm = 0.04F;
  double least_read_share = 0.5;  ///< Of the lines on which the bead shows any height; a judgement, no source.
  double torn_over_mm = 0.4;      ///< A rise is taken over so much along z. Chosen.
  /// Rise in mm a mm of travel (65 degrees) from which the surface is torn; a judgement, no source.
  double steepest = 2.2;
  double wall_support_deg = 45;  ///< A wall's level is carried so far from where it was measured. Chosen.
  SectionToeOptions toes;

  [[nodiscard]] Status Check() const;
};

/// One SectionLine for every column of the relief. z = 0 must lie within the weld.
/// @return kBadInput for options or a relief that cannot be used.
Result<std::vector<SectionLine>> SectionOf(const Relief& relief, const SectionOptions& options = {},
                                           const ToeHints& hints = {});

}  // namespace vision::relief
