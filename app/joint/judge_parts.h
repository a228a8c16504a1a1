#pragma once

#include <string>
#include <vector>

#include "app/joint/verdict.h"
#include "vision/base/says.h"

/// The parts of Judge, one per kind of measurement. Each appends findings for one rule. Used by Judge only.
namespace app::joint {

using vision::Says, vision::Sentence;

/// What every part needs.
struct Case {
  const vision::reading::Reading& reading;
  const Joint& joint;
  LimitInputs inputs;
  double circumference_mm = 0;  ///< Inside.
  double k = 2;
  const std::vector<Overruled>& overruled;

  /// Who overruled that one; nullptr when nobody did.
  const Overruled* OverruledOf(Overruled::Of of, std::size_t index) const;
};

/// Who overruled, when and why, in words, after the arguments before them.
std::vector<vision::Argument> ByWhom(std::vector<vision::Argument> before, const Overruled& overruled);

/// Below this confidence a sign seen in the picture is undecided, not beyond (a judgement, no source).
constexpr double kLeastConfidence = 0.5;

void JudgeProfile(const Rule& rule, const Case& the_case, std::vector<Finding>* findings);
void JudgeFusion(const Rule& rule, const Case& the_case, std::vector<Finding>* findings);
void JudgeIndications(const Rule& rule, const Case& the_case, std::vector<Finding>* findings);
Finding JudgeCoverage(const Case& the_case);

/// A finding that carries the rule's words, not measured yet.
Finding StartFinding(const Rule& rule);

/// The row of `rule` that applies; where none does, adds the finding that says so.
/// @return nullptr when that finding was added and the rule is done.
const LimitRow* RowOrFinding(const Rule& rule, const Case& the_case, std::vector<Finding>* findings);

/// "1.20 mm +/- 0.10 mm (k = 2)".
std::string WithUncertainty(double value_mm, double u_mm, double k);
std::string Fixed(double value, int digits);  ///< 1.20

/// What `reading.why` says about one of `whats` (the longest arc), empty when nothing.
vision::Reason WhyOf(const vision::reading::Reading& reading, const std::vector<std::string>& whats);

/// What the reading says was searched for these kinds of indication; empty where it says nothing.
std::vector<vision::Sentence> SearchedFor(const std::vector<std::string>& kinds,
                                          const vision::reading::Reading& reading);

/// Length allowed by an allowance on this ring, mm.
double AllowedMm(const Allowance& allowance, double circumference_mm);

/// Element i, NaN when the array is shorter.
double AtLine(const std::vector<double>& numbers, std::size_t line);

/// Station line at or nearest to theta; the profile must not be empty.
std::size_t LineAt(double theta_deg, std::size_t lines);

}  // namespace app::joint
