#include "vision/relief/travel_posterior.h"

#include <algorithm>
#include <cmath>

#include "vision/base/median.h"
#include "vision/bore/angle.h"

namespace vision::relief {
namespace {

constexpr double kCap = 5;            // what one neighbour may speak against a height, in log-likelihood
constexpr double kReach_steps = 2;    // neighbours taken in

double MiddleOf(const TravelOptions& o, std::size_t i) { return o.lowest_mm + static_cast<double>(i) * o.step_mm; }

}  // namespace

Height HeightAt(const std::vector<LineCurve>& curves, const Samples& samples, std::size_t line,
                const TravelOptions& o) {
  const std::size_t n = curves[line].cost.size();
  std::vector<double> sum(n, 0);
  for (std::size_t k = 0; k < curves.size(); ++k) {
    const double apart = std::abs(bore::Wrap180(samples.lines[k].theta_deg - samples.lines[line].theta_deg)) /
                         o.line_step_deg;
    if (apart > kReach_steps + 1e-6) continue;
    const double weight = std::exp(-0.5 * std::pow(apart / (0.8 * kReach_steps), 2));
    for (std::size_t i = 0; i < n; ++i) sum[i] += k == line ? curves[k].cost[i] : weight * std::min(curves[k].cost[i], kCap);
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

TravelHeights Stated(const std::vector<TravelLine>& lines, const Samples& samples,
                     const std::vector<LineCurve>& curves, const TravelOptions& o) {
  TravelHeights out;
  out.lines.resize(lines.size());
  out.classes.resize(lines.size());
  out.own.assign(lines.size(), kNotMeasured), out.own_u = out.own;  // DUMP
  out.misfit.assign(lines.size(), kNotMeasured);
  for (std::size_t i = 0; i < lines.size(); ++i) {
    out.lines[i].theta_deg = lines[i].theta_deg;
    out.lines[i].why = "a toe of the bead is not known here";
  }
  std::vector<double> misfits;
  for (const auto& curve : curves) misfits.push_back(curve.misfit);
  out.usual_misfit = MedianInPlace(misfits);
  for (std::size_t k = 0; k < curves.size(); ++k) {
    const std::size_t i = samples.asked[k];
    SectionLine& line = out.lines[i];
    const Height height = HeightAt(curves, samples, k, o);
    out.misfit[i] = curves[k].misfit;
    { const std::vector<LineCurve> alone(1, curves[k]); Samples one; one.lines = {samples.lines[k]}; const Height own = HeightAt(alone, one, 0, o); out.own[i] = own.middle_mm; out.own_u[i] = own.u_mm; }  // DUMP
    line.why.clear();
    line.crown = std::max(0.0, height.middle_mm), line.concavity = std::max(0.0, -height.middle_mm);
    line.crown_u = line.concavity_u = height.u_mm;
  }
  return out;
}

}  // namespace vision::relief
