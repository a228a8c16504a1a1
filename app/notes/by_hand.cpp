#include <algorithm>
#include <cmath>

#include "app/notes/notes.h"
#include "vision/bore/angle.h"

namespace app::notes {
namespace {

/// z at `theta_deg` of a placing; NaN beyond its ends.
double ZAt(const std::vector<Place>& points, double theta_deg) {
  for (std::size_t i = 1; i < points.size(); ++i) {
    const double step = points[i].theta_deg - points[i - 1].theta_deg, along = theta_deg - points[i - 1].theta_deg;
    if (along < -1e-9 || along > step + 1e-9) continue;
    return points[i - 1].z_mm + (step > 0 ? along / step : 0) * (points[i].z_mm - points[i - 1].z_mm);
  }
  return NAN;
}

/// Standard deviation of the placings, pooled over the whole degrees that all of them cover; NaN where none is.
double Spread(const std::vector<const std::vector<Place>*>& placings) {
  double squares = 0;
  int degrees = 0;
  const auto count = static_cast<double>(placings.size());
  for (double theta = std::ceil(placings[0]->front().theta_deg); theta <= placings[0]->back().theta_deg; ++theta) {
    double sum = 0, sum2 = 0;
    for (const auto* points : placings) {
      const double z = ZAt(*points, theta);
      sum += z, sum2 += z * z;
    }
    if (!std::isfinite(sum)) continue;
    squares += std::max(0.0, sum2 - sum * sum / count) / (count - 1), ++degrees;
  }
  return degrees > 0 ? std::sqrt(squares / degrees) : NAN;
}

}  // namespace

vision::Status HandOptions::Check() const {
  if (!(assumed_u_mm > 0)) return vision::BadInput("HandOptions::assumed_u_mm must be > 0 mm.");
  if (placings_needed < 3 || placings_needed > 50)
    return vision::BadInput("HandOptions::placings_needed is " + std::to_string(placings_needed) +
                            "; it must be 3 to 50.");
  return std::nullopt;
}

HandU HandUOf(const HandToe& toe, const vision::reading::Reading& reading, const HandOptions& options) {
  const double click = PickU(reading);
  std::vector<const std::vector<Place>*> placings{&toe.points};
  for (const auto& points : toe.again) placings.push_back(&points);
  HandU u{std::hypot(click, options.assumed_u_mm), true, static_cast<int>(placings.size())};
  if (u.placings < options.placings_needed) return u;
  if (const double spread = Spread(placings); std::isfinite(spread))
    u.u_mm = std::hypot(click, spread), u.assumed = false;
  return u;
}

vision::Status Check(const HandToe& toe, bool needs_reason) {
  if (toe.side != "left" && toe.side != "right") return vision::BadInput("a toe's side must be left or right.");
  if (toe.points.size() < 2) return vision::BadInput("a toe's points must hold two or more places.");
  for (const auto& points : toe.again)
    if (points.size() < 2) return vision::BadInput("a toe placed again must hold two or more places.");
  if (needs_reason && toe.reason.empty()) return vision::BadInput("a toe set by hand needs a reason.");
  return std::nullopt;
}

}  // namespace app::notes
