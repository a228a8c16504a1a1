#include "app/repair/blend.h"

#include <spdlog/fmt/fmt.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "app/words/print.h"
#include "vision/bore/angle.h"

namespace app::repair {
namespace {

using words::Number, words::Print, words::Text, words::Typed;

struct Removed {
  double volume_mm3, area_mm2;
};

/// A frustum with a flat bottom whose four sides rise at 1 in `taper`. At height y above the bottom it is
/// (a + 2 n y) by (b + 2 n y). Along the circumference lengths are told on the bore; metal lies outside it, so a layer
/// at depth h below the bore is wider by 1 + h / R.
Removed RemovedBy(const Pocket& pocket, double bore_radius_mm) {
  const double a = pocket.flat_axial_mm, b = pocket.flat_around_mm, d = pocket.depth.value_mm, n = pocket.taper;
  const double flat = a * b * d + n * (a + b) * d * d + 4.0 / 3.0 * n * n * d * d * d;
  // integral over y of A(y) (d - y) dy: each layer's depth below the bore
  const double moment = a * b * d * d / 2 + n * (a + b) * d * d * d / 3 + n * n * d * d * d * d / 3;
  const double slope = std::sqrt(1 + 1 / (n * n));
  const double top = (a + 2 * n * d) * (b + 2 * n * d);
  return {flat + moment / bore_radius_mm, a * b + (top - a * b) * slope};
}

std::vector<Placement> PlacementsFor(double theta_deg, double sweep_deg, double largest_deg) {
  const int count = std::max(1, static_cast<int>(std::ceil(sweep_deg / largest_deg - 1e-9)));
  const double each = sweep_deg / count;
  std::vector<Placement> placements;
  for (int i = 0; i < count; ++i)
    placements.push_back({vision::bore::Wrap360(theta_deg - sweep_deg / 2 + i * each), each});
  return placements;
}

std::vector<Text> WhatItCannot(const Surroundings& around, const Equipment& equipment) {
  std::vector<Text> why;
  const double bore_mm = 2 * around.bore_radius_mm;
  if (bore_mm < equipment.bore_from_mm || bore_mm > equipment.bore_to_mm)
    why.push_back({Print::kBoreOutside,
                   {Number(bore_mm, 1), Number(equipment.bore_from_mm, 0), Number(equipment.bore_to_mm, 0)}});
  if (around.distance_to_open_end_mm > equipment.reach_mm)
    why.push_back({Print::kOutOfReach, {Number(around.distance_to_open_end_mm, 0), Number(equipment.reach_mm, 0)}});
  if (around.elbows > equipment.elbows_passed)
    why.push_back(
        {around.elbows == 1 ? Print::kElbow : Print::kElbows, {Typed(around.elbows), Typed(equipment.elbows_passed)}});
  return why;
}

}  // namespace

double Pocket::slope_deg() const { return std::atan(1 / taper) * vision::bore::kDegPerRad; }

vision::Status Pocket::Check() const {
  const auto wrong = [](const char* field, const char* right) {
    return vision::BadInput(fmt::format("blend: {} must be {}.", field, right));
  };
  if (!(depth.value_mm > 0) || !std::isfinite(depth.value_mm)) return wrong("depth.value_mm", "above 0 mm");
  if (!(depth.u_mm >= 0)) return wrong("depth.u_mm", "at least 0 mm");
  if (!(flat_axial_mm >= 0) || !(flat_around_mm >= 0))
    return wrong("flat_axial_mm and flat_around_mm", "at least 0 mm");
  if (!(taper > 0) || !std::isfinite(taper))
    return wrong("taper", "the n of your procedure's n:1, above 0; there is no default");
  if (!(corner_radius_mm >= 0)) return wrong("corner_radius_mm", "at least 0 mm");
  return std::nullopt;
}

vision::Result<BlendPlan> PlanBlend(const Pocket& pocket, const Surroundings& around, const Equipment& equipment) {
  if (auto fault = pocket.Check()) return *fault;
  if (!(around.bore_radius_mm > 0)) return vision::BadInput("blend: the bore's radius must be above 0 mm.");
  BlendPlan plan;
  plan.footprint_axial_mm = pocket.footprint_axial_mm();
  plan.footprint_around_mm = pocket.footprint_around_mm();
  if (around.room_axial_mm && plan.footprint_axial_mm > *around.room_axial_mm)
    return vision::BadInput(
        fmt::format("blend: a taper of {:g}:1 at {:.2f} mm depth needs {:.1f} mm along the pipe; only {:.1f} mm are "
                    "free: a smaller "
                    "flat or depth fits, or another repair.",
                    pocket.taper, pocket.depth.value_mm, plan.footprint_axial_mm, *around.room_axial_mm));
  const double round_mm = 2 * std::numbers::pi * around.bore_radius_mm;
  if (plan.footprint_around_mm > round_mm)
    return vision::BadInput(
        fmt::format("blend: a footprint of {:.1f} mm is longer than the bore's circumference of "
                    "{:.1f} mm.",
                    plan.footprint_around_mm, round_mm));
  plan.sweep_deg = plan.footprint_around_mm / around.bore_radius_mm * vision::bore::kDegPerRad;
  plan.slope_deg = pocket.slope_deg();
  const Removed removed = RemovedBy(pocket, around.bore_radius_mm);
  plan.volume_mm3 = removed.volume_mm3;
  plan.area_mm2 = removed.area_mm2;
  plan.placements = PlacementsFor(pocket.theta_deg, plan.sweep_deg, equipment.largest_sweep_deg);
  plan.why_not = WhatItCannot(around, equipment);
  plan.equipment_fits = plan.why_not.empty();
  plan.hold_points = {Print::kHoldWall,  Print::kHoldPlace,  Print::kHoldPermit, Print::kHoldHalf,
                      Print::kHoldDepth, Print::kHoldDebris, Print::kHoldShown};
  return plan;
}

std::optional<double> LargestStoneRadius(const Measured& bore_radius, const Measured& wall, double floor_mm,
                                         double centring_u_mm) {
  const double u =
      std::sqrt(bore_radius.u_mm * bore_radius.u_mm + wall.u_mm * wall.u_mm + centring_u_mm * centring_u_mm);
  const double radius_mm = bore_radius.value_mm + wall.value_mm - floor_mm - kCoverage * u;
  return radius_mm > bore_radius.value_mm ? std::optional(radius_mm) : std::nullopt;
}

}  // namespace app::repair
