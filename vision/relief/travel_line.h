#pragma once

#include <vector>

#include "vision/relief/travel_samples.h"
#include "vision/relief/travel_shade.h"

/// The likelihood of one section across the weld, from all frames.
namespace vision::relief {

/// What all lines share: how surfaces shine, how each frame is lit and blurred.
struct Scenery {
  std::vector<Stand> stands;    ///< One a frame.
  std::vector<double> blur_mm;  ///< Standard deviation along z of what one sample shows, by frame.
  Gloss wall, bead;
  double spread = 2;
  double ambient = 0.1;
  double albedo = 1;                      ///< Usual albedo of the wall, in units of light over shade.
  std::vector<std::vector<double>> gain;  ///< Line by frame.
};

/// A line made ready: cells of the section, knots of the albedo, samples with their noise.
struct LineTask {
  const LineSamples* samples = nullptr;
  double toe_near = 0, toe_far = 0;  ///< mm, as the section has them.
  const Scenery* scenery = nullptr;
  std::size_t index = 0;  ///< Of the line among the samples.
  double radius_mm = 0;
  std::vector<double> cells_mm;  ///< Along the sight.
  std::vector<Gloss> gloss;      ///< One a cell.
  double first_knot_mm = 0, knot_mm = 0;
  std::vector<double> tie;                 ///< Between a knot and the next: share by which they differ.
  std::vector<std::vector<float>> weight;  ///< 1 / variance, frame by place; 0 = not used.
  std::vector<std::vector<double>> lobes;  ///< Of the lamps, by frame: one a cell and lamp.
  double tail = 4, albedo_spread = 0.6;    ///< As TravelOptions has them.
  int reweighting_rounds = 3;              ///< The same.
};

/// @param near_mm,far_mm By how much the section's toes leave those of the samples, along the sight.
LineTask MakeTask(const Samples& samples, std::size_t line, const Scenery& scenery, const TravelOptions& options,
                  double near_mm = 0, double far_mm = 0);

struct LineCost {
  double cost = 0;    ///< -2 log likelihood, up to a constant that all sections of this line share.
  double misfit = 0;  ///< Mean robust squared residual an observation.
};

/// @param heights_mm Over the bore's cylinder, one a cell.
/// @param predicted If not null: light, frame by place.
LineCost CostOf(const LineTask& task, const std::vector<double>& heights_mm,
                std::vector<std::vector<float>>* predicted = nullptr);

}  // namespace vision::relief
