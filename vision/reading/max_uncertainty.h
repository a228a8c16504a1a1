#pragma once

#include <limits>

#include "vision/base/result.h"

/// A height is a number only where it is known well enough for what it is used for.
namespace vision::reading {

/// Largest expanded uncertainty (k = 2) with which a height is still stated, mm; infinity = however uncertain. What
/// limits crown and concavity differs, so each has its own.
struct MaxExpandedUncertainty {
  double crown_height_mm = std::numeric_limits<double>::infinity();
  double concavity_mm = std::numeric_limits<double>::infinity();

  [[nodiscard]] Status Check() const;  ///< Each must be > 0.
};

}  // namespace vision::reading
