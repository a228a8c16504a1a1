#pragma once

#include "vision/relief/travel_fit.h"

/// From likelihoods to what is stated.
namespace vision::relief {

/// Of one line: its height over (or under) the chord with its standard uncertainty.
struct Height {
  double middle_mm = kNotMeasured, u_mm = kNotMeasured;
  std::vector<double> chance;  ///< By step of the candidates; adds up to 1.
};

/// A line's posterior, its neighbours within two steps taken in with less weight (a bead's height runs on; what a
/// neighbour says is capped, so that a tie-in keeps its own).
Height HeightAt(const std::vector<LineCurve>& curves, const Samples& samples, std::size_t line,
                const TravelOptions& options);

/// Chances of the three kinds of section: the posterior made wider by what heights err beyond it
/// (TravelOptions::class_u_mm), and the push's own chance to be astray taken off.
SectionClass ClassOf(const Height& height, const TravelOptions& options);

/// Are there neighbours whose heights no bead has side by side? @param middle_mm One a line of `lines`; NaN is passed
/// over.
bool ReadBothWays(const std::vector<TravelLine>& lines, const std::vector<double>& middle_mm,
                  const TravelOptions& options);

/// Everything that is stated. @param noise Of the options\' noise, what the curves took the samples to show.
TravelHeights Stated(const std::vector<TravelLine>& lines, const Samples& samples, const std::vector<LineCurve>& curves,
                     const TravelOptions& options, double noise = 1);

}  // namespace vision::relief
