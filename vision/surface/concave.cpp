#include <algorithm>
#include <cmath>

#include "vision/bore/angle.h"
#include "vision/bore/stations.h"
#include "vision/statistics/around.h"
#include "vision/surface/ground.h"

/// Camera and light stand together on one side: a convex bead has a bright near and a dark far side, a concave root the
/// reverse. It is a sign to look, never a height.
namespace vision::surface {
namespace {

double MeanLight(const Ground& ground, std::size_t line, double from_mm, double to_mm) {
  double sum = 0;
  int count = 0;
  const int c = ground.Column(line);
  if (from_mm > to_mm) std::swap(from_mm, to_mm);
  for (int r = std::max(0, static_cast<int>(ground.Row(from_mm))); r <= ground.Row(to_mm) && r < ground.rows(); ++r)
    if (ground.seen(r, c)) sum += static_cast<double>(ground.light(r, c)), ++count;
  return count > 2 ? sum / count : kNone;
}

}  // namespace

void FindConcaveLook(const Ground& ground, const SurfaceOptions& options, Surface& surface) {
  std::vector<double> far_over_near(bore::kStationLines, kNone), near_over_wall(bore::kStationLines, kNone);
  for (std::size_t i = 0; i < bore::kStationLines; ++i) {
    const double near = options.near_is_left ? ground.left_z_mm[i] : ground.right_z_mm[i];
    const double far = options.near_is_left ? ground.right_z_mm[i] : ground.left_z_mm[i];
    if (!std::isfinite(near) || !std::isfinite(far)) continue;
    const double width = far - near, out = width > 0 ? -1 : 1;
    const double near_light = MeanLight(ground, i, near + 0.08 * width, near + 0.3 * width);
    far_over_near[i] = MeanLight(ground, i, near + 0.7 * width, near + 0.92 * width) - near_light;
    near_over_wall[i] = near_light - MeanLight(ground, i, near + out * 1.0, near + out * 4.0);
  }
  const double line_mm = bore::ArcMm(bore::kStationLine_deg, ground.grid.radius_mm);
  const int half = std::max(1, static_cast<int>(options.concave.median_mm / 2 / line_mm));
  const auto reverse = statistics::MedianAround(far_over_near, half, half + 1),
             dark = statistics::MedianAround(near_over_wall, half, half + 1);
  std::vector<bool> flags(bore::kStationLines);
  for (std::size_t i = 0; i < bore::kStationLines; ++i)
    flags[i] = reverse[i] >= options.concave_contrast && dark[i] <= 0;
  surface.concave_look.assign(bore::kStationLines, false);
  for (const auto& run : bore::RunsOnCircle(flags))
    if (bore::ArcMm(run.length_deg, ground.grid.radius_mm) >= options.concave.least_mm)
      for (std::size_t i = 0; i < bore::kStationLines; ++i)
        if (run.HoldsLine(Ground::LineDeg(i))) surface.concave_look[i] = true;
}

}  // namespace vision::surface
