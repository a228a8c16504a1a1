#include "vision/relief/cut.h"

#include <cmath>

#include "vision/bore/angle.h"

namespace vision::relief {

std::vector<CutStretch> CutOf(const Relief& relief, double theta_deg) {
  const auto& grid = relief.grid;
  const int column = static_cast<int>(std::lround(bore::Wrap360(theta_deg) / grid.theta_pitch_deg())) % grid.columns;
  std::vector<CutStretch> stretches;
  bool open = false;
  for (int row = 0; row < grid.rows; ++row) {
    const double h = relief.h_mm(row, column);
    const bool measured = std::isfinite(h);
    if (measured && !open) stretches.emplace_back();
    if (measured) stretches.back().push_back({grid.ZMm(row), h, relief.u_mm(row, column)});
    open = measured;
  }
  return stretches;
}

}  // namespace vision::relief
