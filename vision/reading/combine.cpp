#include "vision/reading/combine.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "vision/bore/angle.h"

namespace vision::reading {
namespace {

constexpr std::size_t kLines = 720;

/// One toe at one station line from all looks of one direction.
struct Sighting {
  double z_mm = kNotMeasured, u_mm = kNotMeasured, distance_mm = 0;
  bool stated() const { return std::isfinite(z_mm); }
};

/// Weighted mean over looks of one direction; the looks share most of their error, so the best one's u is kept.
Sighting SightingOf(const std::vector<Look>& looks, pose::Looks direction, bool left, std::size_t line) {
  double sum = 0, weight_sum = 0, distance = 0;
  Sighting sighting;
  for (const Look& look : looks) {
    const auto& toe = left ? look.toes.left : look.toes.right;
    if (look.looks != direction || !toe.visible[line]) continue;
    const double weight = 1 / (toe.u_mm[line] * toe.u_mm[line]);
    sum += weight * toe.z_mm[line];
    distance += weight * look.distance_mm();
    weight_sum += weight;
    sighting.u_mm =
        sighting.stated() || std::isfinite(sighting.u_mm) ? std::min(sighting.u_mm, toe.u_mm[line]) : toe.u_mm[line];
  }
  if (weight_sum > 0) {
    sighting.z_mm = sum / weight_sum;
    sighting.distance_mm = distance / weight_sum;
  }
  return sighting;
}

/// The far toe's uncertainty without the share that an unknown step between the walls put into it.
double WithoutStep(const Sighting& sighting, bool far, double prior_mm, double radius_mm) {
  if (!far) return sighting.u_mm;
  const double step = prior_mm * sighting.distance_mm / radius_mm;
  return std::sqrt(std::max(0.05 * 0.05, sighting.u_mm * sighting.u_mm - step * step));
}

struct ToePair {
  Sighting plus, minus;  ///< Seen looking along +z and against it.
};

/// One toe from both directions; from both, weights that let the step cancel.
Sighting Toe(const ToePair& pair, bool left, double prior_mm, double radius_mm) {
  if (!pair.minus.stated()) return pair.plus;
  if (!pair.plus.stated()) return pair.minus;
  const double both = pair.plus.distance_mm + pair.minus.distance_mm;
  const double w_plus = pair.minus.distance_mm / both, w_minus = pair.plus.distance_mm / both;
  const double u_plus = WithoutStep(pair.plus, !left, prior_mm, radius_mm);
  const double u_minus = WithoutStep(pair.minus, left, prior_mm, radius_mm);
  return {w_plus * pair.plus.z_mm + w_minus * pair.minus.z_mm, std::hypot(w_plus * u_plus, w_minus * u_minus),
          both / 2};
}

void CombineLine(const std::vector<Look>& looks, const MeasureInput& input, double prior_mm, std::size_t i,
                 Profile& p) {
  const double radius_mm = input.bore.radius_mm;
  const auto pair = [&](bool left) {
    return ToePair{SightingOf(looks, pose::Looks::kPlusZ, left, i), SightingOf(looks, pose::Looks::kMinusZ, left, i)};
  };
  const ToePair left_pair = pair(true), right_pair = pair(false);
  const Sighting left = Toe(left_pair, true, prior_mm, radius_mm), right = Toe(right_pair, false, prior_mm, radius_mm);
  p.left_toe_z_mm[i] = left.z_mm;
  p.left_toe_u_mm[i] = left.u_mm;
  p.right_toe_z_mm[i] = right.z_mm;
  p.right_toe_u_mm[i] = right.u_mm;
  if (!left.stated() || !right.stated()) return;
  double scale_u = input.bore.radius_u_mm / radius_mm;
  for (const Look& look : looks) scale_u = std::max(scale_u, look.pose.offset_u_mm() / radius_mm);
  p.width_mm[i] = right.z_mm - left.z_mm;
  p.width_u_mm[i] = std::sqrt(left.u_mm * left.u_mm + right.u_mm * right.u_mm + std::pow(scale_u * p.width_mm[i], 2));
}

Fusion StateFrom(fusion::State state) {
  return state == fusion::State::kFused     ? Fusion::kFused
         : state == fusion::State::kUnfused ? Fusion::kUnfused
                                            : Fusion::kNotVisible;
}

/// The looks that have this edge on their near side speak first; the others only where those are silent.
struct EdgeState {
  Fusion state = Fusion::kNotVisible;
  double confidence = 0;
};

EdgeState EdgeFrom(const std::vector<Look>& looks, bool left, bool near, std::size_t line) {
  double fused = 0, unfused = 0;
  for (const Look& look : looks) {
    if ((look.near_is_left() == left) != near) continue;
    const auto& state = left ? look.fusion.left[line] : look.fusion.right[line];
    const double confidence = left ? look.fusion.confidence_left[line] : look.fusion.confidence_right[line];
    if (StateFrom(state) == Fusion::kFused) fused += confidence;
    if (StateFrom(state) == Fusion::kUnfused) unfused += confidence;
  }
  if (fused <= 0 && unfused <= 0) return {};
  const bool is_unfused = unfused >= fused;
  return {is_unfused ? Fusion::kUnfused : Fusion::kFused, std::max(fused, unfused) / (fused + unfused)};
}

void CombineFusion(const std::vector<Look>& looks, double radius_mm, Reading& reading) {
  for (const bool left : {true, false}) {
    auto& states = left ? reading.profile.fusion_left : reading.profile.fusion_right;
    std::vector<double> confidence(kLines, 0);
    std::vector<bool> unfused(kLines, false);
    for (std::size_t i = 0; i < kLines; ++i) {
      EdgeState edge = EdgeFrom(looks, left, true, i);
      if (edge.state == Fusion::kNotVisible) edge = EdgeFrom(looks, left, false, i);
      states[i] = edge.state;
      unfused[i] = edge.state == Fusion::kUnfused;
      for (const Look& look : looks) {
        const auto& values = left ? look.fusion.confidence_left : look.fusion.confidence_right;
        if (unfused[i] && StateFrom(left ? look.fusion.left[i] : look.fusion.right[i]) == Fusion::kUnfused)
          confidence[i] = std::max(confidence[i], values[i]);
      }
    }
    for (const auto& arc : bore::RunsOnCircle(unfused)) {
      UnfusedRun run{
          arc.start_deg, arc.length_deg >= 360 ? 360 : arc.end_deg(), left ? "left" : "right", 0, 0, kNotMeasured, ""};
      const auto steps = static_cast<std::size_t>(std::lround(arc.length_deg * 2));
      for (std::size_t k = 0; k < steps; ++k)
        run.confidence += confidence[(static_cast<std::size_t>(std::lround(arc.start_deg * 2)) + k) % kLines] /
                          static_cast<double>(steps);
      run.confidence = std::clamp(run.confidence, 0.0, 1.0);
      run.arc_mm = bore::ArcMm(arc.length_deg, radius_mm);
      run.arc_u_mm = std::max(0.5, bore::ArcMm(0.5, radius_mm));  // either end lies in a cross-fade of 1 to 2 mm
      reading.unfused.push_back(run);
    }
  }
}

/// The reason most looks give for a toe that is not stated on this line.
std::string ReasonAt(const std::vector<Look>& looks, bool left, std::size_t line) {
  for (const Look& look : looks) {
    const auto& toe = left ? look.toes.left : look.toes.right;
    if (line < toe.reason.size() && !toe.reason[line].empty()) return toe.reason[line];
  }
  return "the toe is not in sight";
}

/// One why for each arc of one reason.
void ExplainWidths(const std::vector<Look>& looks, Reading& reading) {
  std::map<std::string, std::vector<bool>> absent;
  for (std::size_t i = 0; i < kLines; ++i) {
    if (std::isfinite(reading.profile.width_mm[i])) continue;
    const bool left_absent = !std::isfinite(reading.profile.left_toe_z_mm[i]);
    auto& flags = absent[ReasonAt(looks, left_absent, i)];
    flags.resize(kLines, false);
    flags[i] = true;
  }
  for (const auto& [reason, flags] : absent)
    for (const auto& arc : bore::RunsOnCircle(flags))
      reading.why.push_back({"width_mm", arc.start_deg, arc.length_deg >= 360 ? 360 : arc.end_deg(), reason});
}

void ExplainFusion(const std::vector<Look>& looks, Reading& reading) {
  const bool from_minus_z =
      std::any_of(looks.begin(), looks.end(), [](const Look& look) { return !look.near_is_left(); });
  const bool from_plus_z =
      std::any_of(looks.begin(), looks.end(), [](const Look& look) { return look.near_is_left(); });
  for (const bool left : {true, false}) {
    const auto& states = left ? reading.profile.fusion_left : reading.profile.fusion_right;
    std::vector<bool> hidden(kLines);
    for (std::size_t i = 0; i < kLines; ++i) hidden[i] = states[i] == Fusion::kNotVisible;
    const bool near_seen = left ? from_plus_z : from_minus_z;
    const std::string reason =
        near_seen ? "the picture does not tell at this place (dark, blown out or too coarse)"
                  : "this edge of the insert lies behind the bead in this view; look from the other side";
    for (const auto& arc : bore::RunsOnCircle(hidden))
      reading.why.push_back(
          {left ? "fusion_left" : "fusion_right", arc.start_deg, arc.length_deg >= 360 ? 360 : arc.end_deg(), reason});
  }
}

}  // namespace

void Combine(const std::vector<Look>& looks, const MeasureInput& input, double misalignment_prior_mm,
             Reading& reading) {
  reading.profile.Resize(kLines);
  for (std::size_t i = 0; i < kLines; ++i) CombineLine(looks, input, misalignment_prior_mm, i, reading.profile);
  CombineFusion(looks, input.bore.radius_mm, reading);
  ExplainWidths(looks, reading);
  ExplainFusion(looks, reading);
  for (const char* what : {"crown_height_mm", "concavity_mm", "misalignment_mm"})
    reading.why.push_back({what, 0, 360, "single view: height not measurable from this recording"});
}

Coverage CoverageOf(const unroll::Strip& merged, const Profile& profile, double zone_mm) {
  Coverage coverage;
  const auto& grid = merged.grid;
  for (std::size_t i = 0; i < profile.theta_deg.size(); ++i) {
    coverage.left += 0.5 * (profile.fusion_left[i] != Fusion::kNotVisible);
    coverage.right += 0.5 * (profile.fusion_right[i] != Fusion::kNotVisible);
    const int column = static_cast<int>(std::lround(grid.Column(profile.theta_deg[i]))) % grid.columns;
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
