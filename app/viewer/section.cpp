#include "app/viewer/section.h"

#include <cmath>

#include "vision/base/says.h"
#include "vision/bore/angle.h"

namespace app::viewer {
namespace {

std::size_t LineAt(double theta_deg, std::size_t lines) {
  return static_cast<std::size_t>(std::lround(vision::bore::Wrap360(theta_deg) / 360 * static_cast<double>(lines))) %
         lines;
}

}  // namespace

bool Section::has_chord() const {
  return std::isfinite(toe_left_z) && std::isfinite(toe_right_z) && std::isfinite(wall_left_h) &&
         std::isfinite(wall_right_h);
}

vision::Reason ReasonAt(const vision::reading::Reading& reading, const std::string& what, double theta_deg) {
  for (const auto& why : reading.why) {
    if (why.what != what) continue;
    const double length = vision::bore::Wrap360(why.end_deg - why.start_deg);
    const vision::bore::Arc arc{vision::bore::Wrap360(why.start_deg), length == 0 ? 360 : length};
    if (arc.Contains(vision::bore::Wrap360(theta_deg))) return why.reason;
  }
  return {};
}

Section SectionAt(const vision::reading::Reading& reading, const std::optional<Heights>& heights, double theta_deg) {
  Section section;
  const auto& p = reading.profile;
  if (p.theta_deg.empty()) return section;
  const std::size_t i = LineAt(theta_deg, p.theta_deg.size());
  section.toe_left_z = p.left_toe_z_mm[i];
  section.toe_right_z = p.right_toe_z_mm[i];
  section.crown = p.crown_height_mm[i], section.crown_u = p.crown_height_u_mm[i];
  section.concavity = p.concavity_mm[i], section.concavity_u = p.concavity_u_mm[i];
  if (!std::isfinite(section.crown)) section.why_no_crown = ReasonAt(reading, "crown_height_mm", theta_deg);
  if (heights) {
    section.surface = vision::relief::CutOf(heights->relief, theta_deg);
    const auto& line = heights->lines[LineAt(theta_deg, heights->lines.size())];
    section.wall_left_h = line.wall_left, section.wall_right_h = line.wall_right;
    if (!std::isfinite(section.toe_left_z)) section.toe_left_z = line.toe_left_z;
    if (!std::isfinite(section.toe_right_z)) section.toe_right_z = line.toe_right_z;
    if (section.surface.empty()) section.why = {vision::Says::kNoHeightHere};
  } else {
    section.why = section.why_no_crown;
  }
  return section;
}

}  // namespace app::viewer
