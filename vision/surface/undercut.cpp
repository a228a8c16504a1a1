#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/base/says.h"
#include "vision/bore/angle.h"
#include "vision/bore/stations.h"
#include "vision/statistics/around.h"
#include "vision/surface/ground.h"

/// A groove outside the far toe has a far wall that faces camera and light: a thin bright line outside the toe, between
/// the dark flank of the bead and the plain wall. At the near toe the groove faces away and shows next to nothing.
namespace vision::surface {
namespace {

/// Brightness of the line over wall beyond and flank before, along one column; NaN where not seen.
double LineOver(const Ground& ground, const cv::Mat1f& light, int column, double toe_z_mm, int outward, double* z_mm,
                const UndercutOptions& o) {
  const auto mean = [&](double from_mm, double to_mm) {
    double sum = 0;
    int count = 0;
    for (double s = from_mm; s <= to_mm + 1e-9; s += ground.grid.pitch_mm) {
      const int r = static_cast<int>(std::lround(ground.Row(toe_z_mm + outward * s)));
      if (r < 0 || r >= light.rows || !ground.seen(r, column)) return kNone;
      sum += static_cast<double>(light(r, column)), ++count;
    }
    return sum / count;
  };
  double best = kNone;
  for (double s = o.from_mm; s <= o.to_mm + 1e-9; s += ground.grid.pitch_mm) {
    const double line = mean(s, s), over = std::min(line - mean(s + 1, s + 2), line - mean(s - 1.2, s - 0.5));
    if (!std::isfinite(over)) return kNone;
    if (!(over <= best)) best = over, *z_mm = toe_z_mm + outward * s;
  }
  return best;
}

Reason WhyNot(const Ground& ground, const std::vector<bool>& unfused, const std::vector<bool>& concave, double toe,
              std::size_t line, double over, const UndercutOptions& o) {
  if (!std::isfinite(toe)) return {Says::kNoToe};
  if (unfused[line]) return {Says::kEdgeStandsHere};
  if (concave[line]) return {Says::kGrooveHidden};
  const int r = std::clamp(static_cast<int>(std::lround(ground.Row(toe))), 0, ground.rows() - 1);
  if (!(static_cast<double>(ground.pixel_mm(r, ground.Column(line))) <= o.coarsest_mm))
    return {Says::kPictureTooCoarse};
  return {std::isfinite(over) ? Says::kNone : Says::kNotInPicture};
}

std::vector<bool> Widened(const std::vector<bool>& flags, int by) {
  std::vector<bool> out(flags.size(), false);
  const int n = static_cast<int>(flags.size());
  for (int i = 0; i < n; ++i)
    for (int k = -by; k <= by && !out[static_cast<std::size_t>(i)]; ++k)
      if (flags[static_cast<std::size_t>(((i + k) % n + n) % n)]) out[static_cast<std::size_t>(i)] = true;
  return out;
}

}  // namespace

void FindUndercut(const Ground& ground, const Bead& bead, const SurfaceOptions& options, Surface& surface) {
  Search near{"undercut", options.near_is_left ? "left" : "right", std::vector<double>(bore::kStationLines, kNone),
              std::vector<Reason>(bore::kStationLines, {Says::kGrooveFacesAway})};
  Search far{"undercut", options.near_is_left ? "right" : "left", std::vector<double>(bore::kStationLines, kNone),
             std::vector<Reason>(bore::kStationLines)};
  const int outward = options.near_is_left ? 1 : -1;
  const auto& toe = options.near_is_left ? ground.right_z_mm : ground.left_z_mm;
  const auto& unfused = options.near_is_left ? bead.unfused_right : bead.unfused_left;
  const auto concave =
      Widened(surface.concave_look, static_cast<int>(options.undercut.concave_beside_deg * bore::kStationLines / 360));
  const double line_mm = bore::ArcMm(bore::kStationLine_deg, ground.grid.radius_mm);
  cv::Mat1f light;
  const int across = std::max(1, static_cast<int>(options.undercut.blur_around_mm / ground.grid.pitch_mm)) | 1;
  cv::blur(ground.light, light, {across, 1});
  std::vector<double> over(bore::kStationLines, kNone), z(bore::kStationLines, kNone);
  const auto course = statistics::MedianAround(toe, options.undercut.course_lines, options.undercut.course_lines + 1);
  for (std::size_t i = 0; i < bore::kStationLines; ++i) {
    if (std::isfinite(toe[i]))
      over[i] = LineOver(ground, light, ground.Column(i), toe[i], outward, &z[i], options.undercut);
    far.why[i] = WhyNot(ground, unfused, concave, toe[i], i, over[i], options.undercut);
    if (far.why[i].empty() && !(std::abs(toe[i] - course[i]) <= options.undercut.off_course_mm))
      far.why[i] = {Says::kToeNotSure};
    if (far.why[i].empty()) far.smallest_mm[i] = options.least_undercut_mm;
  }
  const int half = std::max(1, static_cast<int>(options.undercut.median_mm / 2 / line_mm));
  const auto smooth = statistics::MedianAround(over, half, half + 1);
  std::vector<bool> flags(bore::kStationLines);
  for (std::size_t i = 0; i < bore::kStationLines; ++i)
    flags[i] = std::isfinite(far.smallest_mm[i]) && smooth[i] >= options.undercut_contrast;
  for (const auto& run : bore::RunsOnCircle(flags)) {
    const double length_mm = bore::ArcMm(run.length_deg, ground.grid.radius_mm);
    if (length_mm < options.least_undercut_mm) continue;
    const auto middle =
        static_cast<std::size_t>(std::lround((run.start_deg + run.length_deg / 2) * bore::kStationLines / 360)) %
        bore::kStationLines;
    Seen seen;
    seen.kind = "undercut", seen.side = far.side;
    seen.theta_deg = Ground::LineDeg(middle);
    seen.z_mm = std::isfinite(z[middle]) ? z[middle] : toe[middle];
    seen.length_mm = length_mm;
    seen.length_u_mm = std::hypot(options.undercut.median_mm / 2, 0.1 * length_mm);
    seen.confidence = std::min(0.9, 0.5 + 0.4 * (smooth[middle] / options.undercut_contrast - 1));
    surface.seen.push_back(seen);
  }
  surface.searched.push_back(std::move(near));
  surface.searched.push_back(std::move(far));
}

}  // namespace vision::surface
