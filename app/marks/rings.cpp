#include "app/marks/rings.h"

#include <cmath>

#include "vision/bore/angle.h"

namespace app::marks {

Side OnRing(Ring ring, LookFrom from) {
  const bool near_end = ring == Ring::kOuter;
  return near_end == (from == LookFrom::kA) ? Side::kA : Side::kB;
}

Ring RingOf(Side side, LookFrom from) { return OnRing(Ring::kOuter, from) == side ? Ring::kOuter : Ring::kInner; }

std::string RingName(Side side, const std::string& piece_a, const std::string& piece_b) {
  return side == Side::kA ? "a: " + piece_a : "b: " + piece_b;
}

double NameAngle(const std::vector<bool>& busy, double span_deg) {
  const auto lines = static_cast<long>(busy.size());
  if (lines == 0) return 180;
  const long half = std::lround(span_deg / 720 * static_cast<double>(lines));
  long best = lines / 2, fewest = lines + 1;
  for (long away = 0; away <= lines / 2; ++away)
    for (const long middle : {lines / 2 + away, lines / 2 - away}) {
      long count = 0;
      for (long i = -half; i <= half; ++i)
        count += busy[static_cast<std::size_t>(((middle + i) % lines + lines) % lines)];
      if (count < fewest) fewest = count, best = middle;
    }
  return vision::bore::Wrap360(360.0 * static_cast<double>(best) / static_cast<double>(lines));
}

double SeenDeg(double theta_deg, LookFrom from) {
  return vision::bore::Wrap360(from == LookFrom::kA ? theta_deg : -theta_deg);
}

double ThetaAt(double seen_deg, LookFrom from) { return SeenDeg(seen_deg, from); }

}  // namespace app::marks
