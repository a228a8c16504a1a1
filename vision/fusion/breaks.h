#pragma once

#include <vector>

#include "vision/bead/toes.h"
#include "vision/unroll/strip.h"

/// Short breaks of the bead's near edge, read at the strip's full fineness. Over a few tenths to a few millimetres of
/// arc where the insert did not melt, the bright near flank of the bead is missing: its edge steps back and forward
/// again at two sides that stand square to it, and between them lies what is as dull as the wall, or the darker gap.
/// The station lines (0.45 to 0.7 mm apart) and the evidence gathered along them are too coarse for that.
namespace vision::fusion {

struct BreakOptions {
  bool near_is_left = true;    ///< The camera looks along +z.
  double shortest_mm = 0.9;    ///< Of arc; what is shorter is only doubtful. Also two source pixels at least. > 0
  double least_drop = 0.2;     ///< Log level by which the flank falls, both sides, to be believed.
  double most_left = 0.45;     ///< Share of the flank's brightness over the wall that may be left, to be believed.
  double most_inside = 0.22;   ///< Log level over the wall at most in the break, to be believed: gap and step are dull,
  double most_top = 0.45;      ///< and so is the metal behind it, from 0.9 to 1.7 mm inside the toe: the ring's top.
  double least_spreads = 2.5;  ///< The fall over what the flank varies by itself within 20 mm, to be believed.
  double least_below = 0.15;  ///< Log level by which it lies below the darkest twentieth of the flank around it, a long
                              ///< one below the darkest place as long.
  double long_mm = 1.9;       ///< From here on a break outlasts the dark between two glints of a rippled bead (one
  double long_spreads = 1.6;  ///< ripple, 1 to 2 mm: common practice, no source), and so many are enough.
  double long_drop = 0.12;    ///< Least drop of such a one, to be believed or doubted.
  double doubtful_drop = 0.15;  ///< From these three on the place is not called fused; weaker than the ones above.
  double doubtful_left = 0.55;
  double doubtful_spreads = 2;  ///< long_spreads from long_mm on.

  /// nullopt if every value is usable, else a sentence naming the field.
  [[nodiscard]] Status Check() const;
};

struct Break {
  double start_deg = 0, length_deg = 0;  ///< Between the half-way points of its two sides, clockwise.
  double drop = 0;                       ///< Log level by which the flank falls: the lesser of the two sides.
  double left = 0;                       ///< Share of the flank's brightness over the wall that is left inside.
  double below = 0;                      ///< Log level below what else is dark within 20 mm: see least_below.
  bool believed = false;                 ///< False: seen, but too short or too weak to be called unfused.
};

/// What was found and where it would have been found.
struct Breaks {
  std::vector<Break> found;         ///< Up to 6 mm of arc, strongest first.
  std::vector<double> smallest_mm;  ///< Per station line: the shortest that would have been believed; NaN = none would.
};

/// None where the toe beside it is not stated or a cell was not seen.
Breaks FindBreaks(const unroll::Strip& strip, const bead::ToeLine& near, const BreakOptions& options);

}  // namespace vision::fusion
