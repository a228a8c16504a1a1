#include "vision/reading/max_uncertainty.h"

namespace vision::reading {

Status MaxExpandedUncertainty::Check() const {
  if (!(crown_height_mm > 0)) return BadInput("MaxExpandedUncertainty::crown_height_mm must be > 0 mm.");
  if (!(concavity_mm > 0)) return BadInput("MaxExpandedUncertainty::concavity_mm must be > 0 mm.");
  return std::nullopt;
}

}  // namespace vision::reading
