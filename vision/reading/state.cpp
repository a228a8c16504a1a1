#include "vision/reading/state.h"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "vision/base/range.h"
#include "vision/base/says.h"
#include "vision/bore/angle.h"
#include "vision/bore/stations.h"
#include "vision/reading/explain.h"

namespace vision::reading {
namespace {

const Reason kUnderScale{Says::kUnderScale};

/// As told, unless it is told and something speaks against it.
template <class T>
Stated<T> Unless(bool against, const Reason& why, const Stated<T>& told) {
  return told.told() && against ? Stated<T>::Not(why) : told;
}

Stated<RootHeight> WithinBound(const Stated<RootHeight>& told, double bound_mm) {
  const bool within = !told.told() || 2 * told.u() < bound_mm;
  return within ? told : Stated<RootHeight>::Not({Says::kLessSureThanAsked, {Rounded(bound_mm)}});
}

/// A line as it is stated.
ToldLine AsStated(const Told& told, std::size_t i, const Withheld& withheld, const StateOptions& o) {
  const ToldLine& line = told.lines[i];
  const auto under = [&](bore::Piece piece) { return !withheld.scale[piece].empty() && withheld.scale[piece][i]; };
  const bool scale = under(bore::Piece::kA) || under(bore::Piece::kB);
  const bool coarse = told.step_by_travel && !(withheld.resolution_mm <= o.coarsest_for_step_mm);
  ToldLine out;
  for (const bore::Piece piece : bore::kBothPieces)
    out.toe_z_mm[piece] = Unless(under(piece), kUnderScale, line.toe_z_mm[piece]);
  out.width_mm = Unless(scale, kUnderScale, line.width_mm);
  out.misalignment_mm = Unless(coarse, {Says::kStepTooCoarse, {Rounded(o.coarsest_for_step_mm)}}, line.misalignment_mm);
  out.crown = Unless(scale, kUnderScale, WithinBound(line.crown, withheld.bound.crown_height_mm));
  out.concavity = Unless(scale, kUnderScale, WithinBound(line.concavity, withheld.bound.concavity_mm));
  return out;
}

void WriteHeight(const Stated<RootHeight>& height, double& chord, double& left, double& right, double& u) {
  const RootHeight value = height.told() ? height.value() : RootHeight();
  chord = value.chord_mm, left = value.left_mm, right = value.right_mm, u = height.u();
}

void WriteLine(const ToldLine& line, std::size_t i, Profile& p) {
  const auto& [left, right] = line.toe_z_mm;
  p.left_toe_z_mm[i] = OrNan(left), p.left_toe_u_mm[i] = left.u();
  p.right_toe_z_mm[i] = OrNan(right), p.right_toe_u_mm[i] = right.u();
  p.width_mm[i] = OrNan(line.width_mm), p.width_u_mm[i] = line.width_mm.u();
  p.misalignment_mm[i] = OrNan(line.misalignment_mm), p.misalignment_u_mm[i] = line.misalignment_mm.u();
  WriteHeight(line.crown, p.crown_height_mm[i], p.crown_over_left_mm[i], p.crown_over_right_mm[i],
              p.crown_height_u_mm[i]);
  WriteHeight(line.concavity, p.concavity_mm[i], p.concavity_under_left_mm[i], p.concavity_under_right_mm[i],
              p.concavity_u_mm[i]);
}

/// Why each line's number is absent, put together to arcs.
template <class Number>
void ExplainNumber(const char* what, const std::vector<ToldLine>& lines, Number number, Reading& reading) {
  std::vector<Reason> reasons;
  for (const ToldLine& line : lines) reasons.push_back((line.*number).why());
  Explain(what, reasons, reading);
}

/// Mean chance over the lines of an arc.
double MeanOver(const bore::Arc& arc, const std::vector<double>& chance) {
  const auto first = static_cast<std::size_t>(std::lround(arc.start_deg * 2)),
             lines = static_cast<std::size_t>(std::lround(arc.length_deg * 2));
  double sum = 0;
  for (std::size_t k = 0; k < lines; ++k) sum += chance[(first + k) % bore::kStationLines];
  return sum / static_cast<double>(lines);
}

/// What a chance that was fitted on some hundred samples has to say.
std::vector<double> ThreeDigits(std::vector<double> chances) {
  for (double& chance : chances) chance = std::round(chance * 1000) / 1000;
  return chances;
}

void StateEdge(const EdgeTold& edge, bool left, Reading& reading) {
  (left ? reading.profile.fusion_left : reading.profile.fusion_right) = edge.state;
  (left ? reading.profile.unfused_left_chance : reading.profile.unfused_right_chance) = ThreeDigits(edge.unfused);
  std::vector<bool> unfused;
  for (const auto state : edge.state) unfused.push_back(state == Fusion::kUnfused);
  for (const auto& arc : bore::RunsOnCircle(unfused)) {
    UnfusedRun run{arc.start_deg, arc.closing_deg(), left ? "left" : "right", 0, 0, kNotMeasured, ""};
    run.confidence = MeanOver(arc, edge.unfused);
    run.arc_mm = bore::ArcMm(arc.length_deg, reading.bore_radius_mm);
    run.arc_u_mm = std::max(0.5, bore::ArcMm(0.5, reading.bore_radius_mm));  // an end lies in a cross-fade of 1 to 2 mm
    reading.unfused.push_back(run);
  }
}

}  // namespace

Status StateOptions::Check() const {
  return FirstOutside("StateOptions", {{"coarsest_for_step_mm", coarsest_for_step_mm, 0.01, 10}});
}

void State(const Told& told, const EdgesTold& edges, const Withheld& withheld, Reading& reading,
           const StateOptions& options) {
  assert(!options.Check());
  std::vector<ToldLine> lines;
  for (std::size_t i = 0; i < told.lines.size(); ++i) lines.push_back(AsStated(told, i, withheld, options));
  reading.profile.Resize(lines.size());
  for (std::size_t i = 0; i < lines.size(); ++i) WriteLine(lines[i], i, reading.profile);
  StateEdge(edges.a, true, reading), StateEdge(edges.b, false, reading);
  ExplainNumber("width_mm", lines, &ToldLine::width_mm, reading);
  Explain("fusion_left", edges.a.why, reading);
  Explain("fusion_right", edges.b.why, reading);
  ExplainNumber("crown_height_mm", lines, &ToldLine::crown, reading);
  ExplainNumber("concavity_mm", lines, &ToldLine::concavity, reading);
  ExplainNumber("misalignment_mm", lines, &ToldLine::misalignment_mm, reading);
  const bool any = std::any_of(lines.begin(), lines.end(),
                               [](const ToldLine& line) { return line.crown.told() || line.concavity.told(); });
  if (any) reading.height_by = told.heights_by;
}

std::vector<bool> LinesUnderScale(const Reading& reading, bore::Piece piece) {
  std::vector<bool> under(bore::kStationLines, false);
  for (const Indication& seen : reading.indications) {
    if (seen.kind != "scale" || (seen.z_mm < 0) != (piece == bore::Piece::kA)) continue;
    const double half_deg = 0.5 * (seen.length_mm + 2 * seen.length_u_mm) / (reading.bore_radius_mm * bore::kRadPerDeg);
    const bore::Arc arc{bore::Wrap360(seen.theta_deg - half_deg), std::min(360.0, 2 * half_deg)};
    for (std::size_t i = 0; i < under.size(); ++i)
      if (arc.HoldsLine(static_cast<double>(i) * bore::kStationLine_deg)) under[i] = true;
  }
  return under;
}

}  // namespace vision::reading
