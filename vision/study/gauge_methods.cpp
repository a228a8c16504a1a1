#include <algorithm>
#include <cmath>
#include <numeric>

#include "vision/study/distribution.h"
#include "vision/study/gauge.h"

namespace vision::study {
namespace {

/// Means of a study over trials, and over what else.
struct Means {
  std::vector<double> cell, part, op;  ///< cell[op * parts + part]
  double all = 0;
};

Means MeansOf(const CrossedStudy& s) {
  Means m{{}, std::vector<double>(s.parts.size(), 0), std::vector<double>(s.operators.size(), 0), 0};
  const auto parts = static_cast<double>(s.parts.size()), ops = static_cast<double>(s.operators.size());
  for (std::size_t op = 0; op < s.operators.size(); ++op)
    for (std::size_t part = 0; part < s.parts.size(); ++part) {
      double sum = 0;
      for (int k = 0; k < s.trials; ++k) sum += s.At(op, part, static_cast<std::size_t>(k));
      m.cell.push_back(sum / s.trials);
      m.part[part] += m.cell.back() / ops;
      m.op[op] += m.cell.back() / parts;
      m.all += m.cell.back() / (parts * ops);
    }
  return m;
}

double RangeOf(const std::vector<double>& values) {
  const auto [least, greatest] = std::minmax_element(values.begin(), values.end());
  return *greatest - *least;
}

double Square(double x) { return x * x; }
double RootOf(double variance) { return std::sqrt(std::max(0.0, variance)); }

GaugeSpread Complete(GaugeSpread spread) {
  spread.gauge = std::sqrt(Square(spread.repeatability) + Square(spread.operators) + Square(spread.interaction));
  spread.total = std::hypot(spread.gauge, spread.parts);
  spread.distinct_categories = spread.gauge > 0 ? static_cast<int>(std::floor(1.41 * spread.parts / spread.gauge)) : 0;
  return spread;
}

/// EV = mean range / d2; AV and PV from the range of means over d2* (one subgroup), AV less what EV leaves in the
/// means.
void AverageAndRange(const CrossedStudy& s, const Means& m, GaugeStudy* study) {
  std::vector<double> ranges;
  for (std::size_t op = 0; op < s.operators.size(); ++op)
    for (std::size_t part = 0; part < s.parts.size(); ++part) {
      std::vector<double> cell;
      for (int k = 0; k < s.trials; ++k) cell.push_back(s.At(op, part, static_cast<std::size_t>(k)));
      ranges.push_back(RangeOf(cell));
    }
  study->mean_range = std::accumulate(ranges.begin(), ranges.end(), 0.0) / static_cast<double>(ranges.size());
  const auto trial = RangeOfNormals(s.trials);
  const double d3 = std::sqrt(Square(trial.d2_star) - Square(trial.d2));
  study->upper_range_limit = study->mean_range * (1 + 3 * d3 / trial.d2);
  study->ranges_out = static_cast<int>(
      std::count_if(ranges.begin(), ranges.end(), [&](double range) { return range > study->upper_range_limit; }));
  study->operator_difference = RangeOf(m.op);
  study->part_range = RangeOf(m.part);
  GaugeSpread spread;
  spread.method = "average and range";
  spread.repeatability = study->mean_range / trial.d2;
  if (s.operators.size() > 1)
    spread.operators = RootOf(Square(study->operator_difference / RangeOfNormals(study->operators).d2_star) -
                              Square(spread.repeatability) / (study->parts * s.trials));
  spread.parts = study->part_range / RangeOfNormals(study->parts).d2_star;
  study->average_and_range = Complete(spread);
}

VarianceTable TableOf(const CrossedStudy& s, const Means& m) {
  const auto parts = s.parts.size(), ops = s.operators.size();
  VarianceTable t;
  for (const double mean : m.part) t.ss_parts += static_cast<double>(ops) * s.trials * Square(mean - m.all);
  for (const double mean : m.op) t.ss_operators += static_cast<double>(parts) * s.trials * Square(mean - m.all);
  for (std::size_t op = 0; op < ops; ++op)
    for (std::size_t part = 0; part < parts; ++part) {
      const double cell = m.cell[op * parts + part];
      t.ss_interaction += s.trials * Square(cell - m.part[part] - m.op[op] + m.all);
      for (int k = 0; k < s.trials; ++k) t.ss_error += Square(s.At(op, part, static_cast<std::size_t>(k)) - cell);
    }
  t.df_parts = static_cast<int>(parts) - 1;
  t.df_operators = static_cast<int>(ops) - 1;
  t.df_interaction = t.df_parts * t.df_operators;
  t.df_error = static_cast<int>(parts * ops) * (s.trials - 1);
  if (t.df_interaction > 0 && t.ss_error > 0) {
    t.f_interaction = (t.ss_interaction / t.df_interaction) / (t.ss_error / t.df_error);
    t.p_interaction = FAbove(t.f_interaction, t.df_interaction, t.df_error);
  }
  t.interaction_kept = t.df_interaction > 0 && t.p_interaction <= kKeepInteraction;
  return t;
}

/// Variance components from the expected mean squares of the random two-way layout.
GaugeSpread Components(const VarianceTable& t, int parts, int ops, int trials, bool interaction) {
  GaugeSpread spread;
  spread.method = interaction ? "analysis of variance, with interaction" : "analysis of variance, interaction pooled";
  const double error =
      interaction ? t.ss_error / t.df_error : (t.ss_error + t.ss_interaction) / (t.df_error + t.df_interaction);
  const double between = interaction && t.df_interaction > 0 ? t.ss_interaction / t.df_interaction : error;
  spread.repeatability = std::sqrt(error);
  spread.interaction = RootOf((between - error) / trials);
  if (ops > 1) spread.operators = RootOf((t.ss_operators / t.df_operators - between) / (parts * trials));
  spread.parts = RootOf((t.ss_parts / t.df_parts - between) / (ops * trials));
  return Complete(spread);
}

}  // namespace

GaugeStudy StudyGauge(const CrossedStudy& s) {
  GaugeStudy study;
  study.parts = static_cast<int>(s.parts.size());
  study.operators = static_cast<int>(s.operators.size());
  study.trials = s.trials;
  const Means means = MeansOf(s);
  AverageAndRange(s, means, &study);
  study.variance = TableOf(s, means);
  study.anova_with_interaction = Components(study.variance, study.parts, study.operators, s.trials, true);
  study.anova_without_interaction = Components(study.variance, study.parts, study.operators, s.trials, false);
  return study;
}

}  // namespace vision::study
