#include "vision/reading/by_hand.h"

#include <algorithm>
#include <cmath>

#include "vision/bore/angle.h"
#include "vision/reading/combine.h"

namespace vision::reading {
namespace {

/// z on the polyline at `along_deg` clockwise from its first point; NaN beyond its ends.
double ZAt(const std::vector<ToePlace>& points, double along_deg) {
  double from = 0;
  for (std::size_t i = 1; i < points.size(); ++i) {
    const double step = bore::Wrap360(points[i].theta_deg - points[i - 1].theta_deg);
    if (along_deg <= from + step + 1e-9) {
      const double share = step > 0 ? std::clamp((along_deg - from) / step, 0.0, 1.0) : 0;
      return points[i - 1].z_mm + share * (points[i].z_mm - points[i - 1].z_mm);
    }
    from += step;
  }
  return kNotMeasured;
}

/// A toe's u as it enters the width: without what both toes share.
double OwnU(double u_mm) { return std::sqrt(std::max(0.0, u_mm * u_mm - RoundnessU() * RoundnessU())); }

void WidthAnew(Reading& reading, std::size_t i) {
  Profile& p = reading.profile;
  p.width_mm[i] = p.right_toe_z_mm[i] - p.left_toe_z_mm[i];
  p.width_u_mm[i] = kNotMeasured;
  if (!std::isfinite(p.width_mm[i])) return;
  double scale_u = reading.bore_radius_u_mm / reading.bore_radius_mm;
  for (const auto& pose : reading.poses)
    if (std::isfinite(pose.offset_u_mm)) scale_u = std::max(scale_u, pose.offset_u_mm / reading.bore_radius_mm);
  const double left = OwnU(p.left_toe_u_mm[i]), right = OwnU(p.right_toe_u_mm[i]);
  p.width_u_mm[i] = std::sqrt(left * left + right * right + std::pow(scale_u * p.width_mm[i], 2));
}

void KeepReasonsOfAbsentWidths(Reading& reading) {
  std::vector<Why> kept;
  for (const Why& why : reading.why) {
    if (why.what != "width_mm") {
      kept.push_back(why);
      continue;
    }
    const double length = bore::Wrap360(why.end_deg - why.start_deg);
    const bore::Arc arc{bore::Wrap360(why.start_deg), length == 0 ? 360 : length};
    std::vector<bool> absent(reading.profile.theta_deg.size());
    for (std::size_t i = 0; i < absent.size(); ++i)
      absent[i] = !std::isfinite(reading.profile.width_mm[i]) && arc.HoldsLine(reading.profile.theta_deg[i]);
    for (const auto& run : bore::RunsOnCircle(absent))
      kept.push_back({why.what, run.start_deg, run.closing_deg(), why.reason});
  }
  reading.why = kept;
}

}  // namespace

void MoveToe(Reading& reading, bool left, const std::vector<ToePlace>& points, double u_mm) {
  if (points.size() < 2) return;
  Profile& p = reading.profile;
  for (std::size_t i = 0; i < p.theta_deg.size(); ++i) {
    const double z = ZAt(points, bore::Wrap360(p.theta_deg[i] - points.front().theta_deg));
    if (!std::isfinite(z)) continue;
    (left ? p.left_toe_z_mm : p.right_toe_z_mm)[i] = z;
    (left ? p.left_toe_u_mm : p.right_toe_u_mm)[i] = std::hypot(u_mm, RoundnessU());
    WidthAnew(reading, i);
  }
  KeepReasonsOfAbsentWidths(reading);
}

}  // namespace vision::reading
