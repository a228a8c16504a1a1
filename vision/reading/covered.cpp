#include "vision/reading/covered.h"

#include <algorithm>
#include <cmath>

namespace vision::reading {

void TakeOutCovered(Look& look) {
  if (look.said.covered.empty()) return;
  auto& strip = look.strip;
  const auto above = static_cast<float>(evidence::TheTrust().covered_above);
  std::vector<int> lines(static_cast<std::size_t>(strip.grid.columns));
  for (int column = 0; column < strip.grid.columns; ++column)
    lines[static_cast<std::size_t>(column)] =
        static_cast<int>(std::lround(column * strip.grid.theta_pitch_deg() * evidence::kLines / 360)) %
        evidence::kLines;
  strip.valid = strip.valid.clone();
  for (int row = 0; row < strip.grid.rows; ++row) {
    const double z_mm = strip.grid.z_from_mm + row * strip.grid.pitch_mm;
    const int bin = std::clamp(static_cast<int>(std::lround(look.said.Row(z_mm))), 0, evidence::kBins - 1);
    for (int column = 0; column < strip.grid.columns; ++column)
      if (look.said.covered(bin, lines[static_cast<std::size_t>(column)]) > above) strip.valid(row, column) = 0;
  }
}

}  // namespace vision::reading
