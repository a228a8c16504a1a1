#include "vision/bead/hollow.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>
#include <optional>

#include "vision/base/median.h"

namespace vision::bead {
namespace {

// Lengths are of the bore wall, along z but for the first; levels are logarithms over the wall's.
constexpr double kArc_mm = 2.5;                   // Around, to either side: ripples average out.
constexpr double kNear_mm = 0.8;                  // Of the half that turns away.
constexpr double kStep_mm = 0.4;                  // Half-window of a step.
constexpr double kLeastWidth_mm = 1.5;            // Between the toes.
constexpr double kBefore_mm = 1.5;                // A fall is looked for from so much before the far path
constexpr double kBeyond_mm = 0.6;                // to so much past it.
constexpr double kNearReach_mm = 1.2;             // The near toe, before its path; a third of it past the path.
constexpr double kCalm_mm = 2.0, kWall = 0.12;    // Of wall outside the fall, and how far its level may lie off.
constexpr double kShade_mm = 0.3, kShade = 0.07;  // Past the fall: a crown or an insert casts a shade there.
constexpr double kFall = 0.15;                    // At least.
constexpr double kDark_share = 0.2;               // Of the bright half's level: the dark half's at most.

cv::Mat1f OverArc(const Features& f) {
  const int half = std::max(1, static_cast<int>(std::lround(kArc_mm / f.line_mm)));
  cv::Mat1f wrapped, mean;
  cv::copyMakeBorder(f.level, wrapped, 0, 0, half, half, cv::BORDER_WRAP);
  cv::blur(wrapped, mean, cv::Size(2 * half + 1, 1));
  return mean.colRange(half, half + f.level.cols).clone();
}

/// The strongest fall from bright inside to calm wall outside, if the near part is dark beside the far third.
std::optional<int> FallOf(const Features& f, const std::vector<float>& level, int near, int far) {
  const auto rows = [&](double mm) { return static_cast<int>(std::lround(mm / f.pitch_mm)); };
  const int w = std::max(2, rows(kStep_mm));
  const int last = std::min(far + rows(kBeyond_mm), f.level.rows - 1 - w);
  double most = kFall;
  std::optional<int> at;
  for (int r = std::max(near + rows(kLeastWidth_mm), far - rows(kBefore_mm)); r <= last; ++r) {
    const double fall = Features::Mean(level, r - w, r - 1) - Features::Mean(level, r, r + w - 1);
    if (fall > most) most = fall, at = r;
  }
  if (!at) return std::nullopt;
  const int shade = *at + rows(kShade_mm);
  const double bright = Features::Mean(level, *at - (*at - near) / 3, *at - 1);
  const double dark = Features::Mean(level, near + 1, near + rows(kNear_mm));
  const bool to_wall = Features::Mean(level, shade, shade + w) > -kShade &&
                       std::abs(Features::Mean(level, *at + w, *at + rows(kCalm_mm))) < kWall;
  return to_wall && dark < kDark_share * bright ? at : std::nullopt;
}

/// The strongest darkening from the wall into the near half, about the path.
int DarkeningOf(const Features& f, const std::vector<float>& level, int near) {
  const int w = std::max(2, static_cast<int>(std::lround(kStep_mm / f.pitch_mm)));
  const int reach = static_cast<int>(std::lround(kNearReach_mm / f.pitch_mm));
  double best = 0;
  int at = near;
  for (int r = std::max(w, near - reach); r <= near + reach / 3; ++r) {
    const double fall = Features::Mean(level, r - w, r - 1) - Features::Mean(level, r, r + w - 1);
    if (fall > best) best = fall, at = r;
  }
  return at;
}

/// Each row of a hollow line becomes the middle one of the hollow lines close by.
std::vector<int> Evened(const Features& f, const std::vector<char>& hollow, const std::vector<int>& rows) {
  const int half = std::max(1, static_cast<int>(std::lround(kArc_mm / f.line_mm)));
  std::vector<int> out = rows, around;
  for (int i = 0; i < kLines; ++i) {
    if (!hollow[static_cast<std::size_t>(i)]) continue;
    around.clear();
    for (int k = -half; k <= half; ++k)
      if (const auto j = static_cast<std::size_t>(WrapLine(i + k)); hollow[j]) around.push_back(rows[j]);
    out[static_cast<std::size_t>(i)] = MedianInPlace(around);
  }
  return out;
}

}  // namespace

HollowToes FollowHollow(const std::vector<int>& near_row, const std::vector<int>& far_row, Features& f) {
  const cv::Mat1f level = OverArc(f);
  HollowToes out{std::vector<char>(kLines, 0), near_row, far_row};
  for (int i = 0; i < kLines; ++i) {
    const auto k = static_cast<std::size_t>(i);
    const auto own = Features::Column(level, i);
    const auto fall = FallOf(f, own, near_row[k], far_row[k]);
    if (!fall) continue;
    out.hollow[k] = 1;
    out.far_row[k] = *fall;
    out.near_row[k] = DarkeningOf(f, own, near_row[k]);
    level.col(i).copyTo(f.level.col(i));
  }
  out.near_row = Evened(f, out.hollow, out.near_row);
  out.far_row = Evened(f, out.hollow, out.far_row);
  return out;
}

}  // namespace vision::bead
