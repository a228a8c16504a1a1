#pragma once

#include <cmath>
#include <cstdio>
#include <string>

namespace app::joint {

/// A confidence as people read it. No picture supports a certainty, so nothing above 0.99 is printed as a number.
/// @param confidence 0 to 1; NaN: "not stated".
inline std::string ConfidenceText(double confidence) {
  constexpr double kSurest = 0.99;
  if (!std::isfinite(confidence)) return "not stated";
  if (confidence > kSurest) return "more than 0.99";
  char text[16];
  std::snprintf(text, sizeof text, "%.2f", confidence);
  return text;
}

}  // namespace app::joint
