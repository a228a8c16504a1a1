#include "vision/reading/reading.h"

#include "vision/bore/angle.h"

namespace vision::reading {

std::string NameOf(Fusion fusion) {
  switch (fusion) {
    case Fusion::kFused:
      return "fused";
    case Fusion::kUnfused:
      return "unfused";
    case Fusion::kNotVisible:
      break;
  }
  return "not_visible";
}

void Profile::Resize(std::size_t lines) {
  theta_deg.resize(lines);
  for (std::size_t i = 0; i < lines; ++i) theta_deg[i] = 360.0 * static_cast<double>(i) / static_cast<double>(lines);
  for (auto* numbers : {&left_toe_z_mm, &right_toe_z_mm, &left_toe_u_mm, &right_toe_u_mm, &width_mm, &width_u_mm,
                        &crown_height_mm, &crown_height_u_mm, &crown_over_left_mm, &crown_over_right_mm, &concavity_mm,
                        &concavity_u_mm, &concavity_under_left_mm, &concavity_under_right_mm, &misalignment_mm,
                        &misalignment_u_mm, &unfused_left_chance, &unfused_right_chance})
    numbers->assign(lines, kNotMeasured);
  fusion_left.assign(lines, Fusion::kNotVisible);
  fusion_right.assign(lines, Fusion::kNotVisible);
}

const SectionArc* SectionAt(const Reading& reading, double theta_deg) {
  for (const SectionArc& arc : reading.sections)
    if (bore::ArcBetween(arc.start_deg, arc.end_deg).Contains(bore::Wrap360(theta_deg))) return &arc;
  return nullptr;
}

}  // namespace vision::reading
