#include "vision/match/slope.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "vision/base/number.h"
#include "vision/base/range.h"
#include "vision/base/says.h"
#include "vision/bore/angle.h"
#include "vision/match/pocket_field.h"

namespace vision::match {
namespace {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();

/// Depth under the line that joins the walls along the pocket's middle: one value a row, NaN where nothing was seen.
std::vector<double> MiddleDepths(const Patch& patch, const Field& after, const Between& line, double half_width_mm) {
  const int middle = patch.columns / 2, reach = std::max(2, static_cast<int>(half_width_mm / kCell_mm));
  std::vector<double> depths(static_cast<std::size_t>(patch.rows), kNone);
  for (int row = 0; row < patch.rows; ++row) {
    std::vector<double> seen;
    for (int c = std::max(0, middle - reach); c <= std::min(patch.columns - 1, middle + reach); ++c) {
      const double depth = line.At(c, patch.Z(row)) - after.h(row, c);
      if (std::isfinite(depth)) seen.push_back(depth);
    }
    if (static_cast<int>(seen.size()) <= reach) continue;
    std::nth_element(seen.begin(), seen.begin() + static_cast<std::ptrdiff_t>(seen.size() / 2), seen.end());
    depths[static_cast<std::size_t>(row)] = seen[seen.size() / 2];
  }
  return depths;
}

/// Rows of one flank, from the wall inwards.
struct Flank {
  std::vector<double> z_mm, depth_mm;
};

/// @param first, last z of the flank's stretch of formerly bare wall, the wall's end first.
Flank FlankOf(const Patch& patch, const std::vector<double>& depths, double first, double last) {
  Flank flank;
  for (int row = 0; row < patch.rows; ++row) {
    const double z = patch.Z(row), depth = depths[static_cast<std::size_t>(row)];
    if (z < std::min(first, last) || z > std::max(first, last) || !std::isfinite(depth)) continue;
    flank.z_mm.push_back(z), flank.depth_mm.push_back(depth);
  }
  if (first > last) {
    std::reverse(flank.z_mm.begin(), flank.z_mm.end());
    std::reverse(flank.depth_mm.begin(), flank.depth_mm.end());
  }
  return flank;
}

/// A straight line through rows [from, to): slope, its standard error, with what neighbouring rows share.
struct Line {
  double per_mm = 0, u_per_mm = 0;
};

Line LineThrough(const Flank& flank, std::size_t from, std::size_t to) {
  const double n = static_cast<double>(to - from);
  double mean_z = 0, mean_d = 0, zz = 0, zd = 0, rest = 0;
  for (std::size_t i = from; i < to; ++i) mean_z += flank.z_mm[i] / n, mean_d += flank.depth_mm[i] / n;
  for (std::size_t i = from; i < to; ++i) {
    zz += std::pow(flank.z_mm[i] - mean_z, 2);
    zd += (flank.z_mm[i] - mean_z) * (flank.depth_mm[i] - mean_d);
  }
  const double slope = zd / zz;
  for (std::size_t i = from; i < to; ++i)
    rest += std::pow(flank.depth_mm[i] - mean_d - slope * (flank.z_mm[i] - mean_z), 2);
  return {slope, std::sqrt(rest / std::max(1.0, n - 2) * kAlike / zz)};
}

/// What a cell of the flank is uncertain by, less what all cells share: a shared part tilts nothing.
double OwnU(const Patch& patch, const Field& after, double shared_u, double from_z, double to_z) {
  double squares = 0;
  int count = 0;
  for (int row = 0; row < patch.rows; ++row) {
    const double u = after.u(row, patch.columns / 2);
    if (patch.Z(row) < from_z || patch.Z(row) > to_z || !std::isfinite(u)) continue;
    squares += std::max(0.0, u * u - shared_u * shared_u), ++count;
  }
  return count > 0 ? std::sqrt(squares / count) : 0;
}

/// @param deepest Of the pocket's middle section. @param own_u From OwnU, of a stretch of z.
template <typename OwnUOf>
FlankSlope SlopeOf(const Flank& flank, double deepest, const OwnUOf& own_u, const SlopeOptions& o) {
  const auto reaches = [&](double depth) {
    return static_cast<std::size_t>(
        std::find_if(flank.depth_mm.begin(), flank.depth_mm.end(), [&](double d) { return d >= depth; }) -
        flank.depth_mm.begin());
  };
  const std::size_t from = reaches(o.from_share * deepest), to = reaches(o.to_share * deepest);
  if (from >= to || to - from < 4 || std::abs(flank.z_mm[to - 1] - flank.z_mm[from]) < o.least_run_mm)
    return {std::nullopt, {Says::kFlankTooShort, {NumberText(o.least_run_mm, "%.1f")}}};
  const Line line = LineThrough(flank, from, to);
  const auto [low, high] = std::minmax(flank.z_mm[from], flank.z_mm[to - 1]);
  // Both ends of the line may err by what a cell does; the columns side by side share their cuts' poses.
  const double ends = std::sqrt(2.0) * own_u(low, high) / (high - low);
  const double u_per_mm = std::hypot(line.u_per_mm, ends, o.of_slope_share * line.per_mm);
  return {SlopeAt{std::atan(std::abs(line.per_mm)) * bore::kDegPerRad,
                  u_per_mm / (1 + line.per_mm * line.per_mm) * bore::kDegPerRad, low, high},
          {}};
}

}  // namespace

Status SlopeOptions::Check() const {
  if (auto broken =
          FirstOutside("SlopeOptions", {{"of_slope_share", of_slope_share, 0, 1}, {"shallow_mm", shallow_mm, 0, 10}}))
    return broken;
  if (!(from_share > 0 && to_share > from_share && to_share < 1))
    return BadInput("SlopeOptions::from_share and to_share must rise between 0 and 1.");
  if (!(least_run_mm > 0)) return BadInput("SlopeOptions::least_run_mm must be > 0.");
  if (!(clear_of_toe_mm >= 0)) return BadInput("SlopeOptions::clear_of_toe_mm must be >= 0.");
  if (!(half_width_share > 0 && half_width_share <= 0.5))
    return BadInput("SlopeOptions::half_width_share must be in (0, 0.5].");
  return std::nullopt;
}

Result<Slopes> SlopesOf(const Pocket& pocket, const relief::Relief* after, const RingMatch& match,
                        const WallEnds& walls, const SlopeOptions& options) {
  if (auto broken = options.Check()) return *broken;
  const auto none = [](const Reason& why) { return Slopes{{std::nullopt, why}, {std::nullopt, why}}; };
  if (after == nullptr) return none({Says::kNoSlopeFromPictures});
  if (!walls.toes_known) return none({Says::kToesBesidePocketUnknown});
  const DepthOptions depth_options;
  const Patch patch(pocket, after->grid.radius_mm, walls, depth_options.wall_to_mm);
  const Field now = Sample(patch, *after, &match);
  const Between line(patch, now.h, walls, depth_options);
  const auto depths = MiddleDepths(patch, now, line, options.half_width_share * pocket.circ_mm);
  double deepest = 0;
  for (int row = 0; row < patch.rows; ++row)
    if (std::abs(patch.Z(row) - pocket.middle.z_mm) < 0.5 * pocket.axial_mm &&
        depths[static_cast<std::size_t>(row)] > deepest)
      deepest = depths[static_cast<std::size_t>(row)];
  if (deepest < options.shallow_mm) return none({Says::kPocketTooShallow, {NumberText(options.shallow_mm, "%.2f")}});
  const double beyond = 0.5 * pocket.axial_mm + 1;
  const Flank left = FlankOf(patch, depths, pocket.middle.z_mm - beyond,
                             std::min(walls.from_z_mm - options.clear_of_toe_mm, pocket.middle.z_mm));
  const Flank right = FlankOf(patch, depths, pocket.middle.z_mm + beyond,
                              std::max(walls.to_z_mm + options.clear_of_toe_mm, pocket.middle.z_mm));
  const auto own_u = [&](double from_z, double to_z) { return OwnU(patch, now, after->shared_u_mm, from_z, to_z); };
  return Slopes{SlopeOf(left, deepest, own_u, options), SlopeOf(right, deepest, own_u, options)};
}

}  // namespace vision::match
