#include <limits>

#include "app/report/report.h"

namespace app::report {
namespace {

/// The width limit of the user's own criteria file, for the profile of the width.
std::optional<WidthLimit> WidthLimitOf(const joint::CriteriaSet& set, const joint::Joint& joint) {
  for (const auto& rule : set.rules) {
    if (rule.measures != joint::Measures::kWidth || rule.limits.empty()) continue;
    joint::LimitInputs inputs;
    if (const auto wall = joint.ThinnerWall()) inputs.t_mm = wall->value_mm;
    const auto limit = joint::Evaluate(rule.limits.front(), inputs, std::numeric_limits<double>::quiet_NaN());
    if (limit) return WidthLimit{std::nullopt, limit->value_mm, set.name + ", " + rule.paragraph};
  }
  return std::nullopt;
}

}  // namespace

ReportInput InputOf(const joint::Joint& joint, const vision::reading::Reading& measured, const known::Told& told,
                    const joint::CriteriaSet& set, const std::filesystem::path& reading_folder) {
  const auto known = known::Know(measured, told.notes, told.recorded);
  ReportInput input{joint, measured, known::Judge(known, joint, set), reading_folder, WidthLimitOf(set, joint)};
  input.notes = told.notes;
  input.recorded = told.recorded;
  return input;
}

}  // namespace app::report
