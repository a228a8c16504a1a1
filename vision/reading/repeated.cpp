#include "vision/reading/repeated.h"

namespace vision::reading {

study::RepeatedReading RepeatedFrom(const Reading& reading, const std::string& name, const std::string& operator_name) {
  study::RepeatedReading repeated{name, operator_name, reading.angles != "joint", {}, {}};
  const auto& p = reading.profile;
  const auto add = [&](const char* quantity, const std::vector<double>& value, const std::vector<double>& u) {
    repeated.quantities.emplace_back(quantity);
    repeated.traces.push_back({value, u});
  };
  add("width_mm", p.width_mm, p.width_u_mm);
  add("left_toe_z_mm", p.left_toe_z_mm, p.left_toe_u_mm);
  add("right_toe_z_mm", p.right_toe_z_mm, p.right_toe_u_mm);
  add("crown_height_mm", p.crown_height_mm, p.crown_height_u_mm);
  add("concavity_mm", p.concavity_mm, p.concavity_u_mm);
  add("misalignment_mm", p.misalignment_mm, p.misalignment_u_mm);
  return repeated;
}

}  // namespace vision::reading
