#pragma once

#include <Eigen/Core>
#include <optional>
#include <string>
#include <vector>

#include "vision/base/result.h"

/// Probability of detection from hits and misses after MIL-HDBK-1823A (2009), app. G: logit p = b0 + b1 s, s the size
/// or its natural logarithm, by maximum likelihood.
namespace vision::study {

enum class SizeScale { kLinear, kLog };
std::string NameOf(SizeScale scale);  ///< linear | log

/// One target: how large, and was it found.
struct Target {
  double size = 0;
  bool hit = false;
};

/// Source: not noted, so taken as chosen; where a field says none.
struct PodOptions {
  SizeScale scale = SizeScale::kLinear;
  double detection = 0.90;   ///< The a_p that is asked for, a probability; in (0.5, 1).
  double confidence = 0.95;  ///< Of the one-sided bound on it; in (0.5, 1).
  int fewest = 8;            ///< Targets below which nothing is fitted; in [2, 100000]. Chosen.
  /// Targets advised for hits and misses (MIL-HDBK-1823A; number from memory); in [0, 100000].
  int advised = 60;

  [[nodiscard]] Status Check() const;
};

/// How well the model goes with the data.
struct PodGoodness {
  double log_likelihood = 0, null_log_likelihood = 0;  ///< null: the same probability at every size.
  double aic = 0;                                      ///< 2 * 2 - 2 log L.
  double slope_statistic = 0, slope_p = 1;             ///< Likelihood ratio against the null, 1 degree of freedom.
  /// Hosmer and Lemeshow (Communications in Statistics A9 (1980) 1043) over groups of neighbouring sizes.
  int groups = 0;
  double group_statistic = 0, group_p = 1;
};

/// A fitted model and what follows from it; sizes in the data's own unit.
struct PodFit {
  PodOptions options;
  int targets = 0, hits = 0;
  double b0 = 0, b1 = 0;
  Eigen::Matrix2d covariance;  ///< Of (b0, b1): the inverse of Fisher's information.
  PodGoodness goodness;
  double a50 = 0, ap = 0;          ///< Sizes found with probability 0.5 and options.detection.
  std::optional<double> ap_ratio;  ///< Upper confidence bound on ap by the likelihood ratio; none: it has no end.
  std::optional<double> ap_wald;   ///< The same by Wald's band on b0 + b1 s.
  std::vector<std::string> notes;

  double Probability(double size) const;
};

/// @return kBadInput in one sentence when there is no answer: too few targets, all hits or all misses, no overlap of
/// the hits' and the misses' sizes (the likelihood then has no maximum), detection that falls with size, a size <= 0 on
/// the log scale.
/// @param name How the data are called in the message.
Result<PodFit> FitPod(const std::vector<Target>& targets, const PodOptions& options = {},
                      const std::string& name = "the data");

/// Upper confidence bound on the size found with probability `detection`, by the likelihood ratio: the largest size a
/// with 2 (l_max - l(a)) below the chi-square point, l(a) the likelihood's maximum among models with p(a) = detection.
std::optional<double> RatioBound(const std::vector<Target>& targets, const PodFit& fit, double detection);

/// The same by Wald: the smallest a with b0 + b1 s - z se(b0 + b1 s) at the logit of `detection`.
std::optional<double> WaldBound(const PodFit& fit, double detection);

}  // namespace vision::study
