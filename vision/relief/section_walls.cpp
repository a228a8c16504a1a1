#include "vision/relief/section_walls.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "vision/base/median.h"
#include "vision/bore/angle.h"
#include "vision/statistics/harmonics.h"

namespace vision::relief {
namespace {

constexpr int kHarmonics = 4, kTerms = 2 * kHarmonics + 1;
using Row = Eigen::Matrix<double, kTerms, 1>;

/// Median of the wall's cells in one column; NaN with fewer than three.
double MedianBeside(const Relief& relief, int column, bool left, double toe_z_mm, const SectionOptions& o) {
  const auto& grid = relief.grid;
  const double from = left ? toe_z_mm - o.wall_gap_mm - o.wall_reach_mm : toe_z_mm + o.wall_gap_mm;
  const int first = std::max(0, static_cast<int>(std::ceil(grid.Row(from)))),
            last = std::min(grid.rows - 1, static_cast<int>(std::floor(grid.Row(from + o.wall_reach_mm))));
  std::vector<float> values;
  for (int row = first; row <= last; ++row)
    if (const float h = relief.h_mm(row, column); std::isfinite(h)) values.push_back(h);
  if (values.size() < 3) return kNotMeasured;
  return static_cast<double>(MedianInPlace(values));
}

/// Median uncertainty of the wall's cells: mostly the poses', which the whole wall shares and no averaging shrinks.
double UsualU(const Relief& relief, bool left, const std::vector<double>& toe_z_mm, const SectionOptions& o) {
  std::vector<float> values;
  for (int c = 0; c < relief.grid.columns; ++c) {
    const double toe = toe_z_mm[static_cast<std::size_t>(c)];
    if (!std::isfinite(toe)) continue;
    const double at = left ? toe - o.wall_gap_mm : toe + o.wall_gap_mm;
    for (int k = 0; k < 6; ++k) {
      const int row = static_cast<int>(std::lround(relief.grid.Row(at))) + (left ? -k : k);
      if (row < 0 || row >= relief.grid.rows) break;
      if (const float u = relief.u_mm(row, c); std::isfinite(u)) values.push_back(u);
    }
  }
  if (values.empty()) return relief.shared_u_mm;
  return std::max(relief.shared_u_mm, static_cast<double>(MedianInPlace(values)) / std::sqrt(2.0));
}

}  // namespace

WallLevel LevelOfWall(const Relief& relief, bool left, const std::vector<double>& toe_z_mm, const SectionOptions& o) {
  const int n = relief.grid.columns;
  const auto size = static_cast<std::size_t>(n);
  std::vector<double> local(size, kNotMeasured);
  for (int c = 0; c < n; ++c)
    if (const double toe = toe_z_mm[static_cast<std::size_t>(c)]; std::isfinite(toe))
      local[static_cast<std::size_t>(c)] = MedianBeside(relief, c, left, toe, o);
  WallLevel level{std::vector<double>(size, kNotMeasured), std::vector<double>(size, kNotMeasured)};
  const auto measured = std::count_if(local.begin(), local.end(), [](double v) { return std::isfinite(v); });
  if (measured < n / 3) return level;
  Row c = Row::Zero();
  Eigen::Matrix<double, kTerms, kTerms> normal;
  double scatter = 0.05;
  for (int round = 0; round < 8; ++round) {
    normal = 1e-3 * Eigen::Matrix<double, kTerms, kTerms>::Identity();  // keeps an unseen arc from swinging out
    Row right = Row::Zero();
    std::vector<double> off;
    for (int i = 0; i < n; ++i) {
      const double v = local[static_cast<std::size_t>(i)];
      if (!std::isfinite(v)) continue;
      const Row row = statistics::Harmonics<kHarmonics>(relief.grid.ThetaDeg(i));
      const double residual = v - row.dot(c), weight = round == 0 ? 1 : 1 / std::max(1.0, std::abs(residual) / scatter);
      normal += weight * row * row.transpose();
      right += weight * v * row;
      off.push_back(std::abs(residual));
    }
    c = normal.ldlt().solve(right);
    if (round > 0) scatter = std::max(0.01, 1.4826 * MedianInPlace(off));
  }
  const Eigen::Matrix<double, kTerms, kTerms> inverse = normal.inverse();
  const double cell_u = UsualU(relief, left, toe_z_mm, o);
  const double columns_alike = 6;  // neighbours share stripe columns and the wall's own unevenness
  const int reach = static_cast<int>(o.wall_support_deg / relief.grid.theta_pitch_deg());
  for (int i = 0; i < n; ++i) {
    int nearest = reach + 1;
    for (int k = 0; k <= reach && nearest > reach; ++k)
      for (const int side : {-k, k})
        if (std::isfinite(local[static_cast<std::size_t>((i + side + n) % n)])) nearest = k;
    if (nearest > reach) continue;
    const Row row = statistics::Harmonics<kHarmonics>(relief.grid.ThetaDeg(i));
    level.h_mm[static_cast<std::size_t>(i)] = row.dot(c);
    level.u_mm[static_cast<std::size_t>(i)] =
        std::sqrt(scatter * scatter * (columns_alike * row.dot(inverse * row) + 0.25) + cell_u * cell_u);
  }
  return level;
}

}  // namespace vision::relief
