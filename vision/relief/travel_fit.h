#pragma once

#include "vision/relief/travel_line.h"

/// Candidate sections, the bead's gloss, and frames brought into register.
namespace vision::relief {

/// A candidate: the chord between the two walls, and over it middle * (1 - w^2)^exponent, w from -1 at the near toe to
/// 1 at the far one, bent by skew: w = u + skew (1 - u^2).
struct Shape {
  double middle_mm = 0, exponent = 1.25, skew = 0;
};

/// Heights of a shape over the bore's cylinder, one a cell.
std::vector<double> HeightsOf(const LineTask& task, const Shape& shape);

/// What the samples say of one line: cost by height of the middle (TravelOptions' steps), the likeliest other
/// parameters taken in (soft minimum).
struct LineCurve {
  std::vector<double> cost;  ///< One a step; divided by TravelOptions::temper.
  Shape best;
  double toe_near_mm = 0, toe_far_mm = 0;  ///< By how much the likeliest section's toes leave the given ones.
  double misfit = kNotMeasured;
};

/// Exponent, skew and both toes are free: a toe by what its uncertainty lets it.
LineCurve CurveOf(const Samples& samples, std::size_t line, const Scenery& scenery, const TravelOptions& options);

/// The likeliest shape by a coarse search.
Shape RoughShape(const LineTask& task, const TravelOptions& options, double* cost);

/// Sets the bead's gloss, and the lamps' ring where it is not known, to what makes the lines likeliest together.
/// @param scenery Gloss of the wall, ambient, gains set. @param lamps In and out.
void PickGloss(const std::vector<TravelFrame>& frames, const Samples& samples, const std::vector<double>& frame_gain,
               const TravelOptions& options, LampRing& lamps, Scenery& scenery);

/// How much of the noise that `options` names the samples truly show, over the lines that tell the gloss.
double NoiseShown(const Samples& samples, const Scenery& scenery, const TravelOptions& options);

/// Moves the samples of each frame along the sight to where they are predicted: mean and first harmonic round the
/// bore, the frames' common shift left to the toes. @return Root mean square shift, mm.
double Register(const TravelOptions& options, const Scenery& scenery, Samples& samples);

}  // namespace vision::relief
