#pragma once

#include "vision/base/result.h"

namespace vision::bead {

/// Path and place of one toe. Levels are natural logarithms over the wall's. Source: chosen on painted strips and
/// rendered welds of our own; no other.
struct EdgeOptions {
  double reach_mm = 6.5;         ///< How far from the bead's middle a toe is looked for.
  double step_window_mm = 0.4;   ///< Half-window of the step.
  double step_unit = 0.10;       ///< A step of so much in log level counts as one unit ...
  double dark_unit = 0.04;       ///< ... a darkening of so much.
  double other_cap = 1.2;        ///< Most that a step of the other sign counts, units.
  double narrow_mm = 0.6;        ///< A bead narrower than its insert by so much costs ...
  double narrow_weight = 0.4;    ///< ... this weight, with the square ...
  double narrow_cap = 16;        ///< ... up to so much, in that weight.
  double widest_mm = 5.5;        ///< From the near toe to where most beads have ended.
  double shade_mm = 2.8;         ///< Widest shade behind a crown.
  double trend_weight = 0.25;    ///< Weight of lying off the expected row.
  double pull_knee = 4;          ///< Deviations from which that cost is linear.
  double usual_within_mm = 0.5;  ///< Deviation from the bead's usual width ...
  double usual_weight = 0.1;     ///< ... its weight: weak ...
  double usual_knee = 3;         ///< ... and from how many deviations on it is linear.
  double together_mm = 2.5;      ///< Of arc to either side, over which steps are evened.
  double wanders_mm = 0.3;       ///< Along z, a toe within that arc.
  double step_weight = 0.5;      ///< Weight of the step's worth in the path's cost.
  /// The wall's drawing lines are compared over so much either side of a boundary.
  double lines_window_mm = 0.8;
  double lines_end_weight = 2;  ///< All lines ending is worth a step of so many units.
  int envelope_lines = 60;      ///< Lines each way (30 degrees) whose path tells the envelope.

  [[nodiscard]] Status Check() const;
};

/// A root that looks hollow. Lengths are along z where none is said; levels are natural logarithms over the wall's.
/// Source: chosen on painted strips and rendered welds of our own; no other.
struct HollowOptions {
  double arc_mm = 2.5;          ///< Around, to either side: ripples average out.
  double near_mm = 0.8;         ///< Of the half that turns away.
  double least_width_mm = 1.5;  ///< Between the toes.
  double before_mm = 1.5;       ///< A fall is looked for from so much before the far path ...
  double beyond_mm = 0.6;       ///< ... to so much past it.
  double near_reach_mm = 1.2;   ///< The near toe, before its path; a third of it past the path.
  double calm_mm = 2.0;         ///< Of wall outside the fall ...
  double wall = 0.12;           ///< ... and how far its log level may lie off.
  double shade_mm = 0.3;        ///< Past the fall a crown or an insert casts a shade ...
  double shade = 0.07;          ///< ... of this log level or more.
  double fall = 0.15;           ///< Least fall of log level.
  double dark_share = 0.2;      ///< Of the bright half's level: the dark half's at most.

  [[nodiscard]] Status Check() const;
};

/// How a cell speaks for bead or wall; log likelihoods. Source: chosen on painted strips and rendered welds of our
/// own; no other.
struct WeldBandOptions {
  /// Log of the broad density's width over the wall's: what a bead cell must exceed.
  float broad = 3.0f;
  float floor = -0.4f;      ///< Least that one cell says.
  double lines_weight = 2;  ///< Weight of the wall's own drawing lines.
  float ceiling = 3.0f;     ///< Most that one cell says.
  double drift = 0.12;      ///< Log level by which the bare wall wanders (heat tint, fall-off of the light).
  double search_mm = 2.5;   ///< The weld's centre lies within this of z = 0.
  double band_mm = 4;       ///< Of z, whose evidence is put together.

  [[nodiscard]] Status Check() const;
};

/// Passes of the finder. Source: chosen on painted strips and rendered welds of our own; no other.
struct FinderOptions {
  double least_share = 0.95;  ///< A bead is seldom narrower than so much of its insert.
  double insert_mm = 3.2;     ///< Width of an insert as laid: a common one, from memory.
  /// Log level by which the wall wanders once the wall beside the bead is the reference.
  double local_drift = 0.1;
  double stands_mm = 3;  ///< Of arc to either side, that count for whether a toe stands out.
  /// How closely a toe keeps to the running median of the path before: loosely at first, to a long one ...
  double loose_half_deg = 45, loose_within_mm = 0.8;
  /// ... then tightly to a short one. A toe wanders by some 0.2 mm over a few mm of arc; only the ends of unfused arcs
  /// step, and those arcs are longer than half the window, so that the median steps with them. A dark patch of the wall
  /// is shorter, and is no bead.
  double tight_half_deg = 15, tight_within_mm = 0.25;
  int loose_passes = 2;  ///< Passes in which a toe keeps loosely to the path before.
  int passes = 4;        ///< All passes.

  [[nodiscard]] Status Check() const;
};

}  // namespace vision::bead
