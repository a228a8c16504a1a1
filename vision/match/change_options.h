#pragma once

#include "vision/base/result.h"

namespace vision::match {

/// What two pictures of one place are compared by. Source: chosen; no other.
struct EvidenceOptions {
  double fine_mm = 0.25;  ///< Pictures are blurred by so much first.
  double coarse_mm = 2;   ///< The wall's own drawing is what is finer than this.
  int sectors = 72;       ///< Of the ring, in which the light's running median is taken.

  [[nodiscard]] Status Check() const;
};

/// The outline of a ground pocket. Source: chosen; no other.
struct OutlineOptions {
  /// Extent of a pocket whose ends lie on a bead, or against a bright or dark edge along the ring, that look like the
  /// ground finish. Eleven rendered pockets of known size, found less true extent, mm: around -3.5 to 0.2 (root mean
  /// square 1.75), along -3.7 to 0.3 (1.5, nearly all by two of them). Mostly too short: the uncertainty is not
  /// symmetric. Trials: nine made-up welds and two independent pairs, widened so that 2u holds them all ...
  double finish_around_u_mm = 1.8;
  double finish_along_u_mm = 1.9;  ///< ... and the same along z.
  int directions = 180;            ///< Rays from the pocket's middle.
  int reach_steps = 6;             ///< Steps of radius from one direction to the next.
  double step_mm = 0.1;            ///< Of radius.
  double bend = 2;                 ///< Price of one step squared, in cells that say "ground". No unit.
  double cells_in_one = 20;        ///< Neighbouring cells share one source pixel and its noise.
  float sure = 4;                  ///< One cell says no more than this, in nats.
  double fewest_mm2 = 0.25;        ///< A smaller mark in the ground finish is not spoken of.
  double out = 0.2;                ///< A mark stands out of the finish by so much in ln of brightness ...
  double sigmas = 5;               ///< ... and by so many of its standard deviations.

  [[nodiscard]] Status Check() const;
};

/// What became of an indication. Source: chosen; no other.
struct FateOptions {
  double margin_mm = 0.3;  ///< An indication this near the rim is not taken for ground away.
  double beside_mm = 0.8;  ///< What is still seen this near the place is taken for the indication.

  [[nodiscard]] Status Check() const;
};

}  // namespace vision::match
