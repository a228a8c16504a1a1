#include "vision/pose/doubt.h"

#include <algorithm>
#include <cmath>

namespace vision::pose {

Status DoubtOptions::Check() const {
  if (!(most_wrong > 0 && most_wrong <= 1)) return BadInput("DoubtOptions::most_wrong must be above 0 and at most 1.");
  return std::nullopt;
}

double ChanceOfWrongStand(const Grounds& grounds, const DoubtOptions& o) {
  const auto root = [&o](double margin) { return std::sqrt(std::clamp(margin, 0.0, o.most_margin)); };
  const double odds = o.base + o.root_margin * root(grounds.margin) + o.root_wide * root(grounds.wide_margin) +
                      o.ln_lines * std::log(std::max(0.0, grounds.lines) + 0.02) + o.rings * grounds.rings;
  return 1 / (1 + std::exp(-odds));
}

}  // namespace vision::pose
