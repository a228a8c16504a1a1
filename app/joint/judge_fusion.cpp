#include <algorithm>
#include <cmath>

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

std::vector<bool> UnfusedFlags(const Case& c, const Side& side, std::size_t n) {
  std::vector<bool> flags(n, false);
  for (std::size_t i = 0; i < n; ++i) flags[i] = i < side.fusion.size() && side.fusion[i] == Fusion::kUnfused;
  for (const UnfusedRun& run : c.reading.unfused) {
    if (!OfSide(run, side) || !HasPlace(run)) continue;
    const Arc arc = vision::bore::ArcBetween(run.start_deg, run.end_deg);
    flags[LineAt(run.start_deg, n)] = true;
    for (std::size_t i = 0; i < n; ++i)
      if (arc.HoldsLine(360.0 * static_cast<double>(i) / static_cast<double>(n))) flags[i] = true;
  }
  return flags;
}

/// Best confidence of the reading's runs that meet the arc; 1 where only the station lines say it.
double Confidence(const Case& c, const Side& side, const Arc& arc) {
  double best = -1;
  for (const UnfusedRun& run : c.reading.unfused)
    if (OfSide(run, side) && HasPlace(run) && vision::bore::ArcBetween(run.start_deg, run.end_deg).Meets(arc))
      best = std::max(best, std::isfinite(run.confidence) ? run.confidence : 1.0);
  return best < 0 ? 1.0 : best;
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
  finding.reason = "Original edge visible on the side of " + side.piece + " from " + Fixed(arc.start_deg, 1) + " to " +
                   Fixed(arc.end_deg(), 1) + " degrees (" + Fixed(c.circumference_mm * arc.length_deg / 360, 1) +
                   " mm of arc), confidence " + Fixed(confidence, 2) + ".";
  if (finding.outcome == Outcome::kUndecided) finding.reason += " Too uncertain to decide: look at the picture.";
  return finding;
}

std::size_t NotVisible(const Side& side, const std::vector<bool>& unfused) {
  std::size_t count = 0;
  for (std::size_t i = 0; i < unfused.size(); ++i) {
    const bool fused = i < side.fusion.size() && side.fusion[i] == Fusion::kFused;
    if (!fused && !unfused[i]) ++count;
  }
  return count;
}

Finding NotVisibleFinding(const Rule& rule, const Case& c, const Side& side, std::size_t count, std::size_t lines) {
  Finding finding = StartFinding(rule);
  const double degrees = lines == 0 ? 360 : 360.0 * static_cast<double>(count) / static_cast<double>(lines);
  const std::string why = WhyOf(c.reading, {"fusion_" + side.name});
  finding.reason = "The insert's edge on the side of " + side.piece + " is not visible over " + Fixed(degrees, 1) +
                   " of 360 degrees" + (why.empty() ? "." : ": " + why);
  return finding;
}

void JudgeSide(const Rule& rule, const Case& c, const Side& side, std::vector<Finding>* findings) {
  const std::size_t lines = c.reading.profile.theta_deg.size();
  const auto flags = UnfusedFlags(c, side, lines);
  for (const Arc& arc : vision::bore::RunsOnCircle(flags)) findings->push_back(RunFinding(rule, c, side, arc, lines));
  const std::size_t hidden = NotVisible(side, flags);
  if (hidden > 0 || lines == 0) findings->push_back(NotVisibleFinding(rule, c, side, hidden, lines));
}

}  // namespace

void JudgeFusion(const Rule& rule, const Case& c, std::vector<Finding>* findings) {
  const std::size_t before = findings->size();
  Finding finding = StartFinding(rule);
  const LimitRow* row = RowOrFinding(rule, c, findings);
  if (!row) return;
  for (const UnfusedRun& run : c.reading.unfused) {
    if (HasPlace(run) && !c.reading.profile.theta_deg.empty()) continue;
    finding.outcome = Outcome::kBeyond;
    finding.reason = "Original edge visible; the reading does not say where.";
    if (HasPlace(run))
      finding.reason =
          "Original edge visible from " + Fixed(run.start_deg, 1) + " to " + Fixed(run.end_deg, 1) + " degrees.";
    findings->push_back(finding);
  }
  JudgeSide(rule, c, {"left", c.joint.a.name, c.reading.profile.fusion_left}, findings);
  JudgeSide(rule, c, {"right", c.joint.b.name, c.reading.profile.fusion_right}, findings);
  if (findings->size() > before) return;
  finding.outcome = Outcome::kWithin;
  finding.reason = "No original edge visible on either side, both edges in sight over 360 degrees." +
                   SearchedFor({"unfused"}, c.reading);
  findings->push_back(finding);
}

}  // namespace app::joint
