#pragma once

#include <limits>

#include "vision/base/result.h"
#include "vision/reading/reading.h"

/// A height is a number only where it is known well enough for what it is used for.
namespace vision::reading {

/// Largest expanded uncertainty (k = 2) with which a height is still stated, mm; infinity = however uncertain. What
/// limits crown and concavity differs, so each has its own.
struct MaxExpandedUncertainty {
  double crown_height_mm = std::numeric_limits<double>::infinity();
  double concavity_mm = std::numeric_limits<double>::infinity();

  [[nodiscard]] Status Check() const;  ///< Each must be > 0.
};

/// Takes back every crown height and concavity whose expanded uncertainty is not below its bound, and says why.
void HoldToBound(const MaxExpandedUncertainty& bound, Reading& reading);

/// Coarsest picture of the bead, mm a pixel along the axis, whose parallax tells the step between the walls. On made-up
/// pushes it held at 0.38 and finer; at 0.50 the step was drawn towards zero by up to 0.6 mm, three times its u.
constexpr double kCoarsestForStep_mm = 0.45;

/// Takes back a misalignment that a push told by parallax where reading.strip.resolution_mm is coarser, and says why.
void HoldStepToPixel(Reading& reading);

}  // namespace vision::reading
