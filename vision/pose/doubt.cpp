#include "vision/pose/doubt.h"

#include <algorithm>
#include <cmath>

#include "vision/base/range.h"

namespace vision::pose {

Status DoubtOptions::Check() const {
  if (auto broken = FirstOutside("DoubtOptions", {{"base", base, -100, 100},
                                                  {"root_margin", root_margin, -100, 100},
                                                  {"rings", rings, -100, 100},
                                                  {"ln_read_u", ln_read_u, -100, 100},
                                                  {"most_margin", most_margin, 1e-3, 100},
                                                  {"least_read_u_deg", least_read_u_deg, 1e-3, 90},
                                                  {"most_read_u_deg", most_read_u_deg, least_read_u_deg, 90}}))
    return broken;
  if (!(most_wrong > 0 && most_wrong <= 1)) return BadInput("DoubtOptions::most_wrong must be above 0 and at most 1.");
  if (!(most_wrong_weld > 0 && most_wrong_weld <= 1))
    return BadInput("DoubtOptions::most_wrong_weld must be above 0 and at most 1.");
  if (!(most_wrong_measured >= most_wrong && most_wrong_measured <= 1))
    return BadInput("DoubtOptions::most_wrong_measured must be most_wrong to 1.");
  if (!(seconded > 0 && seconded <= 1)) return BadInput("DoubtOptions::seconded must be above 0 and at most 1.");
  return std::nullopt;
}

double ChanceOfWrongStand(const Grounds& grounds, const DoubtOptions& o) {
  const double odds =
      o.base + o.root_margin * std::sqrt(std::clamp(grounds.margin, 0.0, o.most_margin)) + o.rings * grounds.rings +
      o.ln_read_u * std::log(std::clamp(grounds.read_tilt_u_deg, o.least_read_u_deg, o.most_read_u_deg));
  return 1 / (1 + std::exp(-odds));
}

bool MayBeMeasured(double wrong_stand, double right_weld, const DoubtOptions& o) {
  return 1 - right_weld <= o.most_wrong_weld && wrong_stand <= o.most_wrong_measured;
}

}  // namespace vision::pose
