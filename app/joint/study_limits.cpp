#include "app/joint/study_limits.h"

#include "app/joint/limit_inputs.h"

namespace app::joint {
namespace {

std::string QuantityOf(Measures measures) {
  switch (measures) {
    case Measures::kConcavity:
      return "concavity_mm";
    case Measures::kConvexity:
      return "crown_height_mm";
    case Measures::kMisalignment:
      return "misalignment_mm";
    case Measures::kWidth:
      return "width_mm";
    default:
      return "";
  }
}

}  // namespace

std::map<std::string, StudyLimit> StudyLimits(const CriteriaSet& set, const Joint& joint, double width_mm) {
  const LimitInputs inputs = LimitInputsOf(joint);
  std::map<std::string, StudyLimit> limits;
  for (const Rule& rule : set.rules) {
    const std::string quantity = QuantityOf(rule.measures);
    if (quantity.empty()) continue;
    const ChosenRow chosen = ChooseRow(rule, inputs);
    if (!chosen.row || chosen.row->does_not_apply) continue;
    const auto limit = Evaluate(*chosen.row, inputs, width_mm);
    if (!limit || !(limit->low_mm > 0)) continue;
    const auto known = limits.find(quantity);
    if (known == limits.end() || limit->low_mm < known->second.value_mm)
      limits[quantity] = {limit->low_mm, set.name + ", " + rule.paragraph};
  }
  return limits;
}

vision::reading::MaxExpandedUncertainty BoundsFor(const CriteriaSet& set, const Joint& joint) {
  const auto limits = StudyLimits(set, joint, joint.insert.width_mm.value_or(0));
  vision::reading::MaxExpandedUncertainty bounds;
  if (const auto crown = limits.find("crown_height_mm"); crown != limits.end())
    bounds.crown_height_mm = kFitShare * crown->second.value_mm;
  if (const auto concavity = limits.find("concavity_mm"); concavity != limits.end())
    bounds.concavity_mm = kFitShare * concavity->second.value_mm;
  return bounds;
}

}  // namespace app::joint
