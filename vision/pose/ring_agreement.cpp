#include "vision/pose/ring_agreement.h"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "vision/base/median.h"
#include "vision/bore/angle.h"

namespace vision::pose {
namespace {

/// A blur along rows as a matrix.
Eigen::MatrixXf BlurMatrix(int rows, double sigma) {
  Eigen::MatrixXf blur = Eigen::MatrixXf::Zero(rows, rows);
  const int half = static_cast<int>(std::ceil(3 * sigma));
  for (int i = 0; i < rows; ++i)
    for (int j = std::max(0, i - half); j <= std::min(rows - 1, i + half); ++j)
      blur(i, j) = static_cast<float>(std::exp(-0.5 * (i - j) * (i - j) / (sigma * sigma)));
  return blur;
}

}  // namespace

RingAgreement::RingAgreement(const std::vector<WallView>& views, const RingAgreementOptions& options)
    : views_(views), options_(options), azimuths_(options.columns), z_(options.rows) {
  assert(!options.Check());
  const double step = (options.to_deg - options.from_deg) / (options.rows - 1);
  for (int i = 0; i < options.rows; ++i)
    z_[i] = static_cast<float>(1 / std::tan((options.to_deg - i * step) * bore::kRadPerDeg));
  fine_ = BlurMatrix(options.rows, options.fine_deg / step);
  coarse_ = BlurMatrix(options.rows, options.coarse_deg / step);
}

double RingAgreement::Agreement(const Rows& values, const Rows& seen, const Rows& seen_fine, const Rows& seen_coarse,
                                float least) const {
  const Rows fine = (fine_ * values.matrix()).array() / seen_fine,
             coarse = (coarse_ * values.matrix()).array() / seen_coarse;
  Rows passed = (fine - coarse) * seen;
  const Eigen::ArrayXf count = seen.colwise().sum().transpose().max(1.0F);
  const Eigen::ArrayXf spread = (passed.square().colwise().sum().transpose() / count).sqrt();
  std::vector<float> spoken;
  for (Eigen::Index k = 0; k < spread.size(); ++k)
    if (count[k] > 0.05F * static_cast<float>(options_.rows)) spoken.push_back(spread[k]);
  if (spoken.empty()) return 0;
  const Eigen::ArrayXf scale = (0.5F * spread + (0.5F * MedianInPlace(spoken) + least)).inverse();
  const auto clip = static_cast<float>(options_.clip);
  double total = 0;
  passed = (passed.rowwise() * scale.transpose()).max(-clip).min(clip);
  const Eigen::ArrayXf n = seen.rowwise().sum(), sum = passed.rowwise().sum(),
                       squares = passed.square().rowwise().sum();
  const auto needed = static_cast<float>(options_.least_sectors * options_.sectors);
  for (Eigen::Index i = 0; i < n.size(); ++i) {
    if (n[i] <= needed || z_[i] >= static_cast<float>(farthest_)) continue;
    total += static_cast<double>(
        std::clamp((sum[i] * sum[i] - squares[i]) / (n[i] * (n[i] - 1)), -1.0F, options_.most_agreement));
  }
  return total / static_cast<double>(n.size());
}

double RingAgreement::At(const Eigen::Vector2d& lean, const Eigen::Vector2d& offset) const {
  const AxisBasis basis(lean);
  const int sectors = options_.sectors, each = options_.columns / sectors;
  const auto voices = static_cast<Eigen::Index>(views_.size()) * sectors;
  Rows light = Rows::Zero(options_.rows, voices), tint = light, seen = light;
  Eigen::ArrayXf row(options_.columns), hue(options_.columns);
  for (std::size_t v = 0; v < views_.size(); ++v) {
    const WallSights sights(views_[v], basis, offset, azimuths_);
    for (int i = 0; i < options_.rows; ++i) {
      if (z_[i] >= static_cast<float>(farthest_)) break;
      sights.Sample(z_[i], row.data(), hue.data());
      for (int s = 0; s < sectors; ++s) {
        float sum = 0, hues = 0;
        int count = 0;
        for (int k = s * each; k < (s + 1) * each; ++k)
          if (row[k] == row[k]) sum += row[k], hues += hue[k], ++count;
        if (count < options_.seen_share * each) continue;
        const auto voice = static_cast<Eigen::Index>(v) * sectors + s;
        light(i, voice) = sum / static_cast<float>(count);
        tint(i, voice) = hues / static_cast<float>(count);
        seen(i, voice) = 1;
      }
    }
  }
  const Rows seen_fine = (fine_ * seen.matrix()).array().max(1e-3F),
             seen_coarse = (coarse_ * seen.matrix()).array().max(1e-3F);
  double total = Agreement(light, seen, seen_fine, seen_coarse, options_.least_light);
  if (options_.tint_weight > 0)
    total += options_.tint_weight * Agreement(tint, seen, seen_fine, seen_coarse, options_.least_tint);
  return total;
}

}  // namespace vision::pose
