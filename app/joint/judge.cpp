#include <algorithm>
#include <cmath>
#include <cstdio>
#include <numbers>

#include "app/joint/judge_parts.h"
#include "app/joint/limit_inputs.h"
#include "app/joint/pipe_table.h"
#include "vision/bore/angle.h"

namespace app::joint {
namespace {

using vision::reading::Reading;
using vision::reading::Why;

Case MakeCase(const Reading& reading, const Joint& joint, double k, const std::vector<Overruled>& overruled) {
  Case c{reading, joint, LimitInputsOf(joint), 0, k, overruled};
  const bool measured = std::isfinite(reading.bore_radius_mm) && reading.bore_radius_mm > 0;
  const double radius = measured ? reading.bore_radius_mm : joint.pipe.inside_diameter.value_mm / 2;
  c.circumference_mm = 2 * std::numbers::pi * radius;
  return c;
}

void JudgeRule(const Rule& rule, const Case& c, std::vector<Finding>* findings) {
  Finding finding = StartFinding(rule);
  if (!rule.reason.empty()) finding.reason = {vision::AsSaid(rule.reason)};
  if (rule.judged == Judged::kAnnotated) finding.outcome = Outcome::kAnnotated;
  if (rule.judged == Judged::kYes && !c.reading.weld_found)
    finding.reason = {{Says::kNotMeasured, {Says::kNoWeldWasFound}}};
  if (rule.judged != Judged::kYes || !c.reading.weld_found) {
    findings->push_back(finding);
    return;
  }
  switch (rule.measures) {
    case Measures::kInsertFusion:
      return JudgeFusion(rule, c, findings);
    case Measures::kIndication:
      return JudgeIndications(rule, c, findings);
    default:
      return JudgeProfile(rule, c, findings);
  }
}

const Finding* First(const std::vector<Finding>& findings, Outcome outcome) {
  const auto found =
      std::find_if(findings.begin(), findings.end(), [outcome](const Finding& f) { return f.outcome == outcome; });
  return found == findings.end() ? nullptr : &*found;
}

double Used(const Finding& f) { return f.value_mm && f.limit_mm && *f.limit_mm > 0 ? *f.value_mm / *f.limit_mm : -1; }

/// The rule within its limit by least.
const Finding* Nearest(const std::vector<Finding>& findings) {
  const Finding* nearest = nullptr;
  for (const Finding& f : findings) {
    if (f.outcome != Outcome::kWithin) continue;
    if (!nearest || Used(f) > Used(*nearest)) nearest = &f;
  }
  return nearest;
}

std::vector<Sentence> Notes(const Case& c, const CriteriaSet& set) {
  const Reading& reading = c.reading;
  const Joint& joint = c.joint;
  std::vector<Sentence> notes;
  if (!c.overruled.empty()) notes.push_back({Says::kOverruledCount, {c.overruled.size()}});
  if (!reading.calibrated)
    notes.push_back(reading.calibration_note.empty()
                        ? Sentence{Says::kVerdictIndicative}
                        : Sentence{Says::kVerdictIndicativeSince, {reading.calibration_note}});
  if (reading.angles != "joint") notes.push_back({Says::kAnglesRelative});
  const Sized& bore = joint.pipe.inside_diameter;
  if (bore.value_mm > 0 && 2 * bore.u_mm / bore.value_mm > 0.005) notes.push_back(BoreUncertaintySentence(joint.pipe));
  if (!set.note.empty()) notes.push_back(vision::AsSaid(set.note));
  return notes;
}

bool Whole(double degrees) { return std::isfinite(degrees) && degrees >= 359.75; }

std::string Degrees(double degrees) { return std::isfinite(degrees) ? Fixed(degrees, 0) : "an unknown number"; }

}  // namespace

const Overruled* Case::OverruledOf(Overruled::Of of, std::size_t index) const {
  const auto found = std::find_if(overruled.begin(), overruled.end(),
                                  [&](const Overruled& one) { return one.of == of && one.index == index; });
  return found == overruled.end() ? nullptr : &*found;
}

std::vector<vision::Argument> ByWhom(std::vector<vision::Argument> before, const Overruled& overruled) {
  before.emplace_back(overruled.by.empty() ? "a person" : overruled.by);
  before.emplace_back(overruled.when);
  before.emplace_back(overruled.why.empty() ? "no reason given" : overruled.why);
  return before;
}

Finding StartFinding(const Rule& rule) {
  Finding finding;
  finding.rule_id = rule.id;
  finding.title = rule.title;
  finding.iso6520 = rule.iso6520;
  finding.paragraph = rule.paragraph;
  finding.how_known = rule.how_known;
  if (rule.datum == HeightDatum::kChord) finding.datum = WordsOf(Says::kFromChord);
  if (rule.datum == HeightDatum::kEachSideLesser) finding.datum = WordsOf(Says::kFromLesser);
  if (rule.datum == HeightDatum::kEachSideGreater) finding.datum = WordsOf(Says::kFromGreater);
  return finding;
}

const LimitRow* RowOrFinding(const Rule& rule, const Case& the_case, std::vector<Finding>* findings) {
  const ChosenRow chosen = ChooseRow(rule, the_case.inputs);
  if (chosen.row && !chosen.row->does_not_apply) return chosen.row;
  Finding finding = StartFinding(rule);
  finding.outcome = chosen.row ? Outcome::kAnnotated : Outcome::kNotMeasured;
  finding.reason = {chosen.row ? Sentence{Says::kDoesNotApply} : Sentence{Says::kNotJudged, {chosen.why_none}}};
  findings->push_back(finding);
  return nullptr;
}

std::string Fixed(double value, int digits) {
  char text[64];
  std::snprintf(text, sizeof text, "%.*f", digits, value);
  return text;
}

std::string WithUncertainty(double value_mm, double u_mm, double k) {
  return Fixed(value_mm, 2) + " mm +/- " + Fixed(k * u_mm, 2) + " mm (k = " + Fixed(k, 0) + ")";
}

vision::Reason WhyOf(const Reading& reading, const std::vector<std::string>& whats) {
  const Why* longest = nullptr;
  const auto length = [](const Why& why) {
    const double arc = vision::bore::Wrap360(why.end_deg - why.start_deg);
    return arc == 0 ? 360.0 : arc;
  };
  for (const Why& why : reading.why) {
    if (std::find(whats.begin(), whats.end(), why.what) == whats.end()) continue;
    if (!longest || length(why) > length(*longest)) longest = &why;
  }
  return longest ? longest->reason : vision::Reason();
}

namespace {
Sentence SearchOf(const vision::reading::Searched& s) {
  const vision::Argument name = s.kind == "unfused" ? "short unfused arcs" : s.kind;
  const Sentence at_toe{s.side == "left" ? Says::kAtToeA : Says::kAtToeB, {name}};
  const vision::Argument what = s.side.empty() ? name : at_toe;
  const std::string degrees = Fixed(s.degrees, 0);
  const Sentence far = std::isfinite(s.smallest_mm)
                           ? Sentence{Says::kOfTheRingDownTo, {degrees, s.size, Fixed(s.smallest_mm, 2)}}
                           : Sentence{Says::kOfTheRing, {degrees}};
  return s.why.empty() ? Sentence{Says::kSearchedFor, {what, far}}
                       : Sentence{Says::kSearchedInPart, {what, far, s.why}};
}
}  // namespace

std::vector<Sentence> SearchedFor(const std::vector<std::string>& kinds, const Reading& reading) {
  std::vector<Sentence> said;
  for (const auto& s : reading.searched)
    if (std::find(kinds.begin(), kinds.end(), s.kind) != kinds.end()) said.push_back(SearchOf(s));
  return said;
}

double AllowedMm(const Allowance& allowance, double circumference_mm) {
  const bool by_share =
      allowance.share && (!allowance.total_mm || (allowance.window_mm && circumference_mm < *allowance.window_mm));
  return by_share ? *allowance.share * circumference_mm : allowance.total_mm.value_or(0);
}

double AtLine(const std::vector<double>& numbers, std::size_t line) {
  return line < numbers.size() ? numbers[line] : NAN;
}

std::size_t LineAt(double theta_deg, std::size_t lines) {
  return static_cast<std::size_t>(std::lround(vision::bore::Wrap360(theta_deg) / 360 * static_cast<double>(lines))) %
         lines;
}

Finding JudgeCoverage(const Case& c) {
  Finding finding;
  finding.rule_id = "coverage";
  finding.title = "Coverage all round";
  finding.paragraph = "zone: the weld and 12.7 mm each side (T9074-AS-GIB-010/271, chapter 8)";
  const auto& seen = c.reading.coverage_deg;
  const bool whole = c.reading.weld_found && Whole(seen.left) && Whole(seen.right) && Whole(seen.zone);
  finding.outcome = whole ? Outcome::kWithin : Outcome::kNotMeasured;
  finding.reason = {
      {Says::kExamined, {c.joint.a.name, Degrees(seen.left), c.joint.b.name, Degrees(seen.right), Degrees(seen.zone)}}};
  if (!whole) finding.reason.push_back({Says::kNotShownNotExamined});
  return finding;
}

Outcome Decide(double value, double u, double low, double high, double k) {
  if (!std::isfinite(value) || !std::isfinite(u) || u < 0 || !std::isfinite(low) || !std::isfinite(high))
    return Outcome::kNotMeasured;
  if (value <= low && (u == 0 || low - value > k * u)) return Outcome::kWithin;
  if (value > high && value - high > k * u) return Outcome::kBeyond;
  return Outcome::kUndecided;
}

void Dispose(Verdict* verdict) {
  const Finding* beyond = First(verdict->findings, Outcome::kBeyond);
  const Finding* open = First(verdict->findings, Outcome::kUndecided);
  if (!open) open = First(verdict->findings, Outcome::kNotMeasured);
  const bool any_rule = std::any_of(verdict->findings.begin(), verdict->findings.end(), [](const Finding& f) {
    return f.outcome == Outcome::kWithin && f.rule_id != "coverage";
  });
  if (beyond) {
    verdict->disposition = "proposed: not accepted";
    verdict->decided_by = beyond->title;
    verdict->exit_code = 1;
  } else if (open || !any_rule) {
    verdict->disposition = "proposed: not decided";
    verdict->decided_by = open ? open->title : std::string(WordsOf(Says::kNoRuleJudged));
    verdict->exit_code = 3;
  } else {
    verdict->disposition = "proposed: within";
    verdict->decided_by = Nearest(verdict->findings)->title;
    verdict->exit_code = 0;
  }
}

Verdict Judge(const Reading& reading, const Joint& joint, const CriteriaSet& set, double k,
              const std::vector<Overruled>& overruled) {
  const Case c = MakeCase(reading, joint, k, overruled);
  Verdict verdict;
  verdict.criterion = set.name;
  verdict.standard = set.standard;
  verdict.edition = set.edition;
  verdict.k = k;
  for (const Rule& rule : set.rules) JudgeRule(rule, c, &verdict.findings);
  verdict.findings.push_back(JudgeCoverage(c));
  verdict.notes = Notes(c, set);
  Dispose(&verdict);
  return verdict;
}

}  // namespace app::joint
