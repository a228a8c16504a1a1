#include "vision/reading/bound.h"

#include <algorithm>
#include <cmath>

#include "vision/reading/explain.h"

namespace vision::reading {
namespace {

/// A height over the chord, the same over each wall, and the uncertainty of all three.
struct Height {
  const char* name;
  std::vector<double>&chord_mm, &left_mm, &right_mm, &u_mm;
};

void Hold(const Height& height, double bound_mm, Reading& reading) {
  std::vector<bool> taken_back(height.chord_mm.size(), false);
  for (std::size_t i = 0; i < taken_back.size(); ++i) {
    if (!std::isfinite(height.chord_mm[i]) || 2 * height.u_mm[i] < bound_mm) continue;
    taken_back[i] = true;
    height.chord_mm[i] = height.left_mm[i] = height.right_mm[i] = height.u_mm[i] = kNotMeasured;
  }
  Explain(height.name, taken_back,
          "the expanded uncertainty (k = 2) here is not below the " + Rounded(bound_mm) + " mm that was asked for",
          reading);
}

bool AnyStated(const std::vector<double>& values) {
  return std::any_of(values.begin(), values.end(), [](double value) { return std::isfinite(value); });
}

}  // namespace

Status MaxExpandedUncertainty::Check() const {
  if (!(crown_height_mm > 0)) return BadInput("MaxExpandedUncertainty::crown_height_mm must be > 0 mm.");
  if (!(concavity_mm > 0)) return BadInput("MaxExpandedUncertainty::concavity_mm must be > 0 mm.");
  return std::nullopt;
}

void HoldToBound(const MaxExpandedUncertainty& bound, Reading& reading) {
  Profile& p = reading.profile;
  const bool any = AnyStated(p.crown_height_mm) || AnyStated(p.concavity_mm);
  Hold({"crown_height_mm", p.crown_height_mm, p.crown_over_left_mm, p.crown_over_right_mm, p.crown_height_u_mm},
       bound.crown_height_mm, reading);
  Hold({"concavity_mm", p.concavity_mm, p.concavity_under_left_mm, p.concavity_under_right_mm, p.concavity_u_mm},
       bound.concavity_mm, reading);
  if (any && !AnyStated(p.crown_height_mm) && !AnyStated(p.concavity_mm)) reading.height_by.reset();
}

void HoldStepToPixel(Reading& reading) {
  if (reading.strip.resolution_mm <= kCoarsestForStep_mm) return;
  Profile& p = reading.profile;
  std::vector<bool> taken_back(p.misalignment_mm.size());
  for (std::size_t i = 0; i < taken_back.size(); ++i) {
    taken_back[i] = std::isfinite(p.misalignment_mm[i]);
    p.misalignment_mm[i] = p.misalignment_u_mm[i] = kNotMeasured;
  }
  Explain("misalignment_mm", taken_back,
          "the picture is too coarse to tell the step between the walls by the camera's travel (over " +
              Rounded(kCoarsestForStep_mm) + " mm a pixel at the bead)",
          reading);
}

}  // namespace vision::reading
