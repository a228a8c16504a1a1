#include "vision/bore/angle.h"

#include <cstdio>

namespace vision::bore {

double Wrap360(double theta_deg) {
  const double wrapped = std::fmod(theta_deg, 360.0);
  const double positive = wrapped < 0 ? wrapped + 360.0 : wrapped;
  return positive >= 360.0 ? 0.0 : positive;  // -1e-20 + 360 rounds to 360
}

double Wrap180(double theta_deg) { return Wrap360(theta_deg + 180.0) - 180.0; }

std::string ClockText(double theta_deg) {
  const int minutes =
      static_cast<int>(std::lround(Wrap360(theta_deg) * 2.0)) % 720;  // 720 minutes per turn of the dial
  const int hour = minutes / 60 == 0 ? 12 : minutes / 60;
  char text[16];
  std::snprintf(text, sizeof text, "%d:%02d", hour, minutes % 60);
  return text;
}

std::vector<Arc> RunsOnCircle(const std::vector<bool>& flags) {
  const std::size_t n = flags.size();
  const double step_deg = n == 0 ? 0 : 360.0 / static_cast<double>(n);
  std::vector<Arc> runs;
  for (std::size_t i = 0; i < n; ++i) {
    if (!flags[i] || flags[(i + n - 1) % n]) continue;
    std::size_t length = 1;
    while (flags[(i + length) % n]) ++length;
    runs.push_back({static_cast<double>(i) * step_deg, static_cast<double>(length) * step_deg});
  }
  if (runs.empty() && n > 0 && flags[0]) runs.push_back({0, 360});
  return runs;
}

void FillGaps(double longest_deg, std::vector<bool>* flags) {
  std::vector<bool> gaps = *flags;
  gaps.flip();
  const double step_deg = 360.0 / static_cast<double>(flags->size());
  for (const Arc& gap : RunsOnCircle(gaps))
    if (gap.length_deg <= longest_deg)
      for (std::size_t i = 0; i < flags->size(); ++i)
        if (gap.HoldsLine(static_cast<double>(i) * step_deg)) (*flags)[i] = true;
}

}  // namespace vision::bore
