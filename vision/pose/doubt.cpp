#include "vision/pose/doubt.h"

#include <algorithm>
#include <cmath>

namespace vision::pose {

Status DoubtOptions::Check() const {
  if (!(most_wrong > 0 && most_wrong <= 1)) return BadInput("DoubtOptions::most_wrong must be above 0 and at most 1.");
  return std::nullopt;
}

double ChanceOfWrongStand(const Grounds& grounds, const DoubtOptions& o) {
  const double odds =
      o.base + o.root_margin * std::sqrt(std::clamp(grounds.margin, 0.0, o.most_margin)) + o.rings * grounds.rings;
  return 1 / (1 + std::exp(-odds));
}

}  // namespace vision::pose
