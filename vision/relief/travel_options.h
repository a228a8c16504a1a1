#pragma once

#include <optional>

#include "vision/base/result.h"

/// Options of height by travel. Chosen on made-up pushes of our own makers (`make_field --recording push`,
/// `make_scene`) unless another source is named.
namespace vision::relief {

/// Lamps in a ring around the lens.
struct LampRing {
  double radius_mm = 10;    ///< From the optical axis; > 0.
  double ahead_mm = -1.5;   ///< Of the lens's centre of projection; negative is behind.
  double tilt_out_deg = 35; ///< Of each lamp's axis from the optical axis; in [0, 80].
  double spread = 2;        ///< Light goes with ((1 + cos) / 2)^spread of the angle from the lamp's axis; >= 0.

  [[nodiscard]] Status Check() const;
};

/// How a metal surface shines: a share of one GGX lobe, the rest matt (Walter et al., EGSR 2007).
struct Gloss {
  double share = 0.5;      ///< In [0, 1).
  double roughness = 0.2;  ///< GGX alpha; in [0.02, 1].
};

struct TravelOptions {
  // Frames.
  int most_frames = 8;           ///< Evenly over the distances, nearest first; in [3, 64].
  double farthest_share = 1.9;   ///< Frames farther off than so many radii are not used; > 0.
  double least_travel_share = 0.25;  ///< The frames used must lie so far apart, over the radius; > 0.
  // Sampling.
  double line_step_deg = 2;      ///< Between lines that are worked out; in [0.5, 10].
  double line_half_deg = 0.75;   ///< Averaged to either side of a line (two ripples); in [0, 3].
  double before_mm = 3.2, behind_mm = 4.2;  ///< Wall sampled beyond the near and the far toe; > 0.
  double sample_mm = 0.15;       ///< Between samples along z; in [0.05, 0.5].
  double cell_mm = 0.12;         ///< Of the rendered section; in [0.05, 0.5].
  // Likelihood.
  double noise_share = 0.06, noise_floor = 0.02;  ///< Of one sample: of its light, and of the median light; > 0.
  double tail = 4;               ///< Degrees of freedom of the Student-t residual; > 0.
  double hat_mm = 0.35;          ///< Between the albedo's knots; in [0.1, 2].
  double hat_share = 0.1, hat_toe_share = 0.5;  ///< Neighbouring knots differ by so much (k = 1), at a toe; > 0.
  double temper = 12;            ///< By how much samples share their error: log-likelihoods are divided by it; >= 1.
  // Candidates.
  double lowest_mm = -1.6, highest_mm = 3.0, step_mm = 0.1;  ///< Height of the middle over the chord.
  // What is known of the lamps; absent: found from the bare wall and the bead.
  std::optional<LampRing> lamps = std::nullopt;
  int threads = 2;               ///< In [1, 64].

  [[nodiscard]] Status Check() const;
};

}  // namespace vision::relief
