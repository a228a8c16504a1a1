#pragma once

#include <optional>
#include <string>
#include <vector>

#include "vision/base/result.h"

/// Gauge study: how much of what is read comes from the gauge itself (repeatability), from who uses it
/// (reproducibility), and from the parts. Crossed and balanced: every operator reads every part equally often.
/// Method: AIAG Measurement Systems Analysis reference manual (average and range; analysis of variance).
namespace vision::study {

/// One reading of one part by one operator.
struct GaugeValue {
  std::string part, operator_name;
  double value = 0;
};

/// A balanced study. values[(operator * parts + part) * trials + trial].
struct CrossedStudy {
  std::vector<std::string> parts, operators;  ///< In the order they first came.
  int trials = 0;
  std::vector<double> values;

  double At(std::size_t op, std::size_t part, std::size_t trial) const {
    return values[(op * parts.size() + part) * static_cast<std::size_t>(trials) + trial];
  }
};

/// @return kBadInput naming the operator and part that was read more or less often than the others, or that there are
/// fewer than 2 parts or 2 trials.
Result<CrossedStudy> Arrange(const std::vector<GaugeValue>& readings, const std::string& name);

/// Spread by source, all as standard deviations (k = 1) in the readings' unit.
struct GaugeSpread {
  std::string method;           ///< average and range | analysis of variance, ...
  double repeatability = 0;     ///< Equipment variation, EV.
  double operators = 0;         ///< Appraiser variation, AV; 0 where it drowns in repeatability.
  double interaction = 0;       ///< Operator by part; 0 where pooled or drowned.
  double gauge = 0;             ///< All of the gauge: GRR.
  double parts = 0;             ///< Part variation, PV.
  double total = 0;             ///< TV.
  int distinct_categories = 0;  ///< floor(1.41 PV / GRR).

  double PercentOf(double part_of_it) const { return total > 0 ? 100 * part_of_it / total : 0; }
};

/// Two-way analysis of variance with random effects.
struct VarianceTable {
  double ss_parts = 0, ss_operators = 0, ss_interaction = 0, ss_error = 0;
  int df_parts = 0, df_operators = 0, df_interaction = 0, df_error = 0;
  double f_interaction = 0, p_interaction = 1;
  bool interaction_kept = false;  ///< p_interaction <= kKeepInteraction.
};

/// The interaction is pooled into the error above this probability (common practice, no source).
constexpr double kKeepInteraction = 0.25;

struct GaugeStudy {
  int parts = 0, operators = 0, trials = 0;
  double mean_range = 0,
         upper_range_limit = 0;  ///< Mean range within a cell; ranges above the limit are out of control.
  int ranges_out = 0;
  double operator_difference = 0, part_range = 0;  ///< Of the operators' means; of the parts' means.
  VarianceTable variance;
  GaugeSpread average_and_range, anova_with_interaction, anova_without_interaction;

  /// The one to quote: analysis of variance, with interaction where it shows.
  const GaugeSpread& Quoted() const {
    return variance.interaction_kept ? anova_with_interaction : anova_without_interaction;
  }
};

/// With a single operator reproducibility is 0 and not known: say so.
GaugeStudy StudyGauge(const CrossedStudy& study);

/// What an expanded uncertainty is fit for beside a limit: a gauge may use a tenth, at worst a quarter of what it
/// judges (ten to one: common practice, AIAG; four to one: ANSI/NCSL Z540.3; both from memory).
enum class Fitness { kGood, kAtWorst, kNotFit };
Fitness FitnessOf(double expanded_mm, double limit_mm);
std::string SentenceOf(Fitness fitness);

}  // namespace vision::study
