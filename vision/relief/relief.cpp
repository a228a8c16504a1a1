#include "vision/relief/relief.h"

namespace vision::relief {

std::string NameOf(How how) { return how == How::kLightSection ? "light_section" : "travel"; }

Status Relief::Check() const {
  if (grid.columns < 360 || grid.rows < 2)
    return BadInput("Relief: the grid is " + std::to_string(grid.columns) + " columns by " + std::to_string(grid.rows) +
                    " rows; it must be at least 360 by 2.");
  if (!(grid.radius_mm > 0 && grid.pitch_mm > 0)) return BadInput("Relief: radius and pitch must be > 0 mm.");
  for (const auto* values : {&h_mm, &u_mm})
    if (values->rows != grid.rows || values->cols != grid.columns)
      return BadInput("Relief: h_mm and u_mm must be as large as the grid.");
  return std::nullopt;
}

Relief EmptyRelief(double radius_mm, double z_from_mm, double z_to_mm, double pitch_mm, How how, int columns) {
  Relief relief;
  relief.grid = unroll::StripGrid::Over(radius_mm, z_from_mm, z_to_mm, pitch_mm);
  relief.grid.columns = columns;
  relief.how = how;
  const float nan = std::numeric_limits<float>::quiet_NaN();
  relief.h_mm = cv::Mat1f(relief.grid.rows, columns, nan);
  relief.u_mm = cv::Mat1f(relief.grid.rows, columns, nan);
  return relief;
}

}  // namespace vision::relief
