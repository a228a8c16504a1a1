#include "vision/reading/combine.h"

#include <algorithm>
#include <cmath>

#include "vision/bore/angle.h"
#include "vision/bore/stations.h"
#include "vision/reading/edges.h"
#include "vision/reading/explain.h"
#include "vision/reading/from_evidence.h"
#include "vision/reading/push.h"

namespace vision::reading {
namespace {

void CombineLine(const std::vector<Look>& looks, const MeasureInput& input, const Sighting& left, const Sighting& right,
                 std::size_t i, Profile& p) {
  p.left_toe_z_mm[i] = left.z_mm;
  p.left_toe_u_mm[i] = std::hypot(left.u_mm, RoundnessU());
  p.right_toe_z_mm[i] = right.z_mm;
  p.right_toe_u_mm[i] = std::hypot(right.u_mm, RoundnessU());
  if (!left.stated() || !right.stated()) return;
  double scale_u = input.bore.radius_u_mm / input.bore.radius_mm;
  for (const Look& look : looks) scale_u = std::max(scale_u, look.pose.offset_u_mm() / input.bore.radius_mm);
  p.width_mm[i] = right.z_mm - left.z_mm;
  p.width_u_mm[i] = std::hypot(WidthU(left, right), scale_u * p.width_mm[i]);
}

/// The step between the walls as a push shows it by parallax. @return false when there is no push.
bool CombineMisalignment(const std::vector<Look>& looks, Profile& p) {
  const auto pushed =
      std::find_if(looks.begin(), looks.end(), [](const Look& look) { return look.levels.has_value(); });
  if (pushed == looks.end()) return false;
  for (std::size_t i = 0; i < bore::kStationLines; ++i) {
    p.misalignment_mm[i] = pushed->levels->Step(0.5 * static_cast<double>(i));
    p.misalignment_u_mm[i] = StepU(*pushed->levels, 0.5 * static_cast<double>(i));
  }
  return true;
}

/// z = 0 at the mean of both toes, after the looks were put together. @return What was taken off z, mm.
double CentreOnWeld(Profile& p) {
  double sum = 0;
  int count = 0;
  for (std::size_t i = 0; i < bore::kStationLines; ++i)
    if (std::isfinite(p.width_mm[i])) sum += 0.5 * (p.left_toe_z_mm[i] + p.right_toe_z_mm[i]), ++count;
  if (count == 0) return 0;
  for (auto* toe : {&p.left_toe_z_mm, &p.right_toe_z_mm})
    for (double& z : *toe) z -= sum / count;
  return sum / count;
}

/// Mean chance over the lines of an arc.
double MeanOver(const bore::Arc& arc, const std::vector<double>& chance) {
  const auto first = static_cast<std::size_t>(std::lround(arc.start_deg * 2)),
             lines = static_cast<std::size_t>(std::lround(arc.length_deg * 2));
  double sum = 0;
  for (std::size_t k = 0; k < lines; ++k) sum += chance[(first + k) % bore::kStationLines];
  return sum / static_cast<double>(lines);
}

void CombineFusion(const std::vector<Look>& looks, double radius_mm, Reading& reading) {
  for (const bool left : {true, false}) {
    const EdgeStates edge = EdgeOf(looks, left, radius_mm);
    (left ? reading.profile.fusion_left : reading.profile.fusion_right) = edge.state;
    std::vector<bool> unfused;
    for (const auto state : edge.state) unfused.push_back(state == Fusion::kUnfused);
    for (const auto& arc : bore::RunsOnCircle(unfused)) {
      UnfusedRun run{arc.start_deg, arc.closing_deg(), left ? "left" : "right", 0, 0, kNotMeasured, ""};
      run.confidence = MeanOver(arc, edge.unfused);
      run.arc_mm = bore::ArcMm(arc.length_deg, radius_mm);
      run.arc_u_mm = std::max(0.5, bore::ArcMm(0.5, radius_mm));  // either end lies in a cross-fade of 1 to 2 mm
      reading.unfused.push_back(run);
    }
  }
}

/// Why a toe is not stated on this line, as the first look says that has the place in its picture; where none has it,
/// as the first that says anything.
std::string ReasonAt(const std::vector<Look>& looks, bool left, std::size_t line) {
  std::string first;
  for (const Look& look : looks) {
    const auto& toe = left ? look.toes.left : look.toes.right;
    if (line >= toe.reason.size() || toe.reason[line].empty()) continue;
    if (InPicture(look.strip, static_cast<int>(line))) return toe.reason[line];
    if (first.empty()) first = toe.reason[line];
  }
  return first.empty() ? "the toe is not in sight" : first;
}

void ExplainWidths(const std::vector<Look>& looks, Reading& reading) {
  std::vector<std::string> reasons(bore::kStationLines);
  for (std::size_t i = 0; i < bore::kStationLines; ++i)
    if (!std::isfinite(reading.profile.width_mm[i]))
      reasons[i] = ReasonAt(looks, !std::isfinite(reading.profile.left_toe_z_mm[i]), i);
  Explain("width_mm", reasons, reading);
}

void ExplainFusion(const std::vector<Look>& looks, Reading& reading) {
  const bool from_minus_z =
      std::any_of(looks.begin(), looks.end(), [](const Look& look) { return !look.near_is_left(); });
  const bool from_plus_z =
      std::any_of(looks.begin(), looks.end(), [](const Look& look) { return look.near_is_left(); });
  for (const bool left : {true, false}) {
    const auto& states = left ? reading.profile.fusion_left : reading.profile.fusion_right;
    std::vector<bool> hidden(bore::kStationLines);
    for (std::size_t i = 0; i < bore::kStationLines; ++i) hidden[i] = states[i] == Fusion::kNotVisible;
    const bool near_seen = left ? from_plus_z : from_minus_z;
    const std::string reason =
        near_seen ? "the picture does not tell at this place (dark, blown out or too coarse)"
                  : "this edge of the insert lies behind the bead in this view; look from the other side";
    Explain(left ? "fusion_left" : "fusion_right", hidden, reason, reading);
  }
}

}  // namespace

double RoundnessU() { return pose::PoseOptions().ring_wander_mm / std::sqrt(2.0); }

Status WidthOptions::Check() const {
  for (const double alike : {both_near, near_and_far})
    if (!(alike >= 0 && alike <= 1)) return BadInput("WidthOptions: how alike toes err must be 0 to 1.");
  return std::nullopt;
}

double WidthU(const Sighting& left, const Sighting& right, const WidthOptions& options) {
  const double alike = left.near && right.near ? options.both_near : options.near_and_far;
  return std::sqrt(left.u_mm * left.u_mm + right.u_mm * right.u_mm + 2 * alike * left.u_mm * right.u_mm);
}

double Combine(const std::vector<Look>& looks, const MeasureInput& input, Reading& reading) {
  reading.profile.Resize(bore::kStationLines);
  const Together together = TogetherOf(looks, input.bore.radius_mm);
  const auto left = ToesAround(looks, true, together), right = ToesAround(looks, false, together);
  for (std::size_t i = 0; i < bore::kStationLines; ++i)
    CombineLine(looks, input, left[i], right[i], i, reading.profile);
  const double taken_off_mm = CentreOnWeld(reading.profile);
  CombineFusion(looks, input.bore.radius_mm, reading);
  ExplainWidths(looks, reading);
  ExplainFusion(looks, reading);
  const bool step_known = CombineMisalignment(looks, reading.profile);
  for (const char* what : {"crown_height_mm", "concavity_mm", "misalignment_mm"})
    if (!step_known || std::string(what) != "misalignment_mm")
      reading.why.push_back({what, 0, 360,
                             step_known ? "not earned by the camera's travel: its uncertainty did not hold under shop "
                                          "conditions; give a recording with a plane of light on"
                                        : "single view: height not measurable from this recording"});
  return taken_off_mm;
}

Coverage CoverageOf(const unroll::Strip& merged, const Profile& profile, double zone_mm) {
  Coverage coverage;
  const auto& grid = merged.grid;
  for (std::size_t i = 0; i < profile.theta_deg.size(); ++i) {
    coverage.left += 0.5 * (profile.fusion_left[i] != Fusion::kNotVisible);
    coverage.right += 0.5 * (profile.fusion_right[i] != Fusion::kNotVisible);
    const int column = grid.NearestColumn(profile.theta_deg[i]);
    const double half = 2.5;
    const int from = std::max(0, static_cast<int>(grid.Row(-zone_mm - half))),
              to = std::min(grid.rows - 1, static_cast<int>(grid.Row(zone_mm + half)));
    int seen = 0;
    for (int row = from; row <= to; ++row) seen += merged.valid(row, column) != 0;
    coverage.zone += 0.5 * (seen >= 0.9 * (to - from + 1));
  }
  return coverage;
}

}  // namespace vision::reading
