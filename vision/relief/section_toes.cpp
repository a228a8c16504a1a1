#include "vision/relief/section_toes.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <tuple>

#include "vision/base/median.h"
#include "vision/bore/angle.h"
#include "vision/relief/section_walls.h"
#include "vision/statistics/harmonics.h"

namespace vision::relief {
namespace {

constexpr int kHarmonics = 6, kTerms = 2 * kHarmonics + 1;

using Row = Eigen::Matrix<double, kTerms, 1>;

/// A toe of one block with its uncertainty; NaN where it does not tell.
struct Toe {
  double z_mm = kNotMeasured, u_mm = kNotMeasured;
};

struct Block {
  std::vector<double> z_mm, h_mm;
  double wall_left = 0, wall_right = 0;
};

struct Fit {
  double cost = 0, rise_mm = 0;
};

/// Mean of the relief over a block's columns, where at least half of them were measured.
Block BlockAt(const Relief& relief, int column, double middle_mm, const SectionToeOptions& o) {
  const int half = std::max(1, static_cast<int>(std::lround(0.5 * o.block_deg / relief.grid.theta_pitch_deg())));
  const int n = relief.grid.columns;
  Block block;
  for (int row = 0; row < relief.grid.rows; ++row) {
    const double z = relief.grid.ZMm(row);
    if (std::abs(z - middle_mm) > o.reach_mm) continue;
    double sum = 0;
    int count = 0;
    for (int k = -half; k <= half; ++k)
      if (const float h = relief.h_mm(row, (column + k + n) % n); std::isfinite(h)) sum += h, ++count;
    if (count <= half) continue;
    block.z_mm.push_back(z);
    block.h_mm.push_back(sum / count);
  }
  return block;
}

/// The best bead between two toes: offsets of both walls, height of the arc and its lean.
Fit FitBetween(const Block& block, double left_mm, double right_mm, const SectionToeOptions& o) {
  Eigen::Matrix4d normal =
      Eigen::Vector4d(1 / (o.wall_mm * o.wall_mm), 1 / (o.wall_mm * o.wall_mm), 1e-4, 1 / (o.lean * o.lean))
          .asDiagonal();
  Eigen::Vector4d right = Eigen::Vector4d::Zero();
  const double weight = 1 / (o.fit_mm * o.fit_mm);
  const auto row_at = [&](std::size_t i, double* off) {
    const double t = std::clamp((block.z_mm[i] - left_mm) / (right_mm - left_mm), 0.0, 1.0), arc = 4 * t * (1 - t);
    *off = block.h_mm[i] - block.wall_left - t * (block.wall_right - block.wall_left);
    return Eigen::Vector4d(1 - t, t, arc, arc * (2 * t - 1));
  };
  double off = 0;
  int inside = 0;
  for (std::size_t i = 0; i < block.z_mm.size(); ++i) {
    const Eigen::Vector4d row = row_at(i, &off);
    normal.noalias() += weight * row * row.transpose();
    right += weight * off * row;
    inside += row[2] > 0;
  }
  if (inside < 4) return {1e9, 0};
  const Eigen::Vector4d q = normal.ldlt().solve(right);
  Fit fit{(q[0] * q[0] + q[1] * q[1]) / (o.wall_mm * o.wall_mm) + q[3] * q[3] / (o.lean * o.lean), std::abs(q[2])};
  for (std::size_t i = 0; i < block.z_mm.size(); ++i) {
    const Eigen::Vector4d row = row_at(i, &off);
    fit.cost += std::min(9.0, weight * std::pow(off - row.dot(q), 2));
  }
  return fit;
}

/// What holds the toes of a block near those of the whole ring; NaN in the first round.
struct Usual {
  double middle_mm = 0, left_mm = kNotMeasured, right_mm = kNotMeasured;
  bool known() const { return std::isfinite(left_mm); }
  double Cost(double left, double right, double apart_mm) const {
    if (!known()) return 0;
    return (std::pow(left - left_mm, 2) + std::pow(right - right_mm, 2)) / (apart_mm * apart_mm);
  }
};

std::pair<Toe, Toe> ToesOf(const Block& block, const Usual& usual, const SectionOptions& o) {
  if (block.z_mm.size() < 15 || !std::isfinite(block.wall_left) || !std::isfinite(block.wall_right)) return {};
  struct Pair {
    double left, right, cost, rise;
  };
  std::vector<Pair> pairs;
  double least = 1e9;
  const double step = usual.known() ? o.toes.step_mm : 2 * o.toes.step_mm,
               furthest = std::min(o.toes.furthest_mm, o.toe_to_mm);
  for (double a = o.toe_from_mm; a < furthest; a += step)
    for (double b = o.toe_from_mm; b < furthest; b += step) {
      const double left = usual.middle_mm - a, right = usual.middle_mm + b;
      if (usual.known() && usual.Cost(left, right, o.toes.apart_mm) > o.toes.hopeless) continue;
      const Fit fit = FitBetween(block, left, right, o.toes);
      pairs.push_back({left, right, fit.cost + usual.Cost(left, right, o.toes.apart_mm), fit.rise_mm});
      least = std::min(least, pairs.back().cost);
    }
  double sum = 0, rise = 0;
  Eigen::Vector2d mean(0, 0), square(0, 0);
  for (const auto& pair : pairs) {
    const double weight = std::exp(-0.5 * (pair.cost - least) / o.toes.softness);
    const Eigen::Vector2d at(pair.left, pair.right);
    sum += weight;
    rise += weight * pair.rise;
    mean += weight * at;
    square += weight * at.cwiseProduct(at);
  }
  if (!(rise > o.toes.telling_rise_mm * sum)) return {};
  mean /= sum;
  const Eigen::Vector2d u = (square / sum - mean.cwiseProduct(mean)).cwiseMax(0.08 * 0.08).cwiseSqrt();
  return {{mean[0], u[0]}, {mean[1], u[1]}};
}

/// The run of a toe around the bore through the blocks that tell, robust, bent as little as they allow.
Row RunOf(const std::vector<Toe>& toes, double block_deg) {
  Row c = Row::Zero();
  for (int round = 0; round < 7; ++round) {
    Eigen::Matrix<double, kTerms, kTerms> normal = Eigen::Matrix<double, kTerms, kTerms>::Zero();
    Row right = Row::Zero();
    normal(0, 0) = 1e-6;
    for (int j = 1; j < kTerms; ++j) normal(j, j) = 0.5 * std::pow((j + 1) / 2, 2);
    for (std::size_t i = 0; i < toes.size(); ++i) {
      if (!std::isfinite(toes[i].z_mm)) continue;
      const Row row = statistics::Harmonics<kHarmonics>(block_deg * static_cast<double>(i));
      const double off = std::abs(toes[i].z_mm - row.dot(c)) / (1.5 * toes[i].u_mm);
      const double weight = 1 / (toes[i].u_mm * toes[i].u_mm) / (round == 0 ? 1 : std::max(1.0, off));
      normal += weight * row * row.transpose();
      right += weight * toes[i].z_mm * row;
    }
    c = normal.ldlt().solve(right);
  }
  return c;
}

/// The run at every column, with the uncertainty of the nearest block that tells.
void Spread(const std::vector<Toe>& toes, double block_deg, const unroll::StripGrid& grid, std::vector<double>& z_mm,
            std::vector<double>& u_mm, const SectionToeOptions& o) {
  const Row run = RunOf(toes, block_deg);
  const int n = static_cast<int>(toes.size()), reach = static_cast<int>(o.carries_deg / block_deg);
  for (int c = 0; c < grid.columns; ++c) {
    const auto i = static_cast<std::size_t>(c);
    z_mm[i] = u_mm[i] = kNotMeasured;
    const int home = static_cast<int>(std::lround(grid.ThetaDeg(c) / block_deg)) % n;
    for (int k = 0; k <= reach && !std::isfinite(z_mm[i]); ++k)
      for (const int side : {-k, k}) {
        const Toe& toe = toes[static_cast<std::size_t>((home + side + n) % n)];
        if (!std::isfinite(toe.z_mm)) continue;
        z_mm[i] = run.dot(statistics::Harmonics<kHarmonics>(grid.ThetaDeg(c)));
        u_mm[i] = std::hypot(toe.u_mm, o.runs_on_mm);
      }
  }
}

}  // namespace

ToesByShape ToesFromShape(const Relief& relief, const SectionOptions& options) {
  const auto n = static_cast<std::size_t>(relief.grid.columns);
  const auto blocks = static_cast<std::size_t>(std::lround(360 / options.toes.block_deg));
  ToesByShape toes{std::vector<double>(n, -4.5), std::vector<double>(n, 4.5), std::vector<double>(n, kNotMeasured),
                   std::vector<double>(n, kNotMeasured)};
  Usual usual;
  for (int round = 0; round < options.toes.rounds; ++round) {
    const auto left_wall = LevelOfWall(relief, true, toes.left_z_mm, options),
               right_wall = LevelOfWall(relief, false, toes.right_z_mm, options);
    std::vector<Toe> left(blocks), right(blocks);
    std::size_t telling = 0;
    for (std::size_t b = 0; b < blocks; ++b) {
      const std::size_t column = b * n / blocks;
      Block block = BlockAt(relief, static_cast<int>(column), usual.middle_mm, options.toes);
      block.wall_left = left_wall.h_mm[column];
      block.wall_right = right_wall.h_mm[column];
      std::tie(left[b], right[b]) = ToesOf(block, usual, options);
      telling += std::isfinite(left[b].z_mm) ? 1 : 0;
    }
    if (telling < blocks / 4) {
      const std::vector<double> none(n, kNotMeasured);
      return {none, none, none, none};
    }
    Spread(left, options.toes.block_deg, relief.grid, toes.left_z_mm, toes.left_u_mm, options.toes);
    Spread(right, options.toes.block_deg, relief.grid, toes.right_z_mm, toes.right_u_mm, options.toes);
    std::vector<double> all_left, all_right;
    for (std::size_t i = 0; i < n; ++i)
      if (std::isfinite(toes.left_z_mm[i]))
        all_left.push_back(toes.left_z_mm[i]), all_right.push_back(toes.right_z_mm[i]);
    usual.left_mm = Median(all_left);
    usual.right_mm = Median(all_right);
    usual.middle_mm = 0.5 * (usual.left_mm + usual.right_mm);
  }
  return toes;
}

}  // namespace vision::relief
