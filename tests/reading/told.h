#pragma once

#include <cmath>

#include "vision/base/says.h"
#include "vision/reading/state.h"

/// Evidence put together by hand, for tests of what is made of it.
namespace vision::reading {

inline Stated<double> StatedOrNot(double value, double u) {
  return std::isfinite(value) ? Stated<double>::Of(value, u) : Stated<double>::Not({Says::kToeUnknown});
}

/// Toes and width as a profile holds them.
inline Told ToldOf(const Profile& p) {
  Told told;
  for (std::size_t i = 0; i < p.theta_deg.size(); ++i) {
    ToldLine line;
    line.toe_z_mm = {StatedOrNot(p.left_toe_z_mm[i], p.left_toe_u_mm[i]),
                     StatedOrNot(p.right_toe_z_mm[i], p.right_toe_u_mm[i])};
    line.width_mm = StatedOrNot(p.width_mm[i], p.width_u_mm[i]);
    told.lines.push_back(line);
  }
  return told;
}

inline EdgesTold EdgesOf(const Profile& p) {
  const std::vector<double> chance(p.fusion_left.size(), 0.5);
  const std::vector<Reason> why(p.fusion_left.size());
  return {{p.fusion_left, chance, why}, {p.fusion_right, chance, why}};
}

}  // namespace vision::reading
