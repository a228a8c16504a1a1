#include <algorithm>
#include <cctype>
#include <cmath>

#include "app/joint/criteria.h"
#include "vision/base/says.h"

namespace app::joint {
namespace {

using vision::Says;

enum class Holds { kYes, kNo, kUnknown };

std::string Lower(std::string text) {
  std::transform(text.begin(), text.end(), text.begin(), [](unsigned char c) { return std::tolower(c); });
  return text;
}

Holds Check(const std::optional<Range>& range, double value) {
  if (!range) return Holds::kYes;
  if (!std::isfinite(value)) return Holds::kUnknown;
  return range->Holds(value) ? Holds::kYes : Holds::kNo;
}

/// Without an outside diameter the inside one decides where it can: the outside is larger.
Holds CheckDiameter(const std::optional<Range>& range, const LimitInputs& inputs) {
  if (!range || std::isfinite(inputs.od_mm)) return Check(range, inputs.od_mm);
  if (range->from && !range->to && !range->below && !range->over && inputs.id_mm >= *range->from) return Holds::kYes;
  if (range->below && inputs.id_mm >= *range->below) return Holds::kNo;
  return Holds::kUnknown;
}

Holds CheckMaterial(const std::vector<std::string>& parts, const std::string& material) {
  if (parts.empty()) return Holds::kYes;
  const std::string lower = Lower(material);
  for (const std::string& part : parts)
    if (lower.find(Lower(part)) != std::string::npos) return Holds::kYes;
  return Holds::kNo;
}

bool Add(double factor, double value, Says what, double* sum, vision::Reason* missing) {
  if (factor == 0) return true;
  if (!std::isfinite(value)) {
    if (missing) *missing = {what};
    return false;
  }
  *sum += factor * value;
  return true;
}

std::optional<double> ValueOf(const Term& term, const LimitInputs& inputs, double b_mm, vision::Reason* missing) {
  double sum = term.mm;
  const bool known = Add(term.t, inputs.t_mm, Says::kNoWallThickness, &sum, missing) &&
                     Add(term.b, b_mm, Says::kNoWidthThere, &sum, missing) &&
                     Add(term.s, inputs.s_mm, Says::kNoWallThickness, &sum, missing) &&
                     Add(term.cap, inputs.cap_mm, Says::kNoCapHeight, &sum, missing);
  return known ? std::optional(sum) : std::nullopt;
}

bool UsesWidth(const std::vector<Term>& terms) {
  return std::any_of(terms.begin(), terms.end(), [](const Term& term) { return term.b != 0; });
}

}  // namespace

bool Range::Holds(double value_mm) const {
  return (!over || value_mm > *over) && (!from || value_mm >= *from) && (!to || value_mm <= *to) &&
         (!below || value_mm < *below);
}

ChosenRow ChooseRow(const Rule& rule, const LimitInputs& inputs) {
  for (const LimitRow& row : rule.limits) {
    const auto wall = Check(row.t_mm, inputs.t_mm);
    const auto diameter = CheckDiameter(row.outside_diameter_mm, inputs);
    const auto material = CheckMaterial(row.material_contains, inputs.material);
    if (wall == Holds::kNo || diameter == Holds::kNo || material == Holds::kNo) continue;
    if (wall == Holds::kUnknown) return {nullptr, {Says::kNoWallThickness}};
    if (diameter == Holds::kUnknown) return {nullptr, {Says::kNoOutsideDiameter}};
    return {&row, {}};
  }
  return {nullptr, {Says::kNoLimitHere}};
}

std::optional<Limit> EvaluateLeast(const std::vector<Term>& least, const LimitInputs& inputs, double b_mm,
                                   vision::Reason* missing) {
  std::optional<Limit> limit;
  for (const Term& term : least) {
    const auto value = ValueOf(term, inputs, b_mm, missing);
    if (!value) return std::nullopt;
    if (!limit || *value < limit->value_mm) limit = Limit{*value, *value, *value, term.b};
  }
  return limit;
}

std::optional<Limit> Evaluate(const LimitRow& row, const LimitInputs& inputs, double b_mm, vision::Reason* missing) {
  if (row.not_permitted) return Limit{};
  auto limit = EvaluateLeast(row.least, inputs, b_mm, missing);
  if (!limit || row.disputed_least.empty()) return limit;
  const auto other = EvaluateLeast(row.disputed_least, inputs, b_mm, missing);
  if (!other) return std::nullopt;
  limit->low_mm = std::min(limit->value_mm, other->value_mm);
  limit->high_mm = std::max(limit->value_mm, other->value_mm);
  return limit;
}

bool NeedsWidth(const LimitRow& row) { return UsesWidth(row.least) || UsesWidth(row.disputed_least); }

}  // namespace app::joint
