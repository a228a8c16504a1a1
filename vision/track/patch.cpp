#include "vision/track/patch.h"

#include <Eigen/LU>
#include <cmath>
#include <opencv2/imgproc.hpp>

namespace vision::track {
namespace {

constexpr int kSteps = 8;

float Bilinear(const cv::Mat1f& picture, double x, double y) {
  const int i = static_cast<int>(y), j = static_cast<int>(x);
  const float fx = static_cast<float>(x - j), fy = static_cast<float>(y - i);
  const float* top = picture[i] + j;
  const float* bottom = picture[i + 1] + j;
  return (top[0] * (1 - fx) + top[1] * fx) * (1 - fy) + (bottom[0] * (1 - fx) + bottom[1] * fx) * fy;
}

/// The moving picture under the patch at a shift, its slopes, and sums over them; all about their means.
struct Sums {
  Eigen::Matrix2d slope2 = Eigen::Matrix2d::Zero();
  Eigen::Vector2d slope_misfit = Eigen::Vector2d::Zero();
  double misfit2 = 0, correlation = 0;
};

Sums Compare(const cv::Mat1f& fixed, const cv::Mat1f& moving, const cv::Rect& patch, const Eigen::Vector2d& shift) {
  double sum_f = 0, sum_m = 0, ff = 0, fm = 0, mm = 0;
  const double n = patch.area();
  const cv::Mat1f under(patch.height + 2, patch.width + 2);
  cv::Mat1f m = under;
  for (int y = -1; y <= patch.height; ++y)
    for (int x = -1; x <= patch.width; ++x)
      m(y + 1, x + 1) = Bilinear(moving, patch.x + x + shift.x(), patch.y + y + shift.y());
  for (int y = 0; y < patch.height; ++y)
    for (int x = 0; x < patch.width; ++x) {
      const double f = fixed(patch.y + y, patch.x + x), v = m(y + 1, x + 1);
      sum_f += f, sum_m += v, ff += f * f, fm += f * v, mm += v * v;
    }
  ff -= sum_f * sum_f / n, fm -= sum_f * sum_m / n, mm -= sum_m * sum_m / n;
  Sums sums;
  if (ff < 1e-9 || mm < 1e-9) return sums;
  sums.correlation = fm / std::sqrt(ff * mm);
  const double gain = fm / ff;
  for (int y = 0; y < patch.height; ++y)
    for (int x = 0; x < patch.width; ++x) {
      const Eigen::Vector2d slope(0.5 * (m(y + 1, x + 2) - m(y + 1, x)), 0.5 * (m(y + 2, x + 1) - m(y, x + 1)));
      const double misfit = m(y + 1, x + 1) - sum_m / n - gain * (fixed(patch.y + y, patch.x + x) - sum_f / n);
      sums.slope2 += slope * slope.transpose();
      sums.slope_misfit += slope * misfit;
      sums.misfit2 += misfit * misfit / n;
    }
  return sums;
}

std::optional<Eigen::Vector2d> WholeCells(const cv::Mat1f& fixed, const cv::Mat1f& moving, const cv::Rect& patch,
                                          int reach, double min_correlation) {
  const cv::Rect window(patch.x - reach, patch.y - reach, patch.width + 2 * reach, patch.height + 2 * reach);
  cv::Mat1f score;
  cv::matchTemplate(moving(window), fixed(patch), score, cv::TM_CCOEFF_NORMED);
  cv::Point at;
  double best = 0;
  cv::minMaxLoc(score, nullptr, &best, nullptr, &at);
  const bool edge = at.x == 0 || at.y == 0 || at.x == score.cols - 1 || at.y == score.rows - 1;
  if (edge || !(best >= min_correlation)) return std::nullopt;
  return Eigen::Vector2d(at.x - reach, at.y - reach);
}

}  // namespace

std::optional<PatchMatch> MatchPatch(const cv::Mat1f& fixed, const cv::Mat1f& moving, const cv::Rect& patch, int reach,
                                     double min_correlation, double noise_cells) {
  const auto start = WholeCells(fixed, moving, patch, reach, min_correlation);
  if (!start) return std::nullopt;
  PatchMatch match;
  match.shift = *start;
  for (int step = 0; step < kSteps; ++step) {
    const Sums sums = Compare(fixed, moving, patch, match.shift);
    if (sums.slope2.determinant() < 1e-12) return std::nullopt;
    const Eigen::Vector2d move = -sums.slope2.inverse() * sums.slope_misfit;
    match.correlation = sums.correlation;
    match.covariance = sums.misfit2 * noise_cells * sums.slope2.inverse();
    match.shift += move;
    if ((match.shift - *start).cwiseAbs().maxCoeff() > 1.5) return std::nullopt;
    if (move.norm() < 0.01) break;
  }
  if (!(match.correlation >= min_correlation)) return std::nullopt;
  return match;
}

}  // namespace vision::track
