#pragma once

#include "app/viewer/opened.h"

namespace app::viewer {

constexpr double kGapBetween_mm = 1.2;  ///< Between two strips laid beside each other.

/// Height of the strip in mm, from centre of the first row to centre of the last.
inline double StripMm(const Opened& opened) { return (opened.reading.strip.rows - 1) * opened.reading.strip.pitch_mm; }

}  // namespace app::viewer
