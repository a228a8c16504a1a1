#include "vision/match/removed.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <opencv2/imgproc.hpp>

#include "vision/bore/angle.h"

namespace vision::match {
namespace {

constexpr double kCell_mm = 0.2;
constexpr double kAlike = 3;          // neighbouring columns of a relief share stripe columns: so few are independent
constexpr double kLevelReach_mm = 3;  // around, for the level of a wall
constexpr int kFewest = 15;           // cells for the level of a wall
const float kNone = std::numeric_limits<float>::quiet_NaN();

/// Heights about the pocket on a flat grid of its own: u along the arc, v along z, from the pocket's middle.
struct Field {
  cv::Mat1f h, u;
};

struct Patch {
  double half_u = 0, half_v = 0, radius_mm = 0;
  WallPlace middle;
  int columns = 0, rows = 0;

  Patch(const Pocket& pocket, double radius, const WallEnds& walls, double beside)
      : half_u(0.5 * pocket.circ_mm + 1), radius_mm(radius), middle(pocket.middle) {
    half_v = std::max(walls.right_z_mm - middle.z_mm, middle.z_mm - walls.left_z_mm) + beside;
    columns = static_cast<int>(2 * half_u / kCell_mm) + 1;
    rows = static_cast<int>(2 * half_v / kCell_mm) + 1;
  }
  WallPlace At(int row, int column) const {
    const double along = column * kCell_mm - half_u;
    return {bore::Wrap360(middle.theta_deg + along / radius_mm * bore::kDegPerRad), Z(row)};
  }
  double Z(int row) const { return middle.z_mm + row * kCell_mm - half_v; }
};

/// @param match Null: the relief is the first recording's own.
Field Sample(const Patch& patch, const relief::Relief& relief, const RingMatch* match) {
  Field field{cv::Mat1f(patch.rows, patch.columns, kNone), cv::Mat1f(patch.rows, patch.columns, kNone)};
  for (int row = 0; row < patch.rows; ++row)
    for (int column = 0; column < patch.columns; ++column) {
      WallPlace at = patch.At(row, column);
      if (match) match->MovingFromFixed(at.theta_deg, at.z_mm, &at.theta_deg, &at.z_mm);
      const int r = static_cast<int>(std::lround(relief.grid.Row(at.z_mm)));
      if (r < 0 || r >= relief.grid.rows) continue;
      const int c = relief.grid.NearestColumn(at.theta_deg);
      field.h(row, column) = relief.h_mm(r, c), field.u(row, column) = relief.u_mm(r, c);
    }
  return field;
}

float Median(std::vector<float>& values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

/// Level of one wall at each column, and how far that is known.
struct Level {
  std::vector<float> mm, u_mm;
};

Level LevelOf(const Patch& patch, const cv::Mat1f& heights, double from_z, double to_z) {
  Level level{std::vector<float>(static_cast<std::size_t>(patch.columns), kNone),
              std::vector<float>(static_cast<std::size_t>(patch.columns), kNone)};
  const int reach = static_cast<int>(kLevelReach_mm / kCell_mm);
  for (int column = 0; column < patch.columns; ++column) {
    std::vector<float> values;
    for (int row = 0; row < patch.rows; ++row) {
      if (patch.Z(row) < from_z || patch.Z(row) > to_z) continue;
      for (int c = std::max(0, column - reach); c <= std::min(patch.columns - 1, column + reach); ++c)
        if (std::isfinite(heights(row, c))) values.push_back(heights(row, c));
    }
    if (values.size() < kFewest) continue;
    const auto i = static_cast<std::size_t>(column);
    level.mm[i] = Median(values);
    for (auto& value : values) value = std::abs(value - level.mm[i]);
    level.u_mm[i] = 1.4826F * Median(values) / static_cast<float>(std::sqrt(kAlike));
  }
  return level;
}

/// The line that joins the walls, at every cell.
struct Between {
  Level left, right;
  double from_z = 0, to_z = 0;

  Between(const Patch& patch, const cv::Mat1f& heights, const WallEnds& walls, const DepthOptions& o)
      : left(LevelOf(patch, heights, walls.left_z_mm - o.wall_to_mm, walls.left_z_mm - o.wall_from_mm)),
        right(LevelOf(patch, heights, walls.right_z_mm + o.wall_from_mm, walls.right_z_mm + o.wall_to_mm)),
        from_z(walls.from_z_mm),
        to_z(walls.to_z_mm) {}
  double Share(double z) const { return std::clamp((z - from_z) / std::max(0.1, to_z - from_z), 0.0, 1.0); }
  double At(int column, double z) const {
    const auto i = static_cast<std::size_t>(column);
    return (1 - Share(z)) * left.mm[i] + Share(z) * right.mm[i];
  }
  double U(int column, double z) const {
    const auto i = static_cast<std::size_t>(column);
    return std::hypot((1 - Share(z)) * left.u_mm[i], Share(z) * right.u_mm[i]);
  }
};

/// Mean over a square window of the cells that have a value, NaN where too few have.
cv::Mat1f Averaged(const cv::Mat1f& values, const DepthOptions& o) {
  const int side = static_cast<int>(o.window_mm / kCell_mm) | 1;
  cv::Mat1f sum = values.clone(), count, mean;
  const cv::Mat none = (values == values) == 0;  // != of NaN is false where AVX2 is used
  cv::Mat(values == values).convertTo(count, CV_32F, 1 / 255.0);
  sum.setTo(0, none);
  cv::boxFilter(sum, sum, -1, {side, side}, {-1, -1}, true, cv::BORDER_CONSTANT);
  cv::boxFilter(count, count, -1, {side, side}, {-1, -1}, true, cv::BORDER_CONSTANT);
  cv::divide(sum, count, mean);
  mean.setTo(kNone, count < o.least_filled);
  return mean;
}

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

std::string TooFew(double seen, const char* what) {
  return std::string("not measurable from ") + what + ": only " + std::to_string(std::lround(100 * seen)) +
         " % of the pocket carries a height";
}

constexpr const char* kNoWall = "too little bare wall beside the pocket carries a height to measure from";

void StateFloor(const Patch& patch, const cv::Mat1b& inside, const Field& after, double shared_u, const WallEnds& walls,
                const DepthOptions& o, Depths& depths) {
  depths.seen = ShareSeen(after.h, inside);
  if (depths.seen < o.least_seen) {
    depths.floor_why = TooFew(depths.seen, "the later recording");
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
    depths.floor_why = kNoWall;
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
    depths.removed_why = TooFew(depths.seen_both, "the two recordings together");
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
    depths.removed_why = kNoWall;
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
    depths.floor_why = depths.removed_why =
        "not measurable from this recording: the later recording has no heights; pictures tell where, not how deep";
    return depths;
  }
  const Patch patch(pocket, after->grid.radius_mm, walls, options.wall_to_mm);
  const cv::Mat1b inside = Well(patch, pocket, options.edge_mm);
  const Field now = Sample(patch, *after, &match);
  StateFloor(patch, inside, now, after->shared_u_mm, walls, options, depths);
  if (before == nullptr) {
    depths.removed_why = "not measurable from these recordings: the earlier one has no heights";
    return depths;
  }
  const Field was = Sample(patch, *before, nullptr);
  StateRemoved(patch, inside, was, now, std::hypot(before->shared_u_mm, after->shared_u_mm), match.residual_mm, walls,
               options, depths);
  return depths;
}

}  // namespace vision::match
