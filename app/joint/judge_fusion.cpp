#include <algorithm>
#include <cmath>

#include "app/joint/confidence.h"
#include "app/joint/judge_parts.h"
#include "vision/bore/angle.h"

namespace app::joint {
namespace {

using vision::bore::Arc;
using vision::reading::Fusion;
using vision::reading::UnfusedRun;

/// One edge of the insert, as the reading has it.
struct Side {
  std::string name;   ///< left | right
  std::string piece;  ///< For people.
  const std::vector<Fusion>& fusion;
};

bool OfSide(const UnfusedRun& run, const Side& side) {
  return run.side == side.name || (run.side != "left" && run.side != "right");
}

bool HasPlace(const UnfusedRun& run) { return std::isfinite(run.start_deg) && std::isfinite(run.end_deg); }

/// The runs of one side that have a place, those overruled by a person or those that are not.
std::vector<const UnfusedRun*> RunsOf(const Case& c, const Side& side, bool overruled) {
  std::vector<const UnfusedRun*> runs;
  for (std::size_t i = 0; i < c.reading.unfused.size(); ++i) {
    const UnfusedRun& run = c.reading.unfused[i];
    if (OfSide(run, side) && HasPlace(run) && (c.OverruledOf(Overruled::Of::kRun, i) != nullptr) == overruled)
      runs.push_back(&run);
  }
  return runs;
}

void FlagRun(const UnfusedRun& run, bool flag, std::vector<bool>* flags) {
  const std::size_t n = flags->size();
  if (n == 0) return;
  const Arc arc = vision::bore::ArcBetween(run.start_deg, run.end_deg);
  (*flags)[LineAt(run.start_deg, n)] = flag;
  for (std::size_t i = 0; i < n; ++i)
    if (arc.HoldsLine(360.0 * static_cast<double>(i) / static_cast<double>(n))) (*flags)[i] = flag;
}

std::vector<bool> UnfusedFlags(const Case& c, const Side& side, std::size_t n) {
  std::vector<bool> flags(n, false);
  for (std::size_t i = 0; i < n; ++i) flags[i] = i < side.fusion.size() && side.fusion[i] == Fusion::kUnfused;
  for (const UnfusedRun* run : RunsOf(c, side, true)) FlagRun(*run, false, &flags);
  for (const UnfusedRun* run : RunsOf(c, side, false)) FlagRun(*run, true, &flags);
  return flags;
}

/// Best confidence of the reading's runs that meet the arc; NaN where only the station lines say it.
double Confidence(const Case& c, const Side& side, const Arc& arc) {
  double best = NAN;
  for (const UnfusedRun* run : RunsOf(c, side, false))
    if (vision::bore::ArcBetween(run->start_deg, run->end_deg).Meets(arc))
      best = std::fmax(best, run->confidence);  // of a number and NaN it is the number
  return best;
}

Finding RunFinding(const Rule& rule, const Case& c, const Side& side, const Arc& arc, std::size_t lines) {
  Finding finding = StartFinding(rule);
  const double confidence = Confidence(c, side, arc);
  finding.outcome = confidence < kLeastConfidence ? Outcome::kUndecided : Outcome::kBeyond;
  finding.theta_deg = arc.start_deg;
  finding.end_theta_deg = arc.end_deg();
  const auto& toe = side.name == "left" ? c.reading.profile.left_toe_z_mm : c.reading.profile.right_toe_z_mm;
  const double z = AtLine(toe, LineAt(arc.start_deg + arc.length_deg / 2, lines));
  if (std::isfinite(z)) finding.z_mm = z;
  finding.reason = {{Says::kEdgeVisible,
                     {side.piece, Fixed(arc.start_deg, 1), Fixed(arc.end_deg(), 1),
                      Fixed(c.circumference_mm * arc.length_deg / 360, 1), ConfidenceText(confidence)}}};
  if (finding.outcome == Outcome::kUndecided) finding.reason.push_back({Says::kTooUncertain});
  return finding;
}

std::size_t NotVisible(const Case& c, const Side& side, std::vector<bool> answered) {
  for (const UnfusedRun* run : RunsOf(c, side, true)) FlagRun(*run, true, &answered);
  std::size_t count = 0;
  for (std::size_t i = 0; i < answered.size(); ++i) {
    const bool fused = i < side.fusion.size() && side.fusion[i] == Fusion::kFused;
    if (!fused && !answered[i]) ++count;
  }
  return count;
}

/// What was measured and overruled: said as both, not judged.
Finding OverruledFinding(const Rule& rule, const Case& c, const UnfusedRun& run, const Overruled& overruled) {
  Finding finding = StartFinding(rule);
  finding.outcome = Outcome::kOverruled;
  finding.theta_deg = run.start_deg;
  finding.end_theta_deg = run.end_deg;
  finding.reason = {
      {Says::kEdgeOverruled, ByWhom({run.side == "right" ? c.joint.b.name : c.joint.a.name, Fixed(run.start_deg, 1),
                                     Fixed(run.end_deg, 1), Fixed(run.arc_mm, 1)},
                                    overruled)}};
  return finding;
}

/// @return How many.
std::size_t AddOverruled(const Rule& rule, const Case& c, std::vector<Finding>* findings) {
  std::size_t count = 0;
  for (std::size_t i = 0; i < c.reading.unfused.size(); ++i)
    if (const Overruled* overruled = c.OverruledOf(Overruled::Of::kRun, i))
      findings->push_back(OverruledFinding(rule, c, c.reading.unfused[i], *overruled)), ++count;
  return count;
}

Finding NotVisibleFinding(const Rule& rule, const Case& c, const Side& side, std::size_t count, std::size_t lines) {
  Finding finding = StartFinding(rule);
  const double degrees = lines == 0 ? 360 : 360.0 * static_cast<double>(count) / static_cast<double>(lines);
  const vision::Reason why = WhyOf(c.reading, {"fusion_" + side.name});
  if (why.empty())
    finding.reason = {{Says::kEdgeNotVisible, {side.piece, Fixed(degrees, 1)}}};
  else
    finding.reason = {{Says::kEdgeNotVisibleSince, {side.piece, Fixed(degrees, 1), why}}};
  return finding;
}

void JudgeSide(const Rule& rule, const Case& c, const Side& side, std::vector<Finding>* findings) {
  const std::size_t lines = c.reading.profile.theta_deg.size();
  const auto flags = UnfusedFlags(c, side, lines);
  for (const Arc& arc : vision::bore::RunsOnCircle(flags)) findings->push_back(RunFinding(rule, c, side, arc, lines));
  const std::size_t hidden = NotVisible(c, side, flags);
  if (hidden > 0 || lines == 0) findings->push_back(NotVisibleFinding(rule, c, side, hidden, lines));
}

}  // namespace

void JudgeFusion(const Rule& rule, const Case& c, std::vector<Finding>* findings) {
  Finding finding = StartFinding(rule);
  const LimitRow* row = RowOrFinding(rule, c, findings);
  if (!row) return;
  const std::size_t overruled = AddOverruled(rule, c, findings), before = findings->size();
  for (std::size_t i = 0; i < c.reading.unfused.size(); ++i) {
    const UnfusedRun& run = c.reading.unfused[i];
    if (HasPlace(run) && !c.reading.profile.theta_deg.empty()) continue;
    if (c.OverruledOf(Overruled::Of::kRun, i)) continue;
    finding.outcome = Outcome::kBeyond;
    finding.reason = {{Says::kEdgeSomewhere}};
    if (HasPlace(run)) finding.reason = {{Says::kEdgeFromTo, {Fixed(run.start_deg, 1), Fixed(run.end_deg, 1)}}};
    findings->push_back(finding);
  }
  JudgeSide(rule, c, {"left", c.joint.a.name, c.reading.profile.fusion_left}, findings);
  JudgeSide(rule, c, {"right", c.joint.b.name, c.reading.profile.fusion_right}, findings);
  if (findings->size() > before) return;
  finding.outcome = Outcome::kWithin;
  finding.reason = SearchedFor({"unfused"}, c.reading);
  finding.reason.insert(finding.reason.begin(), {overruled == 0 ? Says::kNoEdgeVisible : Says::kEveryEdgeOverruled});
  findings->push_back(finding);
}

}  // namespace app::joint
