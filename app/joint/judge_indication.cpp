#include <algorithm>
#include <cmath>

#include "app/joint/confidence.h"
#include "app/joint/judge_parts.h"
#include "app/joint/window.h"
#include "vision/bore/angle.h"

namespace app::joint {
namespace {

using vision::reading::Indication;

constexpr std::size_t kRingSteps = 7200;  ///< 0.05 degree: lengths on the ring for the allowance.

struct Size {
  double value = NAN, u = NAN;
  bool complete = false;  ///< False: one of two dimensions is missing, so the size may be larger.
};

bool Known(double value, double u) { return std::isfinite(value) && value >= 0 && std::isfinite(u) && u >= 0; }

Size Larger(const Indication& i) {
  const bool length = Known(i.length_mm, i.length_u_mm), width = Known(i.width_mm, i.width_u_mm);
  if (length && (!width || i.length_mm >= i.width_mm)) return {i.length_mm, i.length_u_mm, width};
  if (width) return {i.width_mm, i.width_u_mm, length};
  return {};
}

Size SizeOfIndication(const Indication& i, SizeOf size) {
  if (size == SizeOf::kDiameter) return Larger(i);
  const double value = size == SizeOf::kDepth ? i.depth_mm : i.length_mm;
  const double u = size == SizeOf::kDepth ? i.depth_u_mm : i.length_u_mm;
  return Known(value, u) ? Size{value, u, true} : Size{};
}

const char* SizeName(SizeOf size) {
  if (size == SizeOf::kDepth) return "depth";
  return size == SizeOf::kDiameter ? "diameter" : "length";
}

bool OfRule(const Rule& rule, const Indication& i) {
  const bool kind = std::find(rule.kinds.begin(), rule.kinds.end(), i.kind) != rule.kinds.end();
  return kind || (!rule.iso6520.empty() && i.iso6520 == rule.iso6520);
}

std::vector<const Indication*> Matching(const Rule& rule, const Case& c) {
  std::vector<const Indication*> found;
  for (std::size_t n = 0; n < c.reading.indications.size(); ++n)
    if (OfRule(rule, c.reading.indications[n]) && !c.OverruledOf(Overruled::Of::kIndication, n))
      found.push_back(&c.reading.indications[n]);
  return found;
}

Finding Placed(const Rule& rule, const Indication& i) {
  Finding finding = StartFinding(rule);
  if (std::isfinite(i.theta_deg)) finding.theta_deg = i.theta_deg;
  if (std::isfinite(i.z_mm)) finding.z_mm = i.z_mm;
  return finding;
}

Sentence Place(const Indication& i) {
  return std::isfinite(i.theta_deg) ? Sentence{Says::kAtDegrees, {Fixed(i.theta_deg, 1)}}
                                    : Sentence{Says::kPlaceNotGiven};
}

/// What was measured and overruled: said as both, not judged.
void AddOverruled(const Rule& rule, const Case& c, std::vector<Finding>* findings) {
  for (std::size_t n = 0; n < c.reading.indications.size(); ++n) {
    const Indication& i = c.reading.indications[n];
    const Overruled* overruled = c.OverruledOf(Overruled::Of::kIndication, n);
    if (!overruled || !OfRule(rule, i)) continue;
    Finding finding = Placed(rule, i);
    finding.outcome = Outcome::kOverruled;
    finding.reason = {{Says::kIndicationOverruled, ByWhom({Place(i)}, *overruled)}};
    findings->push_back(finding);
  }
}

Finding NotPermitted(const Rule& rule, const Indication& i) {
  Finding finding = Placed(rule, i);
  const bool sure = !(i.confidence < kLeastConfidence);
  finding.outcome = sure ? Outcome::kBeyond : Outcome::kUndecided;
  finding.reason = {
      {sure ? Says::kNotPermitted : Says::kNotPermittedUncertain, {Place(i), ConfidenceText(i.confidence)}}};
  return finding;
}

Finding Limited(const Rule& rule, const LimitRow& row, const Case& c, const Indication& i) {
  Finding finding = Placed(rule, i);
  const auto& p = c.reading.profile;
  const bool place = std::isfinite(i.theta_deg) && !p.theta_deg.empty();
  const double b = place ? AtLine(p.width_mm, LineAt(i.theta_deg, p.theta_deg.size())) : NAN;
  vision::Reason missing;
  const auto limit = Evaluate(row, c.inputs, b, &missing);
  const Size size = SizeOfIndication(i, *rule.size);
  const std::string name = SizeName(*rule.size);
  if (!limit || !std::isfinite(size.value)) {
    finding.reason = {limit ? Sentence{Says::kSizeNotMeasured, {Place(i), name}}
                            : Sentence{Says::kLimitMissing, {Place(i), missing}}};
    return finding;
  }
  finding.value_mm = size.value;
  finding.u_mm = size.u;
  finding.limit_mm = limit->value_mm;
  finding.outcome = Decide(size.value, size.u, limit->low_mm, limit->high_mm, c.k);
  finding.reason = {
      {Says::kSeenOfSize, {Place(i), name, WithUncertainty(size.value, size.u, c.k), Fixed(limit->value_mm, 3)}}};
  if (finding.outcome == Outcome::kWithin && !size.complete) finding.outcome = Outcome::kNotMeasured;
  if (finding.outcome == Outcome::kBeyond && i.confidence < kLeastConfidence) {
    finding.outcome = Outcome::kUndecided;
    finding.reason.push_back({Says::kConfidenceTooLow, {ConfidenceText(i.confidence)}});
  }
  return finding;
}

void MarkArc(const Indication& i, double circumference_mm, std::vector<bool>* flags) {
  const double n = static_cast<double>(flags->size());
  const double half = std::min(0.5, i.length_mm / 2 / circumference_mm) * n;
  const double middle = vision::bore::Wrap360(i.theta_deg) / 360 * n;
  const auto from = static_cast<long>(std::lround(middle - half)), to = static_cast<long>(std::lround(middle + half));
  for (long step = from; step < to; ++step)
    (*flags)[static_cast<std::size_t>((step % static_cast<long>(flags->size()) + static_cast<long>(flags->size())) %
                                      static_cast<long>(flags->size()))] = true;
}

void AddLengthFinding(const Rule& rule, const LimitRow& row, const Case& c, const std::vector<const Indication*>& seen,
                      std::vector<Finding>* findings) {
  std::vector<bool> flags(kRingSteps, false);
  double u = 0;
  for (const Indication* i : seen) {
    if (!Known(i->length_mm, i->length_u_mm) || !std::isfinite(i->theta_deg)) continue;
    MarkArc(*i, c.circumference_mm, &flags);
    u = std::hypot(u, i->length_u_mm);
  }
  const double allowed = AllowedMm(*row.allowance, c.circumference_mm);
  const double most = MostInWindow(flags, c.circumference_mm, row.allowance->window_mm.value_or(c.circumference_mm));
  Finding finding = StartFinding(rule);
  finding.outcome = Decide(most, u, allowed, allowed, c.k);
  if (finding.outcome == Outcome::kWithin) return;
  finding.value_mm = most;
  finding.u_mm = u;
  finding.limit_mm = allowed;
  finding.reason = {{Says::kLengthTogether, {WithUncertainty(most, u, c.k), Fixed(allowed, 1)}}};
  findings->push_back(finding);
}

void AddSumFinding(const Rule& rule, const Case& c, const std::vector<const Indication*>& seen,
                   std::vector<Finding>* findings) {
  std::vector<SizedPlace> places;
  for (const Indication* i : seen) {
    const Size size = SizeOfIndication(*i, rule.size.value_or(SizeOf::kDiameter));
    if (!std::isfinite(size.value) || !std::isfinite(i->theta_deg) || size.value <= rule.sum->ignore_to_mm) continue;
    places.push_back({vision::bore::Wrap360(i->theta_deg) / 360 * c.circumference_mm, size.value, size.u});
  }
  const WindowSum sum = LargestSumInWindow(places, c.circumference_mm, rule.sum->window_mm);
  Finding finding = StartFinding(rule);
  finding.outcome = Decide(sum.sum_mm, sum.u_mm, rule.sum->total_mm, rule.sum->total_mm, c.k);
  if (finding.outcome == Outcome::kWithin) return;
  finding.theta_deg = 360 * sum.from_mm / c.circumference_mm;
  finding.end_theta_deg = 360 * sum.to_mm / c.circumference_mm;
  finding.value_mm = sum.sum_mm;
  finding.u_mm = sum.u_mm;
  finding.limit_mm = rule.sum->total_mm;
  finding.reason = {
      {Says::kSumInWindow,
       {Fixed(rule.sum->window_mm, 1), WithUncertainty(sum.sum_mm, sum.u_mm, c.k), Fixed(rule.sum->total_mm, 2)}}};
  findings->push_back(finding);
}

/// A reading lists what was seen and what was searched; how surely a search finds a flaw of its smallest size is not
/// proven by a probability of detection. Absence is never "within".
Finding NotSearched(const Rule& rule, const Case& c, std::size_t seen) {
  Finding finding = StartFinding(rule);
  std::vector<vision::Argument> args;
  if (seen > 0) args.emplace_back(seen);
  const bool resolved = std::isfinite(c.reading.strip.resolution_mm);
  if (resolved) args.emplace_back(Fixed(c.reading.strip.resolution_mm, 2));
  finding.reason = {{seen == 0 ? (resolved ? Says::kNoneReportedAt : Says::kNoneReported)
                               : (resolved ? Says::kReportedAt : Says::kReported),
                     args}};
  auto searched = SearchedFor(rule.kinds, c.reading);
  if (searched.empty()) searched.push_back({Says::kNotSaidSearched});
  finding.reason.insert(finding.reason.end(), searched.begin(), searched.end());
  if (const vision::Reason why = WhyOf(c.reading, {"indications"}); !why.empty()) finding.reason.push_back(why);
  return finding;
}

void AddEach(const Rule& rule, const LimitRow& row, const Case& c, const std::vector<const Indication*>& seen,
             std::vector<Finding>* findings) {
  for (const Indication* i : seen) {
    const Finding finding = row.not_permitted ? NotPermitted(rule, *i) : Limited(rule, row, c, *i);
    if (finding.outcome != Outcome::kWithin) findings->push_back(finding);
  }
}

}  // namespace

void JudgeIndications(const Rule& rule, const Case& c, std::vector<Finding>* findings) {
  Finding finding = StartFinding(rule);
  const LimitRow* row = RowOrFinding(rule, c, findings);
  if (!row) return;
  AddOverruled(rule, c, findings);
  const auto seen = Matching(rule, c);
  AddEach(rule, *row, c, seen, findings);
  if (!seen.empty() && c.circumference_mm > 0) {
    if (row->allowance) AddLengthFinding(rule, *row, c, seen, findings);
    if (rule.sum) AddSumFinding(rule, c, seen, findings);
  }
  findings->push_back(NotSearched(rule, c, seen.size()));
}

}  // namespace app::joint
