#include "app/repair/minimum_wall.h"

#include <spdlog/fmt/fmt.h>

#include <cmath>

namespace app::repair {
namespace {

vision::Status OutOfRange(const PressureDesign& design, double t) {
  if (t >= design.outside_diameter / 6)
    return vision::BadInput(
        fmt::format("minimum wall: t = {:.4g} is not below D/6 = {:.4g}; the formula holds for thinner pipe only.", t,
                    design.outside_diameter / 6));
  const double ratio = design.pressure / (design.stress * design.quality);
  if (ratio > 0.385)
    return vision::BadInput(
        fmt::format("minimum wall: P/(S E) = {:.3f} is above 0.385; the formula does not hold there.", ratio));
  return std::nullopt;
}

vision::Result<MinimumWall> Finish(const PressureDesign& design, double t) {
  if (auto fault = OutOfRange(design, t)) return *fault;
  return MinimumWall{t, t + design.allowance};
}

double ByOutside(const PressureDesign& d) {
  return d.pressure * d.outside_diameter / (2 * (d.stress_basis() + d.pressure * d.coefficient));
}

}  // namespace

vision::Status PressureDesign::Check() const {
  const auto wrong = [](const char* field, const char* right) {
    return vision::BadInput(fmt::format("design: {} must be {}.", field, right));
  };
  const auto fraction = [](double value) { return value > 0 && value <= 1; };
  if (!(pressure > 0) || !std::isfinite(pressure)) return wrong("pressure", "a number above 0");
  if (!(outside_diameter > 0) || !std::isfinite(outside_diameter)) return wrong("outside_diameter", "a number above 0");
  if (!(stress > 0) || !std::isfinite(stress)) return wrong("stress", "a number above 0");
  if (!fraction(quality)) return wrong("quality", "above 0 and at most 1");
  if (!fraction(weld_strength)) return wrong("weld_strength", "above 0 and at most 1");
  if (!(coefficient >= 0 && coefficient < 1)) return wrong("coefficient", "at least 0 and below 1");
  if (!(allowance >= 0) || !std::isfinite(allowance)) return wrong("allowance", "at least 0");
  return std::nullopt;
}

vision::Result<MinimumWall> MinimumWallB313(const PressureDesign& design) {
  if (auto fault = design.Check()) return *fault;
  return Finish(design, ByOutside(design));
}

vision::Result<MinimumWall> MinimumWallB313Inside(const PressureDesign& design, double inside_diameter) {
  if (auto fault = design.Check()) return *fault;
  const double below = design.stress_basis() - design.pressure * (1 - design.coefficient);
  if (!(inside_diameter > 0)) return vision::BadInput("design: inside_diameter must be a number above 0.");
  if (!(below > 0)) return vision::BadInput("design: pressure is too high for the stress: the formula has no answer.");
  return Finish(design, design.pressure * (inside_diameter + 2 * design.allowance) / (2 * below));
}

vision::Result<MinimumWall> MinimumWallB311(const PressureDesign& design) { return MinimumWallB313(design); }

double PressureOfWallB313(const PressureDesign& design, double wall) {
  return 2 * design.stress_basis() * wall / (design.outside_diameter - 2 * design.coefficient * wall);
}

}  // namespace app::repair
