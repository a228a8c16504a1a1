#include "vision/match/height_change.h"

#include <algorithm>
#include <cmath>

namespace vision::match {

HeightChange HeightChangeOf(const relief::Relief& before, const relief::Relief& after, const RingMatch& match) {
  const float none = static_cast<float>(relief::kNotMeasured);
  const auto& grid = before.grid;
  HeightChange change{grid, cv::Mat1f(grid.rows, grid.columns, none), cv::Mat1f(grid.rows, grid.columns, none)};
  for (int r = 0; r < grid.rows; ++r)
    for (int c = 0; c < grid.columns; ++c) {
      const float h = before.h_mm(r, c);
      if (!std::isfinite(h)) continue;
      double theta = 0, z = 0;
      match.MovingFromFixed(grid.ThetaDeg(c), grid.ZMm(r), &theta, &z);
      const int row = static_cast<int>(std::lround(after.grid.Row(z)));
      if (row < 0 || row >= after.grid.rows) continue;
      const int column = after.grid.NearestColumn(theta);
      const float now = after.h_mm(row, column);
      if (!std::isfinite(now)) continue;
      change.mm(r, c) = now - h;
      change.u_mm(r, c) = std::hypot(before.u_mm(r, c), after.u_mm(row, column));
    }
  return change;
}

cv::Mat3b HeightPicture(const HeightChange& change, const unroll::StripGrid& strip, double full_mm,
                        const TwoColours& colours) {
  const cv::Vec3d gone(colours.less), came(colours.more), pale(226, 228, 230);
  cv::Mat3b picture(strip.rows, strip.columns);
  for (int r = 0; r < strip.rows; ++r)
    for (int c = 0; c < strip.columns; ++c) {
      const int row = static_cast<int>(std::lround(change.grid.Row(strip.ZMm(r))));
      const float mm = row < 0 || row >= change.grid.rows
                           ? static_cast<float>(relief::kNotMeasured)
                           : change.mm(row, change.grid.NearestColumn(strip.ThetaDeg(c)));
      if (!std::isfinite(mm)) {
        picture(r, c) = r % 12 < 2 && c % 12 < 2 ? cv::Vec3b(220, 220, 220) : cv::Vec3b(60, 60, 60);
        continue;
      }
      const double share = std::clamp(static_cast<double>(mm) / full_mm, -1.0, 1.0);
      const cv::Vec3d colour = pale + std::abs(share) * ((share < 0 ? gone : came) - pale);
      picture(r, c) = cv::Vec3b(cv::saturate_cast<uchar>(colour[0]), cv::saturate_cast<uchar>(colour[1]),
                                cv::saturate_cast<uchar>(colour[2]));
    }
  return picture;
}

}  // namespace vision::match
