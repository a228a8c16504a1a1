#include "vision/fusion/ring_flank.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "vision/base/median.h"

namespace vision::fusion {
namespace {

constexpr double kBehind_mm = 0.4, kAhead_mm = 1.4;  ///< Searched outward and inward of the toe.
constexpr double kAlong_mm = 1.0;                    ///< Averaged along the ring, which is straight.

/// Mean luminance along the search line, from outside the toe inward, around one theta.
std::vector<double> Across(const cv::Mat1f& grey, const unroll::StripGrid& grid, double theta_deg, double z_mm,
                           double inward) {
  const int half = std::max(1, static_cast<int>(0.5 * kAlong_mm / grid.pitch_mm));
  const int middle = static_cast<int>(std::lround(grid.Column(theta_deg)));
  std::vector<double> profile;
  for (double s = -kBehind_mm; s <= kAhead_mm + 1e-9; s += grid.pitch_mm) {
    const int row = static_cast<int>(std::lround(grid.Row(z_mm + inward * s)));
    if (row < 0 || row >= grid.rows) return {};
    double sum = 0;
    for (int k = -half; k <= half; ++k) sum += grey(row, ((middle + k) % grid.columns + grid.columns) % grid.columns);
    profile.push_back(sum / (2 * half + 1));
  }
  return profile;
}

/// Position (in samples) of the steepest rise behind the darkest sample; negative where the rise is less than a tenth.
double Flank(const std::vector<double>& profile) {
  const auto darkest = std::min_element(profile.begin(), profile.end() - 2) - profile.begin();
  double steepest = 0;
  std::ptrdiff_t at = -1;
  for (auto i = darkest; i + 1 < static_cast<std::ptrdiff_t>(profile.size()); ++i) {
    const double rise = profile[static_cast<std::size_t>(i + 1)] - profile[static_cast<std::size_t>(i)];
    if (rise > steepest) steepest = rise, at = i;
    if (rise < 0 && steepest > 0) break;  // over the first crest
  }
  const double level = profile[static_cast<std::size_t>(darkest)];
  if (at < 0 || steepest < 0.03 * level) return -1;
  return static_cast<double>(at) + 0.5;
}

}  // namespace

void MoveToesToFlank(const unroll::Strip& strip, const Fusion& fusion, bool near_is_left, bead::BeadToes& toes) {
  cv::Mat grey_bytes;
  cv::Mat1f grey;
  cv::cvtColor(strip.image, grey_bytes, cv::COLOR_BGR2GRAY);
  grey_bytes.convertTo(grey, CV_32F);
  auto& toe = near_is_left ? toes.left : toes.right;
  const auto& states = near_is_left ? fusion.left : fusion.right;
  const double inward = near_is_left ? 1 : -1;
  const std::size_t lines = toe.z_mm.size();
  std::vector<double> moved(lines, std::nan(""));
  for (std::size_t i = 0; i < lines; ++i) {
    if (states[i] != State::kUnfused || !toe.visible[i]) continue;
    const auto profile =
        Across(grey, strip.grid, 360.0 * static_cast<double>(i) / static_cast<double>(lines), toe.z_mm[i], inward);
    if (profile.size() < 6) continue;
    const double at = Flank(profile);
    if (at >= 0) moved[i] = toe.z_mm[i] + inward * (at * strip.grid.pitch_mm - kBehind_mm);
  }
  for (std::size_t i = 0; i < lines; ++i) {
    std::vector<double> around;
    for (std::size_t k = 0; k < 9; ++k)
      if (const double z = moved[(i + lines + k - 4) % lines]; std::isfinite(z)) around.push_back(z);
    if (states[i] != State::kUnfused || !toe.visible[i] || around.size() < 3) continue;
    const double rise_mm = Median(around), apart_mm = std::abs(rise_mm - toe.z_mm[i]);
    toe.z_mm[i] = 0.5 * (rise_mm + toe.z_mm[i]);
    toe.u_mm[i] = std::max(toe.u_mm[i], 0.5 * apart_mm / std::sqrt(3.0));  // anywhere between the two, rectangular
  }
}

}  // namespace vision::fusion
