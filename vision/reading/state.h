#pragma once

#include <vector>

#include "vision/base/result.h"
#include "vision/reading/max_uncertainty.h"
#include "vision/reading/told.h"

/// The one room that states: evidence in, the reading's numbers with their reasons out. What is not good enough is
/// withheld here and nowhere else, before anything is written.
namespace vision::reading {

/// What the numbers are held against.
struct Withheld {
  MaxExpandedUncertainty bound;
  double resolution_mm = 0;                    ///< Of the picture at the bead, mm a pixel along z.
  bore::Pieces<std::vector<bool>> scale = {};  ///< Lines on which wrinkled scale hides a toe; empty = none.
};

/// Where a number is withheld, and why, the number of the options. Source: Trials, as said.
struct StateOptions {
  /// Coarsest picture of the bead, mm a pixel along the axis, whose parallax tells the step between the walls; > 0. On
  /// made-up pushes it held at 0.38 and finer; at 0.50 the step was drawn towards zero by up to 0.6 mm, three times its
  /// u. Trials.
  double coarsest_for_step_mm = 0.45;

  [[nodiscard]] Status Check() const;
};

/// Writes profile, unfused runs, `height_by` and the reasons of what is absent into the reading.
void State(const Told& told, const EdgesTold& edges, const Withheld& withheld, Reading& reading,
           const StateOptions& options = {});

/// Station lines under the wrinkled scale that was seen beside a toe: scale has an edge of its own, which the toe
/// finder may have taken for the bead's.
std::vector<bool> LinesUnderScale(const Reading& reading, bore::Piece piece);

}  // namespace vision::reading
