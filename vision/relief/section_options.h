#pragma once

#include "vision/base/result.h"

namespace vision::relief {

/// Toes told by the surface's shape. Source: chosen on rendered welds of our own maker (make_scene --kind
/// light_section), where a field says no other.
struct SectionToeOptions {
  double block_deg = 4;           ///< Between blocks; each takes as much of the relief.
  double step_mm = 0.2;           ///< Between toes that are tried.
  double furthest_mm = 6.6;       ///< From the weld's middle.
  double reach_mm = 9;            ///< Of the surface that is fitted, each side.
  double fit_mm = 0.03;           ///< How far the surface stands off the shape (ripples, stripe).
  double wall_mm = 0.03;          ///< How far a wall's own level may differ from its run around the bore.
  double lean = 0.5;              ///< Usual lean of the bead's arc, of its height.
  double apart_mm = 0.35;         ///< Usual distance of a toe from the ring's own median.
  double hopeless = 20;           ///< Chi squared of such a distance that alone speaks against a toe; it is not tried.
  double softness = 4;            ///< Neighbouring cells share stripe edges: so many count as one.
  double telling_rise_mm = 0.12;  ///< A bead that stands off the chord by less tells no toe.
  /// What shape and smoothing leave on rendered frames with truth. Trials: those frames.
  double runs_on_mm = 0.3;
  double carries_deg = 45;  ///< Furthest from the next block that tells.
  int rounds = 3;           ///< Of settling the ring's own median.

  [[nodiscard]] Status Check() const;
};

}  // namespace vision::relief
