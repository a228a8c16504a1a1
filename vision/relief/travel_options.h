#pragma once

#include <array>
#include <cstddef>
#include <optional>

#include "vision/base/result.h"

/// Options of height by travel. Sampling and likelihood are as a trial on rendered frames had them (DEVELOPERS.md);
/// what is stated was chosen on made-up pushes of our own makers (`make_scene --kind concave`, `make_field --recording
/// push`).
namespace vision::relief {

/// What bare wall is asked. Shares are of the radius. Source: chosen; no other.
struct TravelWallOptions {
  int around = 30;            ///< Places of wall round the bore.
  double near_share = 1.1;    ///< Wall before the weld that is asked.
  double far_share = 0.25;    ///< Wall past it: the bore may bend there.
  double pitch_share = 0.06;  ///< Between places along the bore.
  double clear_mm = 3;        ///< Of the toes: heat tint changes along the sight.
  int least_places = 60;      ///< Fewer tell nothing.
  double usual = 0.08;        ///< Of ln light about the model: the drawing's own grain.
  /// Before the wall has spoken: share of gloss (logit), ln of roughness, ambient, ring and spread, by eye;
  /// each in [-20, 20].
  std::array<double, 5> usually = {0, -1.8, -3.5, 2.3, 0.7};
  /// How loosely `usually` is held (k = 1); each > 0.
  std::array<double, 5> held_by = {0.9, 0.4, 0.8, 0.5, 0.6};
  /// Places of wall beside a line's near toe, outward; each > 0 ...
  std::array<double, 4> before_mm = {2.8, 2.2, 1.6, 1.0};
  std::array<double, 4> beyond_mm = {1.2, 1.8, 2.4, 3.0};  ///< ... and beside its far toe; each > 0.
  double even_deg = 8;  ///< Standard deviation of the arc over which a line's gain is evened.

  [[nodiscard]] Status Check() const;
};

/// How sections are searched. Source: chosen; no other.
struct TravelSearchOptions {
  std::array<double, 3> exponents = {1.0, 1.25, 1.6};  ///< Of the bead's arc that are tried; each > 0.
  std::array<double, 3> skews = {-0.12, 0, 0.12};      ///< Of the bead's arc that are tried; each in [-1, 1].
  double rough_mm = 0.2;                               ///< Step of a coarse search.
  double in_play = 80;       ///< Cost above the least up to which a rough candidate is looked at closely.
  std::size_t asked = 20;    ///< Lines that tell gloss.
  double least_u_mm = 0.03;  ///< A toe known better is not moved.
  double moved = 1.2;        ///< Toes are moved by so many standard uncertainties.

  [[nodiscard]] Status Check() const;
};

/// What one sample averages. Source: chosen; no other.
struct TravelSampleOptions {
  int blown = 251;                ///< Codes of 255 from which light is no longer told.
  double blown_share = 0.2;       ///< Of what one sample averages.
  double within_line_deg = 0.25;  ///< Between the rays that one sample averages.
  int border_px = 2;              ///< Of the picture that is not read.

  [[nodiscard]] Status Check() const;
};

/// Lamps in a ring around the lens.
struct LampRing {
  double radius_mm = 10;     ///< From the optical axis; > 0.
  double ahead_mm = -1.5;    ///< Of the lens's centre of projection; negative is behind.
  double tilt_out_deg = 35;  ///< Of each lamp's axis from the optical axis; in [0, 80].
  double spread = 2;         ///< Light goes with ((1 + cos) / 2)^spread of the angle from the lamp's axis; >= 0.
  int lamps = 8;             ///< Into which the ring is divided; more change nothing. In [3, 64]. Numerics.

