#include <cmath>

#include "vision/base/number.h"
#include "vision/camera/wall_marks.h"

namespace vision::camera {

Status WallTarget::Check() const {
  for (const auto& [field, value] :
       {std::pair{"bore_mm", bore_mm}, {"bore_u_mm", bore_u_mm}, {"apart_mm", apart_mm}, {"apart_u_mm", apart_u_mm}})
    if (!(value > 0 && std::isfinite(value)))
      return BadInput(std::string("marks: ") + field + " is " + NumberText(value) + "; it must be > 0 mm.");
  return std::nullopt;
}

std::string WallTarget::Text() const {
  return "marks " + NumberText(apart_mm) + " mm apart (u " + NumberText(apart_u_mm) + " mm) in a bore of " +
         NumberText(bore_mm) + " mm (u " + NumberText(bore_u_mm) + " mm)";
}

Status WallOptions::Check() const {
  if (auto broken = target.Check()) return broken;
  const auto wrong = [](const std::string& field, double value, const std::string& rule) {
    return BadInput("marks: " + field + " is " + NumberText(value) + "; it must be " + rule + ".");
  };
  if (min_views < 2) return wrong("min_views", min_views, "2 or more");
  if (min_points < 6) return wrong("min_points", min_points, "6 or more");
  if (!(point_px > 0)) return wrong("point_px", point_px, "> 0 px");
  if (!(centre_share > 0)) return wrong("centre_share", centre_share, "> 0");
  if (!(evidence >= 0)) return wrong("evidence", evidence, "0 or more");
  if (!(max_sight_u_deg > 0)) return wrong("max_sight_u_deg", max_sight_u_deg, "> 0 degrees");
  return std::nullopt;
}

}  // namespace vision::camera
