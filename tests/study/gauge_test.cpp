#include "vision/study/gauge.h"

#include <gmock/gmock.h>

#include <cmath>

#include "tests/study/reference.h"
#include "vision/study/table.h"

namespace vision::study {
namespace {

using testing::HasSubstr;

CrossedStudy Study(const std::string& file) {
  const auto table = ReadTable(study_test::ReferenceText(file), file).value();
  const auto parts = TextColumn(table, "part").value(), operators = TextColumn(table, "operator").value();
  const auto numbers = NumberColumn(table, "value").value();
  std::vector<GaugeValue> readings;
  for (std::size_t i = 0; i < numbers.size(); ++i) readings.push_back({parts[i], operators[i], numbers[i]});
  return Arrange(readings, file).value();
}

// AIAG Measurement Systems Analysis, the worked study of 10 parts, 3 appraisers, 3 trials; printed results, made there
// with intermediates rounded to four figures: EV .20188, AV .22963, GRR .30575, PV 1.10456, TV 1.14610, 17.62 %, 20.04
// %, 26.68 %, 96.38 %, 5 categories; mean range .3417, limit .8795, difference .4446, part range 3.5111.
TEST(StudyGauge, AverageAndRangeGivesThePrintedStudyToThreeDigits) {
  const auto study = StudyGauge(Study("gauge_10x3x3.csv"));
  const auto& s = study.average_and_range;
  EXPECT_NEAR(s.repeatability, 0.20188, 5e-5);
  EXPECT_NEAR(s.operators, 0.22963, 5e-5);
  EXPECT_NEAR(s.gauge, 0.30575, 5e-5);
  EXPECT_NEAR(s.parts, 1.10456, 5e-4);
  EXPECT_NEAR(s.total, 1.14610, 5e-4);
  EXPECT_NEAR(s.PercentOf(s.repeatability), 17.62, 0.02);
  EXPECT_NEAR(s.PercentOf(s.operators), 20.04, 0.02);
  EXPECT_NEAR(s.PercentOf(s.gauge), 26.68, 0.02);
  EXPECT_NEAR(s.PercentOf(s.parts), 96.38, 0.02);
  EXPECT_EQ(s.distinct_categories, 5);
  EXPECT_NEAR(study.mean_range, 0.3417, 5e-5);
  EXPECT_NEAR(study.upper_range_limit, 0.8795, 5e-4);
  EXPECT_NEAR(study.operator_difference, 0.4446, 1e-4);  // printed difference of two rounded means
  EXPECT_NEAR(study.part_range, 3.5111, 5e-5);
}

// The same data by analysis of variance, computed by another program in Python from the sums of squares; it agrees with
// the manual's printed table.
TEST(StudyGauge, AnalysisOfVarianceWithAndWithoutInteraction) {
  const auto study = StudyGauge(Study("gauge_10x3x3.csv"));
  const auto& v = study.variance;
  EXPECT_NEAR(v.ss_parts, 88.361934, 1e-6);
  EXPECT_NEAR(v.ss_operators, 3.167262, 1e-6);
  EXPECT_NEAR(v.ss_interaction, 0.358982, 1e-6);
  EXPECT_NEAR(v.ss_error, 2.758933, 1e-6);
  EXPECT_NEAR(v.f_interaction, 0.434, 5e-4);
  EXPECT_FALSE(v.interaction_kept);
  const auto& pooled = study.anova_without_interaction;
  EXPECT_NEAR(pooled.repeatability, 0.199933, 1e-6);
  EXPECT_NEAR(pooled.operators, 0.226838, 1e-6);
  EXPECT_NEAR(pooled.gauge, 0.302372, 1e-6);
  EXPECT_NEAR(pooled.parts, 1.042327, 1e-6);
  EXPECT_NEAR(pooled.total, 1.085300, 1e-6);
  EXPECT_NEAR(pooled.PercentOf(pooled.gauge), 27.86, 0.005);
  EXPECT_EQ(pooled.distinct_categories, 4);  // 4.861
  const auto& kept = study.anova_with_interaction;
  EXPECT_NEAR(kept.repeatability, 0.214435, 1e-6);
  EXPECT_NEAR(kept.operators, 0.228304, 1e-6);
  EXPECT_NEAR(kept.gauge, 0.313217, 1e-6);
  EXPECT_NEAR(kept.PercentOf(kept.gauge), 28.75, 0.005);
  EXPECT_EQ(study.Quoted().method, pooled.method);
}

// Vardeman and VanValkenburg, Technometrics 41 (1999) 202: 2 parts, 5 operators, 3 readings (weights); sums of squares
// and components computed by another program in Python.
TEST(StudyGauge, SecondPublishedStudy) {
  const auto study = StudyGauge(Study("gauge_2x5x3.csv"));
  EXPECT_NEAR(study.variance.ss_parts, 0.371853, 1e-6);
  EXPECT_NEAR(study.variance.ss_operators, 0.00050167, 1e-8);
  EXPECT_NEAR(study.variance.ss_interaction, 0.00017633, 1e-8);
  EXPECT_NEAR(study.variance.ss_error, 0.00102333, 1e-8);
  EXPECT_NEAR(study.anova_with_interaction.repeatability, 0.0071531, 1e-7);
  EXPECT_NEAR(study.anova_with_interaction.operators, 0.0036818, 1e-7);
  EXPECT_NEAR(study.anova_with_interaction.gauge, 0.0080450, 1e-7);
  EXPECT_NEAR(study.anova_with_interaction.parts, 0.1574398, 1e-7);
}

// By hand: X reads 1.0 and 3.0 as (1.0, 1.0) and (3.0, 3.0), Y as (2.0, 2.0) and (2.0, 2.0): all of the gauge's spread
// is interaction. SS: parts 2, operators 0, interaction 2, error 0; interaction variance (2/1 - 0) / 2 = 1.
TEST(StudyGauge, InteractionAloneIsNamedAsSuch) {
  const std::vector<GaugeValue> readings{{"1", "X", 0.9}, {"1", "X", 1.1}, {"2", "X", 2.9}, {"2", "X", 3.1},
                                         {"1", "Y", 1.9}, {"1", "Y", 2.1}, {"2", "Y", 1.9}, {"2", "Y", 2.1}};
  const auto study = StudyGauge(Arrange(readings, "hand").value());
  EXPECT_NEAR(study.variance.ss_interaction, 2, 1e-12);
  EXPECT_NEAR(study.anova_with_interaction.interaction, std::sqrt(0.99), 1e-12);
  EXPECT_NEAR(study.anova_with_interaction.repeatability, std::sqrt(0.02), 1e-12);
  EXPECT_TRUE(study.variance.interaction_kept);
}

TEST(Arrange, RefusesUnevenStudiesNamingTheCell) {
  EXPECT_THAT(Arrange({{"1", "X", 1}, {"1", "X", 1}, {"2", "X", 1}}, "s.csv").error().message,
              HasSubstr("s.csv: operator X read part 2 1 times; every operator must read every part 2 times"));
  EXPECT_THAT(Arrange({{"1", "X", 1}, {"1", "X", 1}}, "s.csv").error().message, HasSubstr("at least 2 parts"));
  EXPECT_THAT(Arrange({{"1", "X", 1}, {"2", "X", 1}}, "s.csv").error().message, HasSubstr("at least 2 readings"));
}

// A tenth, at worst a quarter: limits 1.59 and 0.397 mm (MIL-STD-2035A Class 1) ask for 0.40 and 0.10 mm at worst.
TEST(FitnessOf, TenthAndQuarterBelongToTheBetterSide) {
  EXPECT_EQ(FitnessOf(0.159, 1.59), Fitness::kGood);
  EXPECT_EQ(FitnessOf(0.16, 1.59), Fitness::kAtWorst);
  EXPECT_EQ(FitnessOf(0.3975, 1.59), Fitness::kAtWorst);
  EXPECT_EQ(FitnessOf(0.40, 1.59), Fitness::kNotFit);
  EXPECT_EQ(FitnessOf(0.10, 0.397), Fitness::kNotFit);
}

}  // namespace
}  // namespace vision::study
