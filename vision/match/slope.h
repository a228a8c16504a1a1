#pragma once

#include <array>
#include <optional>
#include <string>

#include "vision/match/removed.h"

namespace vision::match {

/// How steeply a pocket's flank runs down from the bare wall, along the pipe, in the section through its middle.
struct SlopeAt {
  double deg = 0, u_deg = 0;          ///< Against the wall; u: standard uncertainty (k = 1). n:1 is atan(1 / n).
  double from_z_mm = 0, to_z_mm = 0;  ///< The stretch it was read over, in the first recording's z.
};

struct FlankSlope {
  std::optional<SlopeAt> slope;
  Reason why;  ///< Why there is none.
};

/// The flanks towards -z and +z.
struct Slopes {
  FlankSlope left, right;
};

/// Source: not noted, so taken as chosen; where a field says none.
struct SlopeOptions {
  double from_share = 0.15,
         to_share = 0.85;         ///< Of the flank's depth, between which the line is laid; 0 < from < to < 1.
  double least_run_mm = 1.0;      ///< A shorter flank is not stated; > 0.
  double clear_of_toe_mm = 0.3;   ///< Nearer to the weld the surface did not start from the wall; >= 0.
  double half_width_share = 0.1;  ///< Of the pocket's extent around, on either side of its middle; (0, 0.5].
  /// Standard uncertainty of a slope over itself. Trials: flanks of three made-up welds came out up to a tenth
  /// steeper.
  double of_slope_share = 0.05;
  double shallow_mm = 0.15;  ///< A pocket less deep has no flank to speak of.

  [[nodiscard]] Status Check() const;
};

/// Only where the wall was bare before: on the weld a flank starts from the bead, whose height is no part of the taper.
/// Around the bore a flank ends on the weld on both sides, so none is stated there.
/// @param after Null where the later recording has no heights.
/// @return kBadInput for options only; what cannot be told comes back absent, with its reason.
Result<Slopes> SlopesOf(const Pocket& pocket, const relief::Relief* after, const RingMatch& match,
                        const WallEnds& walls, const SlopeOptions& options = {});

}  // namespace vision::match
