#include "app/joint/window.h"

#include <algorithm>
#include <cmath>

namespace app::joint {
namespace {

/// Sum over `steps` (a real number) of flags from `start`, walking by `direction` (+1 or -1) around the ring.
double Walk(const std::vector<bool>& flags, std::size_t start, double steps, bool forward) {
  const std::size_t n = flags.size();
  const auto whole = static_cast<std::size_t>(steps);
  const auto at = [&](std::size_t i) { return flags[forward ? (start + i) % n : (start + n - i % n) % n]; };
  double sum = 0;
  for (std::size_t i = 0; i < whole; ++i) sum += at(i) ? 1 : 0;
  return sum + (at(whole) ? steps - static_cast<double>(whole) : 0);
}

}  // namespace

double MostInWindow(const std::vector<bool>& flags, double circumference_mm, double window_mm) {
  if (flags.empty()) return 0;
  const double step = circumference_mm / static_cast<double>(flags.size());
  const auto all = static_cast<double>(std::count(flags.begin(), flags.end(), true));
  if (window_mm >= circumference_mm) return all * step;
  double most = 0;
  for (std::size_t i = 0; i < flags.size(); ++i) {
    if (!flags[i]) continue;
    const bool begins = !flags[(i + flags.size() - 1) % flags.size()], ends = !flags[(i + 1) % flags.size()];
    if (begins || most == 0) most = std::max(most, Walk(flags, i, window_mm / step, true));
    if (ends) most = std::max(most, Walk(flags, i, window_mm / step, false));
  }
  return most * step;
}

WindowSum LargestSumInWindow(const std::vector<SizedPlace>& places, double circumference_mm, double window_mm) {
  WindowSum best;
  for (const SizedPlace& first : places) {
    WindowSum sum{0, 0, first.at_mm, first.at_mm};
    double reach = 0, squares = 0;
    for (const SizedPlace& place : places) {
      double ahead = std::fmod(place.at_mm - first.at_mm, circumference_mm);
      if (ahead < 0) ahead += circumference_mm;
      if (ahead > window_mm) continue;
      sum.sum_mm += place.size_mm;
      squares += place.u_mm * place.u_mm;
      if (ahead >= reach) sum.to_mm = place.at_mm;
      reach = std::max(reach, ahead);
    }
    sum.u_mm = std::sqrt(squares);
    if (sum.sum_mm > best.sum_mm) best = sum;
  }
  return best;
}

}  // namespace app::joint
