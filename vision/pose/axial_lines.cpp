#include "vision/pose/axial_lines.h"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "vision/bore/angle.h"

namespace vision::pose {
namespace {

constexpr int kAtOnce = 16;
constexpr float kMeanToSize = 1.25F;  ///< Mean of |x| to standard deviation of a normal x.

/// Gaussian less a coarser one, sum 0; odd length.
Eigen::ArrayXf DifferenceOfGaussians(double fine, double coarse) {
  const int half = static_cast<int>(std::ceil(3 * coarse));
  Eigen::ArrayXf narrow(2 * half + 1), wide(2 * half + 1);
  for (int i = -half; i <= half; ++i) {
    narrow[i + half] = static_cast<float>(fine > 0.3 ? std::exp(-0.5 * i * i / (fine * fine)) : (i == 0 ? 1 : 0));
    wide[i + half] = static_cast<float>(std::exp(-0.5 * i * i / (coarse * coarse)));
  }
  return narrow / narrow.sum() - wide / wide.sum();
}

/// Running mean round the circle of sum over count.
Eigen::ArrayXf RoundMean(const Eigen::ArrayXf& sum, const Eigen::ArrayXf& count, int half) {
  const auto n = static_cast<int>(sum.size());
  Eigen::ArrayXf mean(n);
  double total = 0, number = 0;
  for (int k = -half; k <= half; ++k) total += sum[(k + n) % n], number += count[(k + n) % n];
  for (int j = 0; j < n; ++j) {
    mean[j] = number > 0 ? static_cast<float>(total / number) : 0;
    const int in = (j + half + 1) % n, out = (j - half + n) % n;
    total += sum[in] - sum[out], number += count[in] - count[out];
  }
  return mean;
}

}  // namespace

AxialLines::AxialLines(const std::vector<WallView>& views, const AxialLineOptions& options)
    : views_(views), options_(options), cos_(options.columns), sin_(options.columns) {
  assert(!options.Check());
  for (int j = 0; j < options.columns; ++j) {
    const double azimuth = 2 * std::numbers::pi * j / options.columns;
    cos_[j] = static_cast<float>(std::cos(azimuth)), sin_[j] = static_cast<float>(std::sin(azimuth));
  }
  const double per_deg = options.columns / 360.0;
  kernel_ = DifferenceOfGaussians(options.fine_deg * per_deg, options.coarse_deg * per_deg);
  weights_.assign(views.size(), Eigen::ArrayXf::Ones(options.blocks));
}

Eigen::ArrayXf AxialLines::HighPassed(const float* row) const {
  const auto n = options_.columns;
  const auto half = static_cast<int>(kernel_.size()) / 2;
  Eigen::ArrayXf padded(n + 2 * half);
  padded.segment(half, n) = Eigen::Map<const Eigen::ArrayXf>(row, n);
  padded.head(half) = padded.segment(n, half);
  padded.tail(half) = padded.segment(half, half);
  float last = 0;  // a place not seen repeats its neighbour, so that its edge is no line
  for (Eigen::Index k = padded.size() - 1; k >= 0; --k)
    if (padded[k] == padded[k]) last = padded[k];
  for (float& value : padded) {
    if (value == value) last = value;
    value = last;
  }
  Eigen::ArrayXf out(n);
  int j = 0;
  for (; j + kAtOnce <= n; j += kAtOnce) {  // so many sums stay in registers
    Eigen::Array<float, kAtOnce, 1> sum = Eigen::Array<float, kAtOnce, 1>::Zero();
    for (int k = 0; k < 2 * half + 1; ++k) sum += kernel_[k] * padded.segment<kAtOnce>(k + j);
    out.segment<kAtOnce>(j) = sum;
  }
  for (; j < n; ++j) {
    out[j] = 0;
    for (int k = 0; k < 2 * half + 1; ++k) out[j] += kernel_[k] * padded[k + j];
  }
  return out;
}

AxialLines::Blocks AxialLines::BlocksAt(const WallView& view, const AxisBasis& basis) const {
  const int n = options_.columns, rows = options_.rows_a_block, total = options_.blocks * rows;
  const Eigen::Vector3f a = view.cam_from_search * basis.axis, e1 = view.cam_from_search * basis.e1,
                        e2 = view.cam_from_search * basis.e2;
  const Eigen::ArrayXf x = cos_ * e1.x() + sin_ * e2.x(), y = cos_ * e1.y() + sin_ * e2.y(),
                       z = cos_ * e1.z() + sin_ * e2.z();
  const int half = static_cast<int>(0.5 * options_.local_deg * n / 360);
  const auto clip = static_cast<float>(options_.clip), block_clip = static_cast<float>(options_.block_clip);
  Blocks blocks = Blocks::Zero(options_.blocks, n);
  Eigen::ArrayXf light(n), none = Eigen::ArrayXf::Zero(n);
  std::vector<Eigen::ArrayXf> passed(static_cast<std::size_t>(rows)), seen(static_cast<std::size_t>(rows));
  for (int b = 0; b < options_.blocks; ++b) {
    Eigen::ArrayXf size = none, count = none;
    for (int i = 0; i < rows; ++i) {
      const double angle =
          bore::kRadPerDeg * (options_.from_deg + (options_.to_deg - options_.from_deg) * (b * rows + i) / (total - 1));
      const auto c = static_cast<float>(std::cos(angle)), s = static_cast<float>(std::sin(angle));
      SampleSights(view.chart, x * s + a.x() * c, y * s + a.y() * c, z * s + a.z() * c, light.data(), nullptr);
      const auto k = static_cast<std::size_t>(i);
      seen[k] = (light == light).cast<float>();
      if (seen[k].sum() < 0.02F * static_cast<float>(n)) {
        seen[k].setZero(), passed[k] = none;
        continue;
      }
      passed[k] = HighPassed(light.data()) * seen[k];
      size += passed[k].abs();
      count += seen[k];
    }
    if (count.sum() <= 0) continue;
    const Eigen::ArrayXf scale = (RoundMean(size, count, half) * kMeanToSize + options_.least_size).inverse();
    Eigen::ArrayXf sum = none;
    for (int i = 0; i < rows; ++i) sum += (passed[static_cast<std::size_t>(i)] * scale).max(-clip).min(clip);
    blocks.row(b) = (sum / count.max(1.0F).sqrt()).max(-block_clip).min(block_clip).transpose();
  }
  return blocks;
}

AxialLines::Energy AxialLines::At(const Eigen::Vector2d& lean) const {
  const AxisBasis basis(lean);
  const auto cap = static_cast<float>(options_.column_cap);
  Energy energy;
  for (std::size_t v = 0; v < views_.size(); ++v) {
    Blocks blocks = BlocksAt(views_[v], basis);
    blocks.colwise() *= weights_[v];
    const Eigen::ArrayXf sum = blocks.colwise().sum().transpose(),
                         squares = blocks.square().colwise().sum().transpose();
    energy.shared += static_cast<double>((0.5F * (sum.square() - squares)).min(cap).sum());
    energy.own += static_cast<double>(squares.min(cap).sum());
  }
  const double all = static_cast<double>(options_.columns) * options_.blocks;
  energy.shared /= all, energy.own /= all;
  return energy;
}

void AxialLines::WeighAt(const Eigen::Vector2d& lean) {
  const AxisBasis basis(lean);
  const int n = options_.blocks;
  for (std::size_t v = 0; v < views_.size(); ++v) {
    const Blocks blocks = BlocksAt(views_[v], basis);
    const Eigen::ArrayXf sum = blocks.colwise().sum().transpose();
    Eigen::ArrayXf shared(n);
    for (int b = 0; b < n; ++b) {
      Eigen::ArrayXf others = sum;
      for (int k = std::max(0, b - 1); k <= std::min(n - 1, b + 1); ++k) others -= blocks.row(k).transpose();
      const Eigen::ArrayXf own = blocks.row(b).transpose();
      shared[b] = (own * others).mean() / std::max(own.square().mean(), 0.05F);
    }
    Eigen::ArrayXf smooth(n);
    for (int b = 0; b < n; ++b)
      smooth[b] = 0.25F * shared[std::max(0, b - 1)] + 0.5F * shared[b] + 0.25F * shared[std::min(n - 1, b + 1)];
    const float most = std::max(smooth.maxCoeff(), 1e-6F);
    const Eigen::ArrayXf weight = (smooth / most).max(0.0F).min(1.0F) + 0.1F;
    weights_[v] = weight / std::sqrt(weight.square().mean());
  }
}

}  // namespace vision::pose
