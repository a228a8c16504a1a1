#pragma once

#include <cmath>
#include <cstdio>
#include <string>

namespace app::joint {

/// A confidence as people read it. Of what is said with 0.99 98 % hold (409 held-out made-up samples, DEVELOPERS.md),
/// so nothing above 0.95 is printed as a number.
/// @param confidence 0 to 1; NaN: "not stated".
inline std::string ConfidenceText(double confidence) {
  constexpr double kSurest = 0.95;
  if (!std::isfinite(confidence)) return "not stated";
  if (confidence > kSurest) return "more than 0.95";
  char text[16];
  std::snprintf(text, sizeof text, "%.2f", confidence);
  return text;
}

}  // namespace app::joint
