#pragma once

#include "vision/base/result.h"

namespace vision::tint {

/// The wall beside a toe in bins of a station line by a step outward. Source: chosen; no other.
struct BinOptions {
  int aside_lines = 2;        ///< Lines each way that share a bin: 1 degree.
  double least_share = 0.5;   ///< Of a bin's cells that must show a colour.
  int blown_out = 250;        ///< Brightest channel of 255 from which a cell tells no colour.
  double glare_rim_mm = 0.5;  ///< Cells beside a blown-out one carry its spread.
  double step_mm = 0.25;      ///< Size of a bin outward from the toe.

  [[nodiscard]] Status Check() const;
};

}  // namespace vision::tint
