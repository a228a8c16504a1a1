#include "vision/bead/hollow.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "vision/base/median.h"
#include "vision/bead/edge.h"

namespace vision::bead {
namespace {

// Lengths are of the bore wall, along z but for the first; levels are logarithms over the wall's.
constexpr double kArc_mm = 2.5;                   // Around, to either side: ripples average out.
constexpr double kNear_mm = 0.8;                  // Of the half that turns away.
constexpr double kLeastWidth_mm = 1.5;            // Between the toes.
constexpr double kBefore_mm = 1.5;                // A fall is looked for from so much before the far path
constexpr double kBeyond_mm = 0.6;                // to so much past it.
constexpr double kNearReach_mm = 1.2;             // The near toe, before its path; a third of it past the path.
constexpr double kCalm_mm = 2.0, kWall = 0.12;    // Of wall outside the fall, and how far its level may lie off.
constexpr double kShade_mm = 0.3, kShade = 0.07;  // Past the fall: a crown or an insert casts a shade there.
constexpr double kFall = 0.15;                    // At least.
constexpr double kDark_share = 0.2;               // Of the bright half's level: the dark half's at most.

/// The strongest fall from bright inside to calm wall outside, if the near part is dark beside the far third.
std::optional<int> FallOf(const Features& f, const std::vector<float>& level, int near, int far) {
  const auto rows = [&](double mm) { return static_cast<int>(std::lround(mm / f.pitch_mm)); };
  const int w = StepRows(f.pitch_mm);
  const int last = std::min(far + rows(kBeyond_mm), f.level.rows - 1 - w);
  double most = kFall;
  std::optional<int> at;
  for (int r = std::max(near + rows(kLeastWidth_mm), far - rows(kBefore_mm)); r <= last; ++r) {
    const double fall = StepAt(level, f.pitch_mm, r, Side::kFar);
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
  const int reach = static_cast<int>(std::lround(kNearReach_mm / f.pitch_mm));
  double most = 0;
  int at = near;
  for (int r = std::max(StepRows(f.pitch_mm), near - reach); r <= near + reach / 3; ++r) {
    const double fall = -StepAt(level, f.pitch_mm, r, Side::kNear);
    if (fall > most) most = fall, at = r;
  }
  return at;
}

/// Each row of a hollow line becomes the middle one of the hollow lines close by.
std::vector<int> Evened(const std::vector<char>& hollow, const std::vector<int>& rows, int half) {
  std::vector<int> out = rows;
  for (int i = 0; i < kLines; ++i)
    if (hollow[static_cast<std::size_t>(i)])
      out[static_cast<std::size_t>(i)] = Median(Around(rows, i, half, [&](std::size_t j) { return hollow[j] != 0; }));
  return out;
}

}  // namespace

HollowToes FollowHollow(const std::vector<int>& near_row, const std::vector<int>& far_row, Features& f) {
  const int half = LinesIn(kArc_mm, f.line_mm);
  const cv::Mat1f level = BlurAround(f.level, 2 * half + 1);
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
  out.near_row = Evened(out.hollow, out.near_row, half);
  out.far_row = Evened(out.hollow, out.far_row, half);
  return out;
}

}  // namespace vision::bead
