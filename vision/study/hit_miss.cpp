#include "vision/study/hit_miss.h"

#include <Eigen/LU>
#include <algorithm>
#include <cstdio>
#include <limits>

#include "vision/base/range.h"
#include "vision/study/distribution.h"
#include "vision/study/hit_miss_parts.h"

namespace vision::study {
namespace {

struct Extent {
  double least = std::numeric_limits<double>::infinity(), greatest = -std::numeric_limits<double>::infinity();
  int count = 0;
  void Take(double x) { least = std::min(least, x), greatest = std::max(greatest, x), ++count; }
};

std::string Figure(double value) {
  char text[32];
  std::snprintf(text, sizeof text, "%.4g", value);
  return text;
}

/// With no size at which both happen, the likelihood grows without end as the curve gets steeper.
Status Overlap(const Extent& hits, const Extent& misses, const std::string& name) {
  if (hits.count == 0 || misses.count == 0)
    return BadInput(name + ": every one of the " + std::to_string(hits.count + misses.count) + " targets was " +
                    (hits.count == 0 ? "missed" : "found") + "; the model needs hits and misses, so add " +
                    (hits.count == 0 ? "larger" : "smaller") + " targets.");
  if (misses.greatest <= hits.least)
    return BadInput(name + ": the sizes of hits and misses do not overlap (every target up to " +
                    Figure(misses.greatest) + " was missed, every one from " + Figure(hits.least) +
                    " was found), so the model has no finite answer; add targets of sizes around these.");
  if (hits.greatest <= misses.least)
    return BadInput(name + ": the sizes of hits and misses do not overlap and only targets up to " +
                    Figure(hits.greatest) + " were found; are the hit and size columns the right ones?");
  return std::nullopt;
}

Status Usable(const std::vector<Target>& targets, const PodOptions& options, const std::string& name) {
  if (targets.size() < static_cast<std::size_t>(options.fewest))
    return BadInput(name + " holds " + std::to_string(targets.size()) + " targets; a model needs at least " +
                    std::to_string(options.fewest) + ".");
  Extent hits, misses;
  for (const auto& target : targets) {
    if (!std::isfinite(target.size) || (options.scale == SizeScale::kLog && target.size <= 0))
      return BadInput(name + ": a size is " + Figure(target.size) +
                      "; it must be finite, and above 0 on the log scale.");
    (target.hit ? hits : misses).Take(target.size);
  }
  return Overlap(hits, misses, name);
}

/// Newton's method with halved steps; the log likelihood of a logistic model is concave.
void Maximise(const std::vector<Target>& targets, PodFit& fit) {
  const SizeScale scale = fit.options.scale;
  const double share = static_cast<double>(fit.hits) / fit.targets;
  Eigen::Vector2d b(Logit(share), 0);
  double best = LogLikelihood(targets, scale, b[0], b[1]);
  for (int round = 0; round < 200; ++round) {
    Eigen::Vector2d gradient = Eigen::Vector2d::Zero();
    Eigen::Matrix2d information = Eigen::Matrix2d::Zero();
    for (const auto& target : targets) {
      const Eigen::Vector2d x(1, Scaled(target.size, scale));
      const double p = 1 / (1 + std::exp(-b.dot(x)));
      gradient += (target.hit - p) * x;
      information += p * (1 - p) * x * x.transpose();
    }
    fit.covariance = information.inverse();
    Eigen::Vector2d step = fit.covariance * gradient;
    double next = LogLikelihood(targets, scale, b[0] + step[0], b[1] + step[1]);
    for (int halved = 0; halved < 60 && !(next >= best); ++halved) {
      step *= 0.5;
      next = LogLikelihood(targets, scale, b[0] + step[0], b[1] + step[1]);
    }
    b += step;
    best = next;
    if (step.norm() <= 1e-13 * (1 + b.norm())) break;
  }
  fit.b0 = b[0];
  fit.b1 = b[1];
  fit.goodness.log_likelihood = best;
}

/// Groups of neighbouring sizes, as equal in number as they come; expected against found in each.
void Compare(std::vector<Target> targets, PodFit& fit) {
  auto& good = fit.goodness;
  std::sort(targets.begin(), targets.end(), [](const Target& a, const Target& b) { return a.size < b.size; });
  good.groups = std::clamp(fit.targets / 6, 3, 10);
  for (int g = 0; g < good.groups; ++g) {
    const int from = fit.targets * g / good.groups, to = fit.targets * (g + 1) / good.groups;
    double expected = 0, found = 0;
    for (int i = from; i < to; ++i) {
      expected += fit.Probability(targets[static_cast<std::size_t>(i)].size);
      found += targets[static_cast<std::size_t>(i)].hit;
    }
    const double spread = expected * (1 - expected / (to - from));
    if (spread > 1e-12) good.group_statistic += (found - expected) * (found - expected) / spread;
  }
  good.group_p = ChiSquareAbove(good.group_statistic, good.groups - 2);
}

void Judge(const std::vector<Target>& targets, PodFit& fit) {
  auto& good = fit.goodness;
  const double share = static_cast<double>(fit.hits) / fit.targets;
  good.null_log_likelihood = fit.hits * std::log(share) + (fit.targets - fit.hits) * std::log(1 - share);
  good.aic = 4 - 2 * good.log_likelihood;
  good.slope_statistic = 2 * (good.log_likelihood - good.null_log_likelihood);
  good.slope_p = ChiSquareAbove(good.slope_statistic, 1);
  Compare(targets, fit);
  if (fit.targets < fit.options.advised)
    fit.notes.push_back(std::to_string(fit.targets) + " targets; MIL-HDBK-1823A advises at least " +
                        std::to_string(fit.options.advised) + " for hits and misses (number from memory).");
  if (good.group_p < 0.05)
    fit.notes.push_back("The model goes badly with the data (Hosmer-Lemeshow p " + Figure(good.group_p) +
                        "); try the other size scale, or look for a second cause of misses.");
  if (!fit.ap_ratio)
    fit.notes.push_back(
        "The upper bound has no end: the data do not show that larger targets are found more often. More targets are "
        "needed.");
}

}  // namespace

std::string NameOf(SizeScale scale) { return scale == SizeScale::kLog ? "log" : "linear"; }

Status PodOptions::Check() const {
  if (auto broken = FirstOutside("PodOptions", {{"fewest", fewest, 2, 100000}, {"advised", advised, 0, 100000}}))
    return broken;
  if (!(detection > 0.5 && detection < 1)) return BadInput("PodOptions::detection must lie between 0.5 and 1.");
  if (!(confidence > 0.5 && confidence < 1)) return BadInput("PodOptions::confidence must lie between 0.5 and 1.");
  return std::nullopt;
}

double PodFit::Probability(double size) const { return 1 / (1 + std::exp(-(b0 + b1 * Scaled(size, options.scale)))); }

Result<PodFit> FitPod(const std::vector<Target>& targets, const PodOptions& options, const std::string& name) {
  if (auto broken = options.Check()) return *broken;
  if (auto broken = Usable(targets, options, name)) return *broken;
  PodFit fit;
  fit.options = options;
  fit.targets = static_cast<int>(targets.size());
  for (const auto& target : targets) fit.hits += target.hit;
  Maximise(targets, fit);
  if (!(fit.b1 > 0))
    return BadInput(name + ": detection does not grow with size (slope " + Figure(fit.b1) +
                    "); no size is found with a given probability. Are the hit and size columns the right ones?");
  fit.a50 = Unscaled(-fit.b0 / fit.b1, options.scale);
  fit.ap = Unscaled((Logit(options.detection) - fit.b0) / fit.b1, options.scale);
  fit.ap_ratio = RatioBound(targets, fit, options.detection);
  fit.ap_wald = WaldBound(fit, options.detection);
  Judge(targets, fit);
  return fit;
}

}  // namespace vision::study
