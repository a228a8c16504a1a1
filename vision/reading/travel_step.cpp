#include "vision/reading/travel_step.h"

#include <algorithm>
#include <cmath>

#include "vision/base/says.h"
#include "vision/bore/angle.h"
#include "vision/bore/stations.h"
#include "vision/reading/combine.h"
#include "vision/reading/heights.h"
#include "vision/relief/travel.h"

namespace vision::reading {
namespace {

/// Mean of a toe over the station lines within half a step of one; NaN where the line's own is not stated.
double ToeNear(const std::vector<double>& z_mm, int line, int half) {
  const int n = static_cast<int>(z_mm.size());
  if (!std::isfinite(z_mm[static_cast<std::size_t>(line)])) return kNotMeasured;
  double sum = 0;
  int count = 0;
  for (int k = -half; k <= half; ++k)
    if (const double z = z_mm[static_cast<std::size_t>((line + k + n) % n)]; std::isfinite(z)) sum += z, ++count;
  return sum / count;
}

/// A toe's uncertainty without what both toes of a line share: their common place along z moves no height.
double OwnU(double u_mm) { return std::sqrt(std::max(0.0, u_mm * u_mm - RoundnessU() * RoundnessU())); }

bool Unfused(const EdgesTold& edges, std::size_t line) {
  return edges.a.state[line] == Fusion::kUnfused || edges.b.state[line] == Fusion::kUnfused;
}

/// The lines that are worked out, with what is told of them.
std::vector<relief::TravelLine> LinesOf(const Told& told, const EdgesTold& edges, const Push& push, int step) {
  const std::vector<double> left = ZOf(told, bore::Piece::kA), right = ZOf(told, bore::Piece::kB);
  std::vector<relief::TravelLine> lines;
  for (int i = 0; i < static_cast<int>(told.lines.size()); i += step) {
    const auto k = static_cast<std::size_t>(i);
    relief::TravelLine line;
    line.theta_deg = bore::kStationLine_deg * i;
    line.wall_left = push.solution.levels.Height(line.theta_deg, true);
    line.wall_right = push.solution.levels.Height(line.theta_deg, false);
    if (!Unfused(edges, k)) {
      line.toe_left_z = ToeNear(left, i, step / 2) + told.push_from_joint_mm;
      line.toe_right_z = ToeNear(right, i, step / 2) + told.push_from_joint_mm;
      line.toe_left_u = OwnU(told.lines[k].toe_z_mm.a.u()), line.toe_right_u = OwnU(told.lines[k].toe_z_mm.b.u());
    }
    lines.push_back(line);
  }
  return lines;
}

/// Between two lines that are worked out, both stated.
relief::SectionLine Between(const relief::SectionLine& a, const relief::SectionLine& b, double t) {
  relief::SectionLine out = t < 0.5 ? a : b;
  if (!a.why.empty() || !b.why.empty()) return out;
  const auto mix = [t](double x, double y) { return (1 - t) * x + t * y; };
  out.crown = mix(a.crown, b.crown), out.concavity = mix(a.concavity, b.concavity);
  out.crown_u = std::max(a.crown_u, b.crown_u), out.concavity_u = std::max(a.concavity_u, b.concavity_u);
  out.crown_over_left = mix(a.crown_over_left, b.crown_over_left);
  out.crown_over_right = mix(a.crown_over_right, b.crown_over_right);
  out.concavity_under_left = mix(a.concavity_under_left, b.concavity_under_left);
  out.concavity_under_right = mix(a.concavity_under_right, b.concavity_under_right);
  return out;
}

/// One section a station line. A line whose own toes are not told, or whose edge is unfused, has none.
std::vector<relief::SectionLine> AllLines(const std::vector<relief::SectionLine>& worked, int step, const Told& told,
                                          const EdgesTold& edges) {
  std::vector<relief::SectionLine> all;
  for (std::size_t i = 0; i < told.lines.size(); ++i) {
    const std::size_t k = i / static_cast<std::size_t>(step), next = (k + 1) % worked.size();
    const double t = static_cast<double>(i % static_cast<std::size_t>(step)) / step;
    relief::SectionLine line = Between(worked[k], worked[next], t);
    if (!told.lines[i].width_mm.told()) line = {}, line.why = {Says::kToeUnknown};
    if (Unfused(edges, i)) line = {}, line.why = {Says::kEdgeStillThere};
    line.theta_deg = bore::kStationLine_deg * static_cast<double>(i);
    all.push_back(line);
  }
  return all;
}

/// Arcs of one kind of section, where its chance is high enough.
void AddSections(const relief::TravelHeights& heights, int step, const relief::TravelOptions& options, const Told& told,
                 const EdgesTold& edges, Reading& reading) {
  const std::pair<const char*, double relief::SectionClass::*> kinds[] = {{"convex", &relief::SectionClass::convex},
                                                                          {"flush", &relief::SectionClass::flush},
                                                                          {"concave", &relief::SectionClass::concave}};
  for (const auto& [kind, chance] : kinds) {
    std::vector<double> chances;
    std::vector<bool> is;
    for (std::size_t i = 0; i < told.lines.size(); ++i) {
      const std::size_t nearest = (i + static_cast<std::size_t>(step) / 2) / static_cast<std::size_t>(step);
      chances.push_back(heights.classes[nearest % heights.classes.size()].*chance);
      is.push_back(!Unfused(edges, i) && chances.back() >= options.told_chance && told.lines[i].width_mm.told());
    }
    for (const auto& arc : bore::RunsOnCircle(is)) {
      SectionArc section{arc.start_deg, arc.closing_deg(), kind, 1, options.class_mm};
      for (std::size_t i = 0; i < is.size(); ++i)
        if (arc.HoldsLine(bore::kStationLine_deg * static_cast<double>(i)))
          section.chance = std::min(section.chance, chances[i]);
      reading.sections.push_back(section);
    }
  }
}

}  // namespace

bool AllOfOnePush(const std::vector<Look>& looks) {
  return std::all_of(looks.begin(), looks.end(), [&](const Look& look) {
    return look.levels && !look.to_first && look.recording == looks.front().recording;
  });
}

Result<Told> WithTravel(const Push& push, Told told, const EdgesTold& edges, const bore::Bore& bore,
                        const JobContext& job, Reading& reading) {
  const relief::TravelOptions options;
  if (!options.stated && !options.classes_told) return told;
  const int step = static_cast<int>(std::lround(2 * options.line_step_deg));
  std::vector<relief::TravelFrame> frames;
  for (std::size_t i = 0; i < push.pictures.size(); ++i)
    frames.push_back({&push.pictures[i], &push.settings[i], push.solution.poses[i].bore_from_cam});
  const auto lines = LinesOf(told, edges, push, step);
  const auto heights = relief::HeightsByTravel(frames, bore, lines, options, job);
  std::vector<relief::SectionLine> worked(lines.size());
  if (heights.ok()) {
    worked = heights.value().lines;
    if (options.classes_told) AddSections(heights.value(), step, options, told, edges, reading);
  } else if (heights.cancelled()) {
    return heights.error();
  } else {
    for (auto& line : worked) line.why = SaidBy(heights.error());
  }
  if (!options.stated) return told;
  const auto all = AllLines(worked, step, told, edges);
  return WithSections(std::move(told), all, relief::How::kTravel);
}

}  // namespace vision::reading
