#include "vision/base/number.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstdio>

namespace vision {

Result<double> NumberFrom(const std::string& text, const std::string& name) {
  const auto from = text.find_first_not_of(" \t\n");
  if (from == std::string::npos) return BadInput(name + " is empty; it must be a number such as 1.5 or 1,5.");
  std::string plain = text.substr(from, text.find_last_not_of(" \t\n") - from + 1);
  const auto signs = std::count_if(plain.begin(), plain.end(), [](char c) { return c == ',' || c == '.'; });
  const auto minus_or_plus = std::count_if(plain.begin(), plain.end(), [](char c) { return c == '+' || c == '-'; });
  if (signs > 1)
    return BadInput(name + " is \"" + plain + "\"; write it with one decimal sign and none for thousands.");
  std::replace(plain.begin(), plain.end(), ',', '.');
  const char* first = plain.data() + (plain[0] == '+' ? 1 : 0);
  double value = 0;
  const auto read = std::from_chars(first, plain.data() + plain.size(), value, std::chars_format::fixed);
  if (minus_or_plus > 1 || read.ec != std::errc() || read.ptr != plain.data() + plain.size() || !std::isfinite(value))
    return BadInput(name + " is \"" + plain + "\"; it must be a number such as 1.5 or 1,5.");
  return value;
}

std::string NumberText(double value, const char* format) {
  char text[40];
  std::snprintf(text, sizeof text, format, value);
  return text;
}

}  // namespace vision
