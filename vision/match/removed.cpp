#include "vision/match/removed.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "vision/base/range.h"
#include "vision/base/says.h"
#include "vision/match/pocket_field.h"

namespace vision::match {
namespace {

const float kNone = std::numeric_limits<float>::quiet_NaN();

/// The cells whose middle lies inside the outline, clear of its rim.
cv::Mat1b Well(const Patch& patch, const Pocket& pocket, double edge_mm) {
  cv::Mat1b inside(patch.rows, patch.columns, uchar{0});
  for (int row = 0; row < patch.rows; ++row)
    for (int column = 0; column < patch.columns; ++column)
      if (Inside(pocket, patch.At(row, column), patch.radius_mm, edge_mm)) inside(row, column) = 255;
  return inside;
}

double ShareSeen(const cv::Mat1f& values, const cv::Mat1b& inside) {
  const int all = cv::countNonZero(inside);
  return all == 0 ? 0 : cv::countNonZero(inside & cv::Mat1b(values == values)) / static_cast<double>(all);
}

/// The largest value inside; row -1 where there is none.
cv::Point Largest(const cv::Mat1f& values, const cv::Mat1b& inside) {
  cv::Point at(-1, -1);
  for (int row = 0; row < values.rows; ++row)
    for (int column = 0; column < values.cols; ++column)
      if (inside(row, column) && std::isfinite(values(row, column)) && (at.y < 0 || values(row, column) > values(at)))
        at = {column, row};
  return at;
}

Reason TooFew(double seen, Says which) { return {which, {std::to_string(std::lround(100 * seen))}}; }

void StateFloor(const Patch& patch, const cv::Mat1b& inside, const Field& after, double shared_u, const WallEnds& walls,
                const DepthOptions& o, Depths& depths) {
  depths.seen = ShareSeen(after.h, inside);
  if (depths.seen < o.least_seen) {
    depths.floor_why = TooFew(depths.seen, Says::kLaterHardlySeen);
    return;
  }
  const Between line(patch, after.h, walls, o);
  cv::Mat1f depth(after.h.size(), kNone);
  for (int row = 0; row < depth.rows; ++row)
    for (int column = 0; column < depth.cols; ++column)
      depth(row, column) = static_cast<float>(line.At(column, patch.Z(row)) - after.h(row, column));
  const cv::Mat1f smooth = Averaged(depth, o), own = Averaged(after.u, o);
  const cv::Point at = Largest(smooth, inside);
  if (at.y < 0) {
    depths.floor_why = {Says::kFewWallBesidePocket};
    return;
  }
  const double alone = own(at) / std::sqrt(kAlike);  // once for the place, once more since the deepest was picked
  depths.floor =
      DepthAt{smooth(at), std::hypot(std::hypot(shared_u, std::sqrt(2.0) * alone), line.U(at.x, patch.Z(at.y))),
              patch.At(at.y, at.x)};
}

void StateRemoved(const Patch& patch, const cv::Mat1b& inside, const Field& before, const Field& after, double shared_u,
                  double registration_mm, const WallEnds& walls, const DepthOptions& o, Depths& depths) {
  cv::Mat1f off;
  cv::subtract(before.h, after.h, off);
  depths.seen_both = ShareSeen(off, inside);
  if (depths.seen_both < o.least_seen) {
    depths.removed_why = TooFew(depths.seen_both, Says::kBothHardlySeen);
    return;
  }
  const Between untouched(patch, off, walls, o);  // what the two recordings' levels of the same wall differ by
  cv::Mat1f taken(off.size(), kNone);
  for (int row = 0; row < taken.rows; ++row)
    for (int column = 0; column < taken.cols; ++column)
      taken(row, column) = static_cast<float>(off(row, column) - untouched.At(column, patch.Z(row)));
  const cv::Mat1f smooth = Averaged(taken, o), level = Averaged(before.h, o), first = Averaged(before.u, o),
                  second = Averaged(after.u, o);
  const cv::Point at = Largest(smooth, inside);
  if (at.y < 0) {
    depths.removed_why = {Says::kFewWallBesidePocket};
    return;
  }
  const int step = static_cast<int>(0.6 / kCell_mm);
  const float up = level(std::max(0, at.y - step), at.x), down = level(std::min(level.rows - 1, at.y + step), at.x);
  const double slope = std::isfinite(up - down) ? std::abs(up - down) / (2 * step * kCell_mm) : 0.5;
  const double alone = std::hypot(first(at), second(at)) / std::sqrt(kAlike);
  const double u = std::hypot(std::hypot(shared_u, std::sqrt(2.0) * alone),
                              std::hypot(slope * registration_mm, untouched.U(at.x, patch.Z(at.y))));
  depths.removed = DepthAt{smooth(at), u, patch.At(at.y, at.x)};
}

}  // namespace

Status DepthOptions::Check() const {
  if (auto broken = footprint.Check()) return broken;
  if (auto broken = FirstOutside("DepthOptions", {{"level_reach_mm", level_reach_mm, 0.2, 50},
                                                  {"least_level_cells", least_level_cells, 1, 1000}}))
    return broken;
  if (!(window_mm > 0)) return BadInput("DepthOptions::window_mm must be > 0.");
  if (!(least_filled > 0 && least_filled <= 1)) return BadInput("DepthOptions::least_filled must be in (0, 1].");
  if (!(wall_from_mm >= 0 && wall_to_mm > wall_from_mm))
    return BadInput("DepthOptions::wall_from_mm and wall_to_mm must be >= 0 and rise.");
  if (!(least_seen > 0 && least_seen <= 1)) return BadInput("DepthOptions::least_seen must be in (0, 1].");
  if (!(edge_mm >= 0)) return BadInput("DepthOptions::edge_mm must be >= 0.");
  return std::nullopt;
}

Result<Depths> DepthsOf(const Pocket& pocket, const relief::Relief* before, const relief::Relief* after,
                        const RingMatch& match, const WallEnds& walls, const DepthOptions& options) {
  if (auto broken = options.Check()) return *broken;
  Depths depths;
  if (after == nullptr) {
    depths.floor_why = depths.removed_why = {Says::kNoLaterHeights};
    return depths;
  }
  const Patch patch(pocket, after->grid.radius_mm, walls, options.wall_to_mm);
  const cv::Mat1b inside = Well(patch, pocket, options.edge_mm);
  const Field now = Sample(patch, *after, &match);
  StateFloor(patch, inside, now, after->shared_u_mm, walls, options, depths);
  if (before == nullptr) {
    depths.removed_why = {Says::kNoEarlierHeights};
    return depths;
  }
  const Field was = Sample(patch, *before, nullptr);
  StateRemoved(patch, inside, was, now, std::hypot(before->shared_u_mm, after->shared_u_mm), match.residual_mm, walls,
               options, depths);
  return depths;
}

}  // namespace vision::match
