#include "app/viewer/ribbons.h"

#include <algorithm>
#include <cmath>

#include "app/joint/limit_inputs.h"

namespace app::viewer {
namespace {

using joint::Measures;

Measures MeasuresOf(RibbonOf of) {
  switch (of) {
    case RibbonOf::kWidth:
      return Measures::kWidth;
    case RibbonOf::kCrown:
      return Measures::kConvexity;
    case RibbonOf::kConcavity:
      return Measures::kConcavity;
    case RibbonOf::kMisalignment:
      return Measures::kMisalignment;
  }
  return Measures::kNothing;
}

void AddLimit(const joint::Joint& joint, const joint::CriteriaSet& criteria, const vision::reading::Profile& profile,
              Ribbon& ribbon) {
  for (const auto& rule : criteria.rules) {
    if (rule.measures != MeasuresOf(ribbon.of) || rule.judged != joint::Judged::kYes) continue;
    const auto inputs = joint::LimitInputsOf(joint);
    const auto chosen = joint::ChooseRow(rule, inputs);
    if (!chosen.row || chosen.row->does_not_apply) continue;
    ribbon.limit_from = criteria.name + ", " + rule.paragraph;
    for (std::size_t i = 0; i < ribbon.limit_mm.size(); ++i) {
      const auto limit = joint::Evaluate(*chosen.row, inputs, profile.width_mm[i]);
      if (chosen.row->not_permitted)
        ribbon.limit_mm[i] = 0;
      else if (limit)
        ribbon.limit_mm[i] = limit->value_mm;
    }
    return;
  }
}

void SetAxis(Ribbon& ribbon) {
  double low = 0, high = 0.5;
  bool first = true;
  for (std::size_t i = 0; i < ribbon.value_mm.size(); ++i) {
    const double v = ribbon.value_mm[i], u = std::isfinite(ribbon.expanded_mm[i]) ? ribbon.expanded_mm[i] : 0;
    if (!std::isfinite(v)) continue;
    low = first ? v - u : std::min(low, v - u);
    high = first ? v + u : std::max(high, v + u);
    first = false;
  }
  for (double limit : ribbon.limit_mm)
    if (std::isfinite(limit) && limit < 2 * high + 1) low = std::min(low, limit), high = std::max(high, limit);
  ribbon.low_mm = std::floor(2 * low) / 2;
  ribbon.high_mm = std::max(ribbon.low_mm + 0.5, std::ceil(2 * high) / 2);
}

}  // namespace

const char* KeyOf(RibbonOf of) {
  switch (of) {
    case RibbonOf::kWidth:
      return "width_mm";
    case RibbonOf::kCrown:
      return "crown_height_mm";
    case RibbonOf::kConcavity:
      return "concavity_mm";
    case RibbonOf::kMisalignment:
      return "misalignment_mm";
  }
  return "";
}

std::vector<Ribbon> RibbonsOf(const vision::reading::Reading& reading, const joint::Joint& joint,
                              const joint::CriteriaSet& criteria) {
  const auto& p = reading.profile;
  const auto make = [&](RibbonOf of, const std::vector<double>& value, const std::vector<double>& u) {
    Ribbon ribbon;
    ribbon.of = of;
    ribbon.value_mm = value;
    for (double one : u) ribbon.expanded_mm.push_back(2 * one);
    ribbon.limit_mm.assign(value.size(), vision::reading::kNotMeasured);
    ribbon.measured = std::any_of(value.begin(), value.end(), [](double v) { return std::isfinite(v); });
    if (!ribbon.measured)
      for (const auto& why : reading.why)
        if (why.what == KeyOf(of)) ribbon.why = why.reason;
    AddLimit(joint, criteria, p, ribbon);
    SetAxis(ribbon);
    return ribbon;
  };
  std::vector<Ribbon> ribbons{make(RibbonOf::kWidth, p.width_mm, p.width_u_mm),
                              make(RibbonOf::kCrown, p.crown_height_mm, p.crown_height_u_mm),
                              make(RibbonOf::kConcavity, p.concavity_mm, p.concavity_u_mm),
                              make(RibbonOf::kMisalignment, p.misalignment_mm, p.misalignment_u_mm)};
  ribbons[0].by_hand =
      std::any_of(reading.flags.begin(), reading.flags.end(), [](const auto& flag) { return flag.kind == "by_hand"; });
  return ribbons;
}

}  // namespace app::viewer
