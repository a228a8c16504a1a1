#include <algorithm>

#include "vision/study/distribution.h"
#include "vision/study/hit_miss_parts.h"

namespace vision::study {
namespace {

/// Maximum of the likelihood among models that pass through (s, logit): one slope is left, and it is concave in it.
double ProfileLogLikelihood(const std::vector<Target>& targets, SizeScale scale, double s, double logit, double b1) {
  const auto value = [&](double slope) { return LogLikelihood(targets, scale, logit - slope * s, slope); };
  double mean = 0, share = 0;
  for (const auto& target : targets) {
    mean += Scaled(target.size, scale) / static_cast<double>(targets.size());
    share += target.hit / static_cast<double>(targets.size());
  }
  const double through_mean = (Logit(share) - logit) / (mean - s);  // far out the other start lies in the flat
  if (std::isfinite(through_mean) && value(through_mean) > value(b1)) b1 = through_mean;
  double best = value(b1);
  for (int round = 0; round < 100; ++round) {
    double gradient = 0, information = 0;
    for (const auto& target : targets) {
      const double x = Scaled(target.size, scale) - s;
      const double p = 1 / (1 + std::exp(-(logit + b1 * x)));
      gradient += (target.hit - p) * x;
      information += p * (1 - p) * x * x;
    }
    if (!(information > 0)) break;
    double step = gradient / information;
    for (int halved = 0; halved < 60 && !(value(b1 + step) >= best); ++halved) step *= 0.5;
    b1 += step;
    best = value(b1);
    if (std::abs(step) <= 1e-12 * (1 + std::abs(b1))) break;
  }
  return best;
}

/// First place above `from` where a function that is negative at `from` turns positive; none when it does not within a
/// thousand times the data's own spread.
template <class F>
std::optional<double> FirstCrossing(F f, double from, double spread) {
  double low = from, high = from;
  for (double step = 0.01 * spread; step < 1000 * spread; step *= 1.1) {
    high = low + step;
    if (f(high) > 0) {
      while (high - low > 1e-12 * (spread + std::abs(high))) {
        const double middle = 0.5 * (low + high);
        (f(middle) > 0 ? high : low) = middle;
      }
      return 0.5 * (low + high);
    }
    low = high;
  }
  return std::nullopt;
}

}  // namespace

std::optional<double> RatioBound(const std::vector<Target>& targets, const PodFit& fit, double detection) {
  const SizeScale scale = fit.options.scale;
  const double z = NormalQuantile(fit.options.confidence), logit = Logit(detection);
  double least = Scaled(targets.front().size, scale), greatest = least;
  for (const auto& target : targets) {
    least = std::min(least, Scaled(target.size, scale));
    greatest = std::max(greatest, Scaled(target.size, scale));
  }
  const auto excess = [&](double s) {
    const double profile = ProfileLogLikelihood(targets, scale, s, logit, fit.b1);
    return 2 * (fit.goodness.log_likelihood - profile) - z * z;
  };
  const auto bound = FirstCrossing(excess, (logit - fit.b0) / fit.b1, greatest - least);
  return bound ? std::optional(Unscaled(*bound, scale)) : std::nullopt;
}

std::optional<double> WaldBound(const PodFit& fit, double detection) {
  const double z = NormalQuantile(fit.options.confidence), logit = Logit(detection);
  const auto& v = fit.covariance;
  // (b0 + b1 s - logit)^2 = z^2 (V00 + 2 s V01 + s^2 V11), the larger root; it has one when b1 > z sqrt(V11).
  const double a = fit.b1 * fit.b1 - z * z * v(1, 1);
  if (!(a > 0)) return std::nullopt;
  const double offset = fit.b0 - logit, b = offset * fit.b1 - z * z * v(0, 1), c = offset * offset - z * z * v(0, 0);
  return Unscaled((-b + std::sqrt(std::max(0.0, b * b - a * c))) / a, fit.options.scale);
}

}  // namespace vision::study
