#include "vision/relief/travel_posterior.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "vision/base/median.h"
#include "vision/base/says.h"
#include "vision/bore/angle.h"

namespace vision::relief {
namespace {

double MiddleOf(const TravelOptions& o, std::size_t i) { return o.lowest_mm + static_cast<double>(i) * o.step_mm; }

}  // namespace

Height HeightAt(const std::vector<LineCurve>& curves, const Samples& samples, std::size_t line,
                const TravelOptions& o) {
  const std::size_t n = curves[line].cost.size();
  std::vector<double> sum(n, 0);
  for (std::size_t k = 0; k < curves.size(); ++k) {
    const double apart =
        std::abs(bore::Wrap180(samples.lines[k].theta_deg - samples.lines[line].theta_deg)) / o.line_step_deg;
    if (apart > o.neighbour_steps + 1e-6) continue;
    const double weight = std::exp(-0.5 * std::pow(apart / std::max(0.5, 0.8 * o.neighbour_steps), 2));
    for (std::size_t i = 0; i < n; ++i)
      sum[i] += k == line ? curves[k].cost[i] : weight * std::min(curves[k].cost[i], o.neighbour_cap);
  }
  Height out;
  const auto at = static_cast<std::size_t>(std::min_element(sum.begin(), sum.end()) - sum.begin());
  double total = 0;
  for (const double c : sum) out.chance.push_back(std::exp(-(c - sum[at]))), total += out.chance.back();
  for (double& p : out.chance) p /= total;
  double part = 0;
  if (at > 0 && at + 1 < n) {
    const double bend = sum[at - 1] - 2 * sum[at] + sum[at + 1];
    if (bend > 1e-9) part = std::clamp(0.5 * (sum[at - 1] - sum[at + 1]) / bend, -0.5, 0.5);
  }
  out.middle_mm = MiddleOf(o, at) + part * o.step_mm;
  double squares = 0;
  for (std::size_t i = 0; i < n; ++i) squares += out.chance[i] * std::pow(MiddleOf(o, i) - out.middle_mm, 2);
  out.u_mm = std::sqrt(squares);
  return out;
}

namespace {

/// Chance that a Student-t of three degrees of freedom lies below x (closed form: Johnson, Kotz and Balakrishnan,
/// Continuous Univariate Distributions 2, ch. 28).
double BelowT3(double x) {
  const double y = x / std::numbers::sqrt3;
  return 0.5 + (y / (1 + y * y) + std::atan(y)) / std::numbers::pi;
}

}  // namespace

SectionClass ClassOf(const Height& height, const TravelOptions& o) {
  const auto below = [&](double limit, double at) { return BelowT3((limit - at) / o.class_u_mm); };
  double concave = 0, not_convex = 0;
  for (std::size_t i = 0; i < height.chance.size(); ++i) {
    concave += height.chance[i] * below(-o.class_mm, MiddleOf(o, i));
    not_convex += height.chance[i] * below(o.class_mm, MiddleOf(o, i));
  }
  const auto held = [&o](double chance) { return (1 - o.astray_chance) * chance + o.astray_chance / 3; };
  return {held(1 - not_convex), held(not_convex - concave), held(concave)};
}

namespace {

/// Height into the section's numbers, each wall's own level included.
void Write(const TravelLine& asked, double middle_mm, double u_mm, SectionLine& line) {
  const double top = 0.5 * (asked.wall_left + asked.wall_right) + middle_mm;
  line.crown = std::max(0.0, middle_mm), line.concavity = std::max(0.0, -middle_mm);
  line.crown_u = line.concavity_u = u_mm;
  line.crown_over_left = std::max(0.0, top - asked.wall_left);
  line.crown_over_right = std::max(0.0, top - asked.wall_right);
  line.concavity_under_left = std::max(0.0, asked.wall_left - top);
  line.concavity_under_right = std::max(0.0, asked.wall_right - top);
}

/// Is what is left noise? Of samples that scatter as TravelOptions has it the misfit is about 1.
bool Explained(const LineCurve& curve, double usual_misfit, const TravelOptions& o) {
  return curve.misfit <= o.most_misfit * std::max(1.0, usual_misfit);
}

bool ToesKnown(const TravelLine& asked, const TravelOptions& o) {
  return std::max(asked.toe_left_u, asked.toe_right_u) <= o.most_toe_u_mm;
}

/// Why a line's height is not stated; empty where it is.
Reason WhyNot(const TravelLine& asked, const LineCurve& curve, double usual_misfit, double u_mm,
              const TravelOptions& o) {
  if (!ToesKnown(asked, o)) return {Says::kToeTooUnsureForTravel};
  if (!Explained(curve, usual_misfit, o)) return {Says::kNoSectionExplains};
  if (!(u_mm <= o.most_u_mm)) return {Says::kFramesDoNotTell};
  return {};
}

}  // namespace

bool ReadBothWays(const std::vector<TravelLine>& lines, const std::vector<double>& middle_mm, const TravelOptions& o) {
  for (std::size_t i = 0; i < lines.size(); ++i)
    for (std::size_t k = i + 1; k < lines.size(); ++k)
      if (std::abs(bore::Wrap180(lines[k].theta_deg - lines[i].theta_deg)) <= o.beside_deg + 1e-6 &&
          std::abs(middle_mm[k] - middle_mm[i]) > o.most_jump_mm)
        return true;
  return false;
}

TravelHeights Stated(const std::vector<TravelLine>& lines, const Samples& samples, const std::vector<LineCurve>& curves,
                     const TravelOptions& o, double noise) {
  TravelHeights out;
  out.lines.resize(lines.size());
  out.classes.resize(lines.size());
  out.misfit.assign(lines.size(), kNotMeasured);
  out.middle_mm = out.spread_mm = out.misfit;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    out.lines[i].theta_deg = lines[i].theta_deg;
    out.lines[i].why = {Says::kToeUnknown};
  }
  std::vector<double> misfits;
  for (const auto& curve : curves) misfits.push_back(curve.misfit);
  out.usual_misfit = MedianInPlace(misfits);
  out.noise = noise;
  for (std::size_t k = 0; k < curves.size(); ++k) {
    const std::size_t i = samples.asked[k];
    const Height height = HeightAt(curves, samples, k, o);
    const double u = std::hypot(o.widen * height.u_mm, o.common_u_mm);
    out.misfit[i] = curves[k].misfit;
    out.middle_mm[i] = height.middle_mm, out.spread_mm[i] = height.u_mm;
    out.lines[i].why = WhyNot(lines[i], curves[k], out.usual_misfit, u, o);
    if (out.lines[i].why.empty()) Write(lines[i], height.middle_mm, u, out.lines[i]);
    if (ToesKnown(lines[i], o) && Explained(curves[k], out.usual_misfit, o)) out.classes[i] = ClassOf(height, o);
  }
  if (ReadBothWays(lines, out.middle_mm, o)) out.classes.assign(lines.size(), {});
  return out;
}

}  // namespace vision::relief
