#include "vision/bead/hollow.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "vision/base/median.h"
#include "vision/bead/edge.h"
#include "vision/bore/stations.h"

namespace vision::bead {
namespace {

/// The strongest fall from bright inside to calm wall outside, if the near part is dark beside the far third.
std::optional<int> FallOf(const Features& f, const std::vector<float>& level, int near, int far,
                          const EdgeOptions& edge, const HollowOptions& o) {
  const auto rows = [&](double mm) { return static_cast<int>(std::lround(mm / f.pitch_mm)); };
  const int w = StepRows(f.pitch_mm, edge);
  const int last = std::min(far + rows(o.beyond_mm), f.level.rows - 1 - w);
  double most = o.fall;
  std::optional<int> at;
  for (int r = std::max(near + rows(o.least_width_mm), far - rows(o.before_mm)); r <= last; ++r) {
    const double fall = StepAt(level, f.pitch_mm, r, Side::kFar, edge);
    if (fall > most) most = fall, at = r;
  }
  if (!at) return std::nullopt;
  const int shade = *at + rows(o.shade_mm);
  const double bright = Features::Mean(level, *at - (*at - near) / 3, *at - 1);
  const double dark = Features::Mean(level, near + 1, near + rows(o.near_mm));
  const bool to_wall = Features::Mean(level, shade, shade + w) > -o.shade &&
                       std::abs(Features::Mean(level, *at + w, *at + rows(o.calm_mm))) < o.wall;
  return to_wall && dark < o.dark_share * bright ? at : std::nullopt;
}

/// The strongest darkening from the wall into the near half, about the path.
int DarkeningOf(const Features& f, const std::vector<float>& level, int near, const EdgeOptions& edge,
                const HollowOptions& o) {
  const int reach = static_cast<int>(std::lround(o.near_reach_mm / f.pitch_mm));
  double most = 0;
  int at = near;
  for (int r = std::max(StepRows(f.pitch_mm, edge), near - reach); r <= near + reach / 3; ++r) {
    const double fall = -StepAt(level, f.pitch_mm, r, Side::kNear, edge);
    if (fall > most) most = fall, at = r;
  }
  return at;
}

/// Each row of a hollow line becomes the middle one of the hollow lines close by.
std::vector<int> Evened(const std::vector<char>& hollow, const std::vector<int>& rows, int half) {
  std::vector<int> out = rows;
  for (int i = 0; i < bore::kStationLines; ++i)
    if (hollow[static_cast<std::size_t>(i)])
      out[static_cast<std::size_t>(i)] = Median(Around(rows, i, half, [&](std::size_t j) { return hollow[j] != 0; }));
  return out;
}

}  // namespace

HollowToes FollowHollow(const std::vector<int>& near_row, const std::vector<int>& far_row, Features& f,
                        const EdgeOptions& edge, const HollowOptions& o) {
  const int half = LinesIn(o.arc_mm, f.line_mm);
  const cv::Mat1f level = BlurAround(f.level, 2 * half + 1);
  HollowToes out{std::vector<char>(bore::kStationLines, 0), near_row, far_row};
  for (int i = 0; i < bore::kStationLines; ++i) {
    const auto k = static_cast<std::size_t>(i);
    const auto own = Features::Column(level, i);
    const auto fall = FallOf(f, own, near_row[k], far_row[k], edge, o);
    if (!fall) continue;
    out.hollow[k] = 1;
    out.far_row[k] = *fall;
    out.near_row[k] = DarkeningOf(f, own, near_row[k], edge, o);
    level.col(i).copyTo(f.level.col(i));
  }
  out.near_row = Evened(out.hollow, out.near_row, half);
  out.far_row = Evened(out.hollow, out.far_row, half);
  return out;
}

}  // namespace vision::bead
