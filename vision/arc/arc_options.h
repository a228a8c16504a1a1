#pragma once

#include "vision/base/result.h"

namespace vision::arc {

/// When the arc is on, by the light. Source: chosen on made-up films (make_arc); no other.
struct BurningOptions {
  double about_s = 5;           ///< The usual light is taken over so much on both sides ...
  double usual_share = 0.5;     ///< ... as this quantile of the glowing samples there.
  double least_of_all = 0.75;   ///< Share of the whole recording's usual light: glints of a bead are no arc.
  double going_out = 0.88;      ///< Share of the usual light: it has begun to fall.
  double rising = 1.15;         ///< From one sample to the next, times: a start.
  double shortest_off_s = 0.3;  ///< A shorter pause is none.
  double shortest_on_s = 0.5;   ///< A shorter burn is none.

  [[nodiscard]] Status Check() const;
};

/// Where the torch stood with the arc on. Source: chosen on made-up films (make_arc); no other.
struct StandingOptions {
  double beside_s = 1.5;           ///< Of travel on both sides that the flat part is compared with ...
  double least_beside_s = 0.5;     ///< ... and at least.
  double least_gain = 14;          ///< Chi squared: a flat part that a steady path would show once in about 1000.
  double least_share = 0.35;       ///< Of the usual speed, beside the flat part.
  double step_s = 0.1;             ///< Between times and lengths that are tried.
  double shortest_looked_s = 0.7;  ///< Shortest flat part that is tried.

  [[nodiscard]] Status Check() const;
};

/// The pool followed among other lights. Costs are in natural logarithms of brightness. Source: chosen on made-up
/// films (make_arc); no other.
struct PoolOptions {
  double dim = 1;           ///< Price of being e times dimmer than the brightest.
  double step_mm = 0.6;     ///< A step from picture to picture that costs as much, beyond what travel explains.
  double most = 8;          ///< A restart elsewhere costs no more.
  double travel_mm_s = 10;  ///< Travel that costs nothing, mm/s.
  double forgets_s = 0.5;   ///< After so long without a glow the next place may be anywhere.

  [[nodiscard]] Status Check() const;
};

}  // namespace vision::arc