  [[nodiscard]] Status Check() const;
};

/// How a metal surface shines: a share of one GGX lobe, the rest matt (Walter et al., EGSR 2007).
struct Gloss {
  double share = 0.5;      ///< In [0, 1).
  double roughness = 0.2;  ///< GGX alpha; in [0.02, 1].
};

/// Source: a trial on rendered frames and made-up pushes (above), else chosen; where a field says none.
struct TravelOptions {
  /// Put into readings. Off: on pushes of another renderer under shop conditions the stated u did not hold
  /// (DEVELOPERS.md).
  bool stated = false;
  /// Kinds of section (convex, flush, concave) are put into readings; a class, no number.
  bool classes_told = true;
  // Frames.
  int most_frames = 8;               ///< Evenly over the distances, nearest first; in [3, 64].
  double farthest_share = 1.9;       ///< Frames farther off than so many radii are not used; > 0.
  double least_travel_share = 0.25;  ///< The frames used must lie so far apart, over the radius; > 0.
  // Sampling.
  double line_step_deg = 2;                 ///< Between lines that are worked out; in [0.5, 10].
  double line_half_deg = 0.75;              ///< Averaged to either side of a line (two ripples); in [0, 3].
  double before_mm = 3.2, behind_mm = 4.2;  ///< Wall sampled beyond the near and the far toe; > 0.
  double sample_mm = 0.15;                  ///< Between samples along z; in [0.05, 0.5].
  double cell_mm = 0.12;                    ///< Of the rendered section; in [0.05, 0.5].
  // Likelihood.
  double noise_share = 0.06, noise_floor = 0.02;  ///< Of one sample: of its light, and of the median light; > 0.
  /// Of that noise, what samples are taken to show at least and at most; what they do show is found; > 0.
  double least_noise = 0.3, most_noise = 1.5;   ///< No unit.
  double tail = 4;                              ///< Degrees of freedom of the Student-t residual; > 0.
  double hat_mm = 0.35;                         ///< Between the albedo's knots; in [0.1, 2].
  double hat_share = 0.1, hat_toe_share = 0.5;  ///< Neighbouring knots differ by so much (k = 1), at a toe; > 0.
  double wall_share = 0.12;                     ///< The same on bare wall: its own drawing; > 0.
  double calm_mm = 0.35;                        ///< At a toe is within so much of it (oxide, tint); > 0.
  double albedo_spread = 0.6;           ///< Standard deviation of albedo beforehand, over the wall's usual; > 0.
  double toe_blend_mm = 0.3;            ///< The bead's gloss goes over into the wall's across so much of a toe; > 0.
  double blur_px = 0.9, blur_mm = 0.1;  ///< Standard deviation of a sample: lens and sensor, arc averaged; > 0.
  int register_rounds = 3;              ///< Frames are brought into register so often; in [0, 20].
  double temper = 12;  ///< By how much samples share their error: log-likelihoods are divided by it; >= 1.
  // Candidates.
  double lowest_mm = -1.6, highest_mm = 3.0, step_mm = 0.1;  ///< Height of the middle over the chord; > -20.
  double neighbour_steps = 2;  ///< Lines within so many steps are taken in; in [0, 10]. No unit.
  double neighbour_cap = 5;    ///< What one of them may say against a height, in log likelihood; > 0.
  // What is stated.
  double widen = 1.5;          ///< The posterior's standard deviation is multiplied by this; >= 1.
  double common_u_mm = 0.09;   ///< What poses and lamps leave common to all lines of a push (k = 1); > 0.
  double most_u_mm = 0.15;     ///< A height less certain than this (k = 1) is not stated; > 0.
  double most_toe_u_mm = 0.5;  ///< Nor one on a line whose toe is less certain (k = 1); > 0.
  double most_misfit = 1.8;    ///< Nor one whose misfit, over the push's usual one, is not noise; > 1.
  /// A push whose usual misfit is more, at the most noise: not lit by a ring; > 1. No unit.
  double most_usual_misfit = 1.3;
  /// Frames that had to be moved further to lie on what is predicted (root mean square): poses or toes are not what
  /// they are said to be; > 0. Trials: pushes of make_field need 0.02 to 0.1 mm; two of 21 needed 0.18, one of them all
  /// wrong.
  double most_shift_mm = 0.15;
  double nearest_share = 0.9;  ///< The nearest frame must stand within so many radii; > 0.
  double class_mm = 0.3;       ///< Convex or concave is more than this over or under the chord; > 0.
  /// By how much heights err as far as a kind of section is concerned: scale of a Student-t of three degrees of freedom
  /// (tails: lamps and curve of brightness that are not as taken); > 0. Fitted: scripts/fit_section_class.py.
  double class_u_mm = 0.19;
  /// Chance that a push, or an arc of it, is read upside down, which no line of it shows; in [0, 0.5]. Trials: three of
  /// 29 runs over pushes of make_field.
  double astray_chance = 0.1;
  double beside_deg = 4;  ///< Lines so near each other are neighbours; in [1, 45]. Chosen.
  /// Heights of neighbours that are further apart are those of no bead: where there are such, the frames can be read
  /// both ways and no kind of section is told; > 0. Chosen: arcs of make_field go from crown to hollow by 2.3.
  double most_jump_mm = 2.5;
  double told_chance = 0.9;  ///< A kind of section is told from this chance on; in (0.5, 1]. A judgement, no source.
  // What is known of the lamps; absent: found from the bare wall and the bead.
  std::optional<LampRing> lamps = std::nullopt;
  int reweighting_rounds = 3;  ///< Of robust weights in the fit of one line; in [1, 20]. Chosen.
  TravelWallOptions wall;
  TravelSearchOptions search;
  TravelSampleOptions sampling;

  [[nodiscard]] Status Check() const;
};

}  // namespace vision::relief
