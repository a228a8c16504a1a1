#include "vision/match/footprint.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <opencv2/core.hpp>
#include <vector>

#include "vision/base/median.h"
#include "vision/bore/angle.h"
#include "vision/match/pocket_field.h"

namespace vision::match {
namespace {

/// What was taken along a section, cell by cell from its first end; NaN where not known.
struct Cut {
  std::vector<double> at_mm, taken_mm;
  double level_u_mm = 0;  ///< Of the walls' levels, which all cells share.
};

struct End {
  double at_mm = 0, u_mm = 0;
};

/// Where a line through the cells comes to nothing.
std::optional<End> RunOut(const std::vector<double>& at, const std::vector<double>& taken, double level_u_mm,
                          const FootprintOptions& o) {
  const auto n = static_cast<double>(at.size());
  if (static_cast<int>(at.size()) < o.fewest) return std::nullopt;
  double mean_x = 0, mean_y = 0, xx = 0, xy = 0, rest = 0;
  for (std::size_t i = 0; i < at.size(); ++i) mean_x += at[i] / n, mean_y += taken[i] / n;
  for (std::size_t i = 0; i < at.size(); ++i)
    xx += std::pow(at[i] - mean_x, 2), xy += (at[i] - mean_x) * (taken[i] - mean_y);
  const double slope = xy / xx;
  if (!(slope * (at.back() - at.front()) < 0)) return std::nullopt;  // it rises outwards
  for (std::size_t i = 0; i < at.size(); ++i) rest += std::pow(taken[i] - mean_y - slope * (at[i] - mean_x), 2);
  const double end = mean_x - mean_y / slope;
  const double u_line = std::sqrt(rest / std::max(1.0, n - 2) * kAlike * (1 / n + std::pow(end - mean_x, 2) / xx));
  return End{end, std::hypot(u_line, level_u_mm) / std::abs(slope)};
}

/// From the cell of the greatest removal outwards (`step` is 1 or -1): the first cells below `high_share` to the last
/// above `low_share` are the flank; one that ends at a step ends there.
std::optional<End> EndOf(const Cut& cut, std::size_t from, int step, const FootprintOptions& o) {
  const double greatest = cut.taken_mm[from];
  std::vector<double> at, taken;
  double before = greatest, before_at = cut.at_mm[from];
  for (auto i = static_cast<std::ptrdiff_t>(from); i >= 0 && i < static_cast<std::ptrdiff_t>(cut.at_mm.size());
       i += step) {
    const double here = cut.taken_mm[static_cast<std::size_t>(i)], here_at = cut.at_mm[static_cast<std::size_t>(i)];
    if (!std::isfinite(here)) continue;
    if (here < o.low_share * greatest) {
      if (before - here > o.step_share * greatest)
        return End{0.5 * (before_at + here_at), std::abs(here_at - before_at)};
      return RunOut(at, taken, cut.level_u_mm, o);
    }
    if (here > o.high_share * greatest) at.clear(), taken.clear();
    if (here <= o.high_share * greatest) at.push_back(here_at), taken.push_back(here);
    before = here, before_at = here_at;
  }
  return std::nullopt;  // it leaves what was seen
}

std::size_t Greatest(const Cut& cut, double from_mm, double to_mm) {
  std::size_t best = cut.at_mm.size();
  for (std::size_t i = 0; i < cut.at_mm.size(); ++i)
    if (cut.at_mm[i] >= from_mm && cut.at_mm[i] <= to_mm && std::isfinite(cut.taken_mm[i]) &&
        (best == cut.at_mm.size() || cut.taken_mm[i] > cut.taken_mm[best]))
      best = i;
  return best;
}

/// One value a row or a column of the patch, over the cells of a band through its middle.
Cut CutThrough(const Patch& patch, const cv::Mat1f& taken, bool around, const FootprintOptions& o) {
  Cut cut;
  const int length = around ? patch.columns : patch.rows, across = around ? patch.rows : patch.columns;
  const auto band = static_cast<int>(o.half_band_mm / kCell_mm);
  const int middle = around ? static_cast<int>(patch.half_v / kCell_mm) : across / 2;
  for (int i = 0; i < length; ++i) {
    std::vector<double> values;
    for (int k = std::max(0, middle - band); k <= std::min(across - 1, middle + band); ++k)
      if (const float value = around ? taken(k, i) : taken(i, k); std::isfinite(value)) values.push_back(value);
    const bool enough = static_cast<int>(values.size()) > band;
    cut.at_mm.push_back(i * kCell_mm - (around ? patch.half_u : patch.half_v));
    cut.taken_mm.push_back(enough ? MedianInPlace(values) : std::numeric_limits<double>::quiet_NaN());
  }
  return cut;
}

struct Ends {
  std::optional<End> first, last;
};

Ends EndsAround(const Cut& cut, double half_mm, const FootprintOptions& o) {
  const std::size_t at = Greatest(cut, -half_mm, half_mm);
  if (at == cut.at_mm.size() || cut.taken_mm[at] < o.least_mm) return {};
  return {EndOf(cut, at, -1, o), EndOf(cut, at, 1, o)};
}

/// Along the pipe only bare wall tells: on the weld a bead's height is in the removal.
Ends EndsAlong(const Cut& cut, const Patch& patch, const WallEnds& walls, const FootprintOptions& o) {
  const double left = walls.from_z_mm - o.toe_mm - patch.middle.z_mm,
               right = walls.to_z_mm + o.toe_mm - patch.middle.z_mm;
  const std::size_t a = Greatest(cut, cut.at_mm.front(), left), b = Greatest(cut, right, cut.at_mm.back());
  Ends ends;
  if (a < cut.at_mm.size() && cut.taken_mm[a] >= o.least_mm) ends.first = EndOf(cut, a, -1, o);
  if (b < cut.at_mm.size() && cut.taken_mm[b] >= o.least_mm) ends.last = EndOf(cut, b, 1, o);
  return ends;
}

}  // namespace

FootprintFound FootprintOf(const Pocket& pocket, const relief::Relief* before, const relief::Relief* after,
                           const RingMatch& match, const WallEnds& walls, const FootprintOptions& o) {
  if (before == nullptr || after == nullptr) return {std::nullopt, "not both recordings have heights"};
  if (!walls.toes_known) return {std::nullopt, "the toes beside the pocket are not known"};
  const DepthOptions options;
  Patch patch(pocket, before->grid.radius_mm, walls, options.wall_to_mm, o.beyond_mm);
  const Field was = Sample(patch, *before, nullptr), now = Sample(patch, *after, &match);
  cv::Mat1f taken;
  cv::subtract(was.h, now.h, taken);
  const Between untouched(patch, taken, walls, options);
  for (int row = 0; row < taken.rows; ++row)
    for (int column = 0; column < taken.cols; ++column)
      taken(row, column) -= static_cast<float>(untouched.At(column, patch.Z(row)));
  Cut around = CutThrough(patch, taken, true, o), along = CutThrough(patch, taken, false, o);
  around.level_u_mm = untouched.U(patch.columns / 2, patch.middle.z_mm);
  along.level_u_mm = untouched.U(patch.columns / 2, walls.left_z_mm);
  const Ends u = EndsAround(around, 0.5 * pocket.circ_mm, o), v = EndsAlong(along, patch, walls, o);
  if (!u.first || !u.last || !v.first || !v.last)
    return {std::nullopt, "a flank of the pocket does not run out as a line of removal on what both recordings show"};
  const auto shared = match.residual_mm;
  Footprint found;
  found.circ_mm = u.last->at_mm - u.first->at_mm, found.axial_mm = v.last->at_mm - v.first->at_mm;
  found.circ_u_mm = std::hypot(u.first->u_mm, u.last->u_mm, shared);
  found.axial_u_mm = std::hypot(v.first->u_mm, v.last->u_mm, shared);
  const double middle_mm = 0.5 * (u.first->at_mm + u.last->at_mm);
  found.middle = {bore::Wrap360(patch.middle.theta_deg + middle_mm / patch.radius_mm * bore::kDegPerRad),
                  patch.middle.z_mm + 0.5 * (v.first->at_mm + v.last->at_mm)};
  return {found, ""};
}

}  // namespace vision::match
