#include <algorithm>
#include <cmath>

#include "app/joint/judge_parts.h"
#include "app/joint/study_limits.h"
#include "app/joint/window.h"

namespace app::joint {
namespace {

using vision::reading::Profile;

/// One station line: what was measured against what.
struct Line {
  double value = NAN, u = NAN;
  Limit limit;
  Outcome outcome = Outcome::kNotMeasured;
  bool surely_over = false, perhaps_over = false;  ///< Counts for the allowance.
};

double Lesser(double a, double b) { return std::isfinite(a) && std::isfinite(b) ? std::min(a, b) : NAN; }
double Greater(double a, double b) { return std::isfinite(a) && std::isfinite(b) ? std::max(a, b) : NAN; }

double OfDatum(HeightDatum datum, double chord, double left, double right) {
  if (datum == HeightDatum::kEachSideLesser) return Lesser(left, right);
  return datum == HeightDatum::kEachSideGreater ? Greater(left, right) : chord;
}

double ValueAt(const Rule& rule, const Profile& p, std::size_t i) {
  switch (rule.measures) {
    case Measures::kConcavity:
      return OfDatum(rule.datum, AtLine(p.concavity_mm, i), AtLine(p.concavity_under_left_mm, i),
                     AtLine(p.concavity_under_right_mm, i));
    case Measures::kConvexity:
      return OfDatum(rule.datum, AtLine(p.crown_height_mm, i), AtLine(p.crown_over_left_mm, i),
                     AtLine(p.crown_over_right_mm, i));
    case Measures::kMisalignment:
      return std::abs(AtLine(p.misalignment_mm, i));
    default:
      return AtLine(p.width_mm, i);
  }
}

double UncertaintyAt(const Rule& rule, const Profile& p, std::size_t i) {
  switch (rule.measures) {
    case Measures::kConcavity:
      return AtLine(p.concavity_u_mm, i);
    case Measures::kConvexity:
      return AtLine(p.crown_height_u_mm, i);
    case Measures::kMisalignment:
      return AtLine(p.misalignment_u_mm, i);
    default:
      return AtLine(p.width_u_mm, i);
  }
}

std::vector<std::string> Names(const Rule& rule) {
  const bool sides = rule.datum == HeightDatum::kEachSideLesser || rule.datum == HeightDatum::kEachSideGreater;
  switch (rule.measures) {
    case Measures::kConcavity:
      if (sides) return {"concavity_under_left_mm", "concavity_under_right_mm", "concavity_mm"};
      return {"concavity_mm"};
    case Measures::kConvexity:
      if (sides) return {"crown_over_left_mm", "crown_over_right_mm", "crown_height_mm"};
      return {"crown_height_mm"};
    case Measures::kMisalignment:
      return {"misalignment_mm"};
    default:
      return {"width_mm"};
  }
}

void CountForAllowance(const Allowance& allowance, const Case& c, double b, Line* line) {
  double over = 0;
  if (!allowance.over_least.empty()) {
    const auto limit = EvaluateLeast(allowance.over_least, c.inputs, b);
    if (!limit) return;
    over = limit->value_mm;
  }
  line->surely_over = line->value - c.k * line->u > over;
  line->perhaps_over = line->value > 0 && line->value + c.k * line->u > over;
}

Line MeasureLine(const Rule& rule, const LimitRow& row, const Case& c, std::size_t i, vision::Reason* missing) {
  const Profile& p = c.reading.profile;
  Line line;
  const double width = AtLine(p.width_mm, i), width_u = AtLine(p.width_u_mm, i);
  const double b = std::isfinite(width_u) && width_u >= 0 ? width : NAN;
  const auto limit = Evaluate(row, c.inputs, b, missing);
  if (!limit) return line;
  line.limit = *limit;
  line.value = ValueAt(rule, p, i);
  line.u = UncertaintyAt(rule, p, i);
  if (limit->per_b != 0 && line.u >= 0) line.u = std::hypot(line.u, limit->per_b * width_u);
  line.outcome = Decide(line.value, line.u, limit->low_mm, limit->high_mm, c.k);
  if (row.allowance && line.outcome != Outcome::kNotMeasured) CountForAllowance(*row.allowance, c, b, &line);
  return line;
}

/// Outcomes ordered by how much they weigh for the worst place.
int Weight(Outcome outcome) {
  if (outcome == Outcome::kBeyond) return 3;
  if (outcome == Outcome::kUndecided) return 2;
  return outcome == Outcome::kWithin ? 1 : 0;
}

std::size_t WorstLine(const std::vector<Line>& lines) {
  const auto worse = [](const Line& a, const Line& b) {
    if (Weight(a.outcome) != Weight(b.outcome)) return Weight(a.outcome) < Weight(b.outcome);
    return Weight(a.outcome) > 0 && a.value - a.limit.value_mm < b.value - b.limit.value_mm;
  };
  return static_cast<std::size_t>(std::max_element(lines.begin(), lines.end(), worse) - lines.begin());
}

void SetWorst(const Line& line, const Case& c, std::size_t i, const LimitRow& row, Finding* finding) {
  const Profile& p = c.reading.profile;
  finding->outcome = line.outcome;
  finding->value_mm = line.value;
  finding->u_mm = line.u;
  finding->limit_mm = line.limit.value_mm;
  finding->theta_deg = 360.0 * static_cast<double>(i) / static_cast<double>(p.theta_deg.size());
  if (std::isfinite(AtLine(p.theta_deg, i))) finding->theta_deg = p.theta_deg[i];
  const double z = (AtLine(p.left_toe_z_mm, i) + AtLine(p.right_toe_z_mm, i)) / 2;
  if (std::isfinite(z)) finding->z_mm = z;
  std::vector<vision::Argument> args{Fixed(*finding->theta_deg, 1), WithUncertainty(line.value, line.u, c.k)};
  if (!row.not_permitted) args.emplace_back(Fixed(line.limit.value_mm, 3));
  const bool disputed = !row.not_permitted && line.limit.low_mm != line.limit.high_mm;
  if (disputed) args.emplace_back(Fixed(line.limit.low_mm, 3)), args.emplace_back(Fixed(line.limit.high_mm, 3));
  finding->reason = {
      {row.not_permitted ? Says::kWorstNonePermitted : (disputed ? Says::kWorstDisputed : Says::kWorst), args}};
}

std::vector<bool> Flags(const std::vector<Line>& lines, bool Line::*flag) {
  std::vector<bool> flags;
  for (const Line& line : lines) flags.push_back(line.*flag);
  return flags;
}

void ApplyAllowance(const LimitRow& row, const Case& c, const std::vector<Line>& lines, Finding* finding) {
  if (!row.allowance || finding->outcome == Outcome::kBeyond) return;
  const double allowed = AllowedMm(*row.allowance, c.circumference_mm);
  const double window = row.allowance->window_mm.value_or(c.circumference_mm);
  const double sure = MostInWindow(Flags(lines, &Line::surely_over), c.circumference_mm, window);
  const double perhaps = MostInWindow(Flags(lines, &Line::perhaps_over), c.circumference_mm, window);
  const Sentence where = row.allowance->window_mm
                             ? Sentence{Says::kInWorstOfRing, {Fixed(std::min(window, c.circumference_mm), 0)}}
                             : Sentence{Says::kOfWholeRing};
  if (sure > allowed) {
    finding->outcome = Outcome::kBeyond;
    finding->reason.push_back({Says::kTooLong, {Fixed(sure, 1), where, Fixed(allowed, 1)}});
  } else if (perhaps > allowed) {
    finding->outcome = Outcome::kUndecided;
    finding->reason.push_back({Says::kLengthNotDecided, {Fixed(perhaps, 1), where, Fixed(allowed, 1)}});
  }
}

vision::Reason Unmeasured(const Rule& rule, const Case& c, const vision::Reason& missing) {
  if (!missing.empty()) return missing;
  const vision::Reason why = WhyOf(c.reading, Names(rule));
  if (!why.empty()) return why;
  const bool heights = rule.measures != Measures::kWidth;
  return {heights && !c.reading.height_by ? Says::kHeightsNotMeasured : Says::kNoNumberThere};
}

/// Says over how much of the ring the heights are too uncertain for their limit, by the rule that a quarter of it is
/// the worst that is fit. The outcome itself already keeps clear of the limit by k * u.
void SayWhereUnfit(const Rule& rule, const Case& c, const std::vector<Line>& lines, Finding* finding) {
  if (rule.measures != Measures::kConcavity && rule.measures != Measures::kConvexity) return;
  std::size_t unfit = 0;
  double worst_mm = 0, share_mm = 0;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const double expanded_mm = c.k * UncertaintyAt(rule, c.reading.profile, i);
    if (lines[i].outcome == Outcome::kNotMeasured || !(expanded_mm > kFitShare * lines[i].limit.low_mm)) continue;
    ++unfit;
    if (expanded_mm > worst_mm) worst_mm = expanded_mm, share_mm = kFitShare * lines[i].limit.low_mm;
  }
  if (unfit == 0) return;
  const double degrees = 360.0 * static_cast<double>(unfit) / static_cast<double>(lines.size());
  finding->reason.push_back({Says::kNotFit, {Fixed(degrees, 1), Fixed(worst_mm, 2), Fixed(share_mm, 2)}});
}

/// Within holds only for the whole ring; where a part is missing the finding says how much was measured, and why.
void ApplyCoverage(const Rule& rule, const Case& c, std::size_t measured, std::size_t lines,
                   const vision::Reason& missing, Finding* finding) {
  if (measured == lines && lines > 0) return;
  const double degrees = lines == 0 ? 0 : 360.0 * static_cast<double>(measured) / static_cast<double>(lines);
  const vision::Reason why = Unmeasured(rule, c, missing);
  if (measured == 0) {
    finding->outcome = Outcome::kNotMeasured;
    finding->reason = {{Says::kNotMeasured, {why}}};
    return;
  }
  if (finding->outcome == Outcome::kWithin) finding->outcome = Outcome::kNotMeasured;
  finding->reason.push_back({Says::kMeasuredInPart, {Fixed(degrees, 1), why}});
}

}  // namespace

void JudgeProfile(const Rule& rule, const Case& c, std::vector<Finding>* findings) {
  Finding finding = StartFinding(rule);
  const LimitRow* row = RowOrFinding(rule, c, findings);
  if (!row) return;
  std::vector<Line> lines;
  vision::Reason missing;
  std::size_t measured = 0;
  for (std::size_t i = 0; i < c.reading.profile.theta_deg.size(); ++i) {
    lines.push_back(MeasureLine(rule, *row, c, i, &missing));
    measured += lines.back().outcome != Outcome::kNotMeasured ? 1 : 0;
  }
  if (measured > 0) {
    const std::size_t worst = WorstLine(lines);
    SetWorst(lines[worst], c, worst, *row, &finding);
    ApplyAllowance(*row, c, lines, &finding);
    SayWhereUnfit(rule, c, lines, &finding);
  }
  ApplyCoverage(rule, c, measured, lines.size(), missing, &finding);
  findings->push_back(finding);
}

}  // namespace app::joint
