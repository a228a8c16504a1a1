#include "vision/match/pocket_field.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <opencv2/imgproc.hpp>

#include "vision/base/median.h"
#include "vision/bore/angle.h"

namespace vision::match {
namespace {

const float kNone = std::numeric_limits<float>::quiet_NaN();

Level LevelOf(const Patch& patch, const cv::Mat1f& heights, double from_z, double to_z, const DepthOptions& o) {
  Level level{std::vector<float>(static_cast<std::size_t>(patch.columns), kNone),
              std::vector<float>(static_cast<std::size_t>(patch.columns), kNone)};
  const int reach = static_cast<int>(o.level_reach_mm / kCell_mm);
  for (int column = 0; column < patch.columns; ++column) {
    std::vector<float> values;
    for (int row = 0; row < patch.rows; ++row) {
      if (patch.Z(row) < from_z || patch.Z(row) > to_z) continue;
      for (int c = std::max(0, column - reach); c <= std::min(patch.columns - 1, column + reach); ++c)
        if (std::isfinite(heights(row, c))) values.push_back(heights(row, c));
    }
    if (static_cast<int>(values.size()) < o.least_level_cells) continue;
    const auto i = static_cast<std::size_t>(column);
    level.mm[i] = MedianInPlace(values);
    for (auto& value : values) value = std::abs(value - level.mm[i]);
    level.u_mm[i] = 1.4826F * MedianInPlace(values) / static_cast<float>(std::sqrt(kAlike));
  }
  return level;
}

}  // namespace

Patch::Patch(const Pocket& pocket, double radius, const WallEnds& walls, double beside_mm, double around_mm)
    : half_u(0.5 * pocket.circ_mm + around_mm), radius_mm(radius), middle(pocket.middle) {
  half_v = std::max(walls.right_z_mm - middle.z_mm, middle.z_mm - walls.left_z_mm) + beside_mm;
  columns = static_cast<int>(2 * half_u / kCell_mm) + 1;
  rows = static_cast<int>(2 * half_v / kCell_mm) + 1;
}

WallPlace Patch::At(int row, int column) const {
  const double along = column * kCell_mm - half_u;
  return {bore::Wrap360(middle.theta_deg + along / radius_mm * bore::kDegPerRad), Z(row)};
}

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

Between::Between(const Patch& patch, const cv::Mat1f& heights, const WallEnds& walls, const DepthOptions& o)
    : left(LevelOf(patch, heights, walls.left_z_mm - o.wall_to_mm, walls.left_z_mm - o.wall_from_mm, o)),
      right(LevelOf(patch, heights, walls.right_z_mm + o.wall_from_mm, walls.right_z_mm + o.wall_to_mm, o)),
      from_z(walls.from_z_mm),
      to_z(walls.to_z_mm),
      toe_u(walls.toe_u_mm) {}

double Between::Share(double z) const { return std::clamp((z - from_z) / std::max(0.1, to_z - from_z), 0.0, 1.0); }

double Between::At(int column, double z) const {
  const auto i = static_cast<std::size_t>(column);
  return (1 - Share(z)) * left.mm[i] + Share(z) * right.mm[i];
}

double Between::U(int column, double z) const {
  const auto i = static_cast<std::size_t>(column);
  const double step = right.mm[i] - left.mm[i], length = std::max(0.1, to_z - from_z);
  const double by_toes = z > from_z - toe_u && z < to_z + toe_u ? step * toe_u / length : 0;
  return std::hypot((1 - Share(z)) * left.u_mm[i], Share(z) * right.u_mm[i], by_toes);
}

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

}  // namespace vision::match
