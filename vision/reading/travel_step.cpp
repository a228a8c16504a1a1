#include "vision/reading/travel_step.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>

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

/// The lines that are worked out, with what the reading knows of them.
std::vector<relief::TravelLine> LinesOf(const Reading& reading, const Push& push, double taken_off_mm, int step) {
  const Profile& p = reading.profile;
  std::vector<relief::TravelLine> lines;
  for (int i = 0; i < static_cast<int>(p.theta_deg.size()); i += step) {
    const auto k = static_cast<std::size_t>(i);
    relief::TravelLine line;
    line.theta_deg = p.theta_deg[k];
    line.wall_left = push.solution.levels.Height(line.theta_deg, true);
    line.wall_right = push.solution.levels.Height(line.theta_deg, false);
    if (p.fusion_left[k] != Fusion::kUnfused && p.fusion_right[k] != Fusion::kUnfused) {
      line.toe_left_z = ToeNear(p.left_toe_z_mm, i, step / 2) + taken_off_mm;
      line.toe_right_z = ToeNear(p.right_toe_z_mm, i, step / 2) + taken_off_mm;
      line.toe_left_u = p.left_toe_u_mm[k], line.toe_right_u = p.right_toe_u_mm[k];
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

/// One section a station line. A line whose own toes are not stated, or whose edge is unfused, has none.
std::vector<relief::SectionLine> AllLines(const std::vector<relief::SectionLine>& worked, int step, const Profile& p) {
  std::vector<relief::SectionLine> all;
  for (std::size_t i = 0; i < p.theta_deg.size(); ++i) {
    const std::size_t k = i / static_cast<std::size_t>(step), next = (k + 1) % worked.size();
    const double t = static_cast<double>(i % static_cast<std::size_t>(step)) / step;
    relief::SectionLine line = Between(worked[k], worked[next], t);
    if (!std::isfinite(p.width_mm[i])) line = {}, line.why = "a toe of the bead is not known here";
    if (p.fusion_left[i] == Fusion::kUnfused || p.fusion_right[i] == Fusion::kUnfused)
      line = {}, line.why = "the insert's edge is still there, so there is no crown to speak of";
    line.theta_deg = p.theta_deg[i];
    all.push_back(line);
  }
  return all;
}

}  // namespace

bool AllOfOnePush(const std::vector<Look>& looks) {
  return std::all_of(looks.begin(), looks.end(), [&](const Look& look) {
    return look.levels && !look.to_first && look.recording == looks.front().recording;
  });
}

Status AddHeightsByTravel(const Push& push, double taken_off_mm, const bore::Bore& bore, const JobContext& job,
                          Reading& reading) {
  relief::TravelOptions options;
  const int step = static_cast<int>(std::lround(2 * options.line_step_deg));
  std::vector<relief::TravelFrame> frames;
  for (std::size_t i = 0; i < push.pictures.size(); ++i)
    frames.push_back({&push.pictures[i], &push.settings[i], push.solution.poses[i].bore_from_cam});
  const auto lines = LinesOf(reading, push, taken_off_mm, step);
  const auto heights = relief::HeightsByTravel(frames, bore, lines, options, job);
  std::vector<relief::SectionLine> worked(lines.size());
  if (heights.ok())
    worked = heights.value().lines;
  else if (heights.cancelled())
    return heights.error();
  else
    for (auto& line : worked) line.why = heights.error().message;
  if (const char* file = std::getenv("TRAVEL_DUMP"); file && heights.ok()) {  // DUMP
    std::FILE* out = std::fopen(file, "w");                                     // DUMP
    const auto& h = heights.value();                                            // DUMP
    std::fprintf(out, "# frames %d ring %.2f wall %.2f %.2f %.4f bead %.2f %.2f usual %.3f shift %.3f gain %.2f\n", h.frames, h.lamp_ring_mm, h.wall.share, h.wall.roughness, h.wall_residual, h.bead.share, h.bead.roughness, h.usual_misfit, h.shift_mm, h.gloss_gain);  // DUMP
    for (std::size_t i = 0; i < lines.size(); ++i)  // DUMP
      std::fprintf(out, "%.1f %.3f %.3f %.3f %.3f %.3f %.3f %.3f\n", lines[i].theta_deg, h.lines[i].crown - h.lines[i].concavity, h.lines[i].crown_u, h.misfit[i], lines[i].toe_left_u, lines[i].toe_right_u, h.own[i], h.own_u[i]);  // DUMP
    std::fclose(out);  // DUMP
  }  // DUMP
  ApplySections(AllLines(worked, step, reading.profile), relief::How::kTravel, reading);
  return std::nullopt;
}

}  // namespace vision::reading
