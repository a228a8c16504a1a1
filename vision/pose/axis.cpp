#include "vision/pose/axis.h"

#include <Eigen/Cholesky>
#include <Eigen/Geometry>
#include <Eigen/LU>
#include <algorithm>
#include <cmath>
#include <limits>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "vision/base/says.h"
#include "vision/bore/angle.h"
#include "vision/statistics/quantile.h"

namespace vision::pose {
namespace {

using bore::kDegPerRad;
using bore::kRadPerDeg;

bool Usable(const FrameSetting& setting, int u, int v) { return setting.mask.empty() || setting.mask(v, u) == 0; }

/// Brightness around an assumed axis: at each angle from it, the first harmonic around the circle.
struct Harmonics {
  Eigen::VectorXd level, slope;          ///< ln grey and its slope per rad of angle.
  Eigen::VectorXd cosine, sine, weight;  ///< Amplitudes of the first harmonic of ln grey.
  Eigen::VectorXd scatter;  ///< Median deviation of ln grey from that harmonic; 0 where the row was not seen.
};

/// Mean over a half-width of rows: the slope must not follow blotches.
Eigen::VectorXd Smoothed(const Eigen::VectorXd& values, int half) {
  Eigen::VectorXd smooth(values.size());
  for (int i = 0; i < values.size(); ++i) {
    double sum = 0, weight = 0;
    for (int j = -half; j <= half; ++j) {
      const int k = std::clamp(i + j, 0, static_cast<int>(values.size()) - 1);
      const double w = 1 + std::cos(std::numbers::pi * j / (half + 1));
      sum += w * values[k];
      weight += w;
    }
    smooth[i] = sum / weight;
  }
  return smooth;
}

/// One row of the polar picture: median, and the first harmonic of what is left, outliers cut at three deviations.
void FitRow(const cv::Mat1f& polar, int i, double angle, Harmonics& h) {
  std::vector<double> logs;
  std::vector<int> columns;
  for (int j = 0; j < polar.cols; ++j)
    if (const double grey = polar(i, j); grey == grey) {
      logs.push_back(std::log(std::max(1.0, grey)));
      columns.push_back(j);
    }
  h.level[i] = h.cosine[i] = h.sine[i] = h.weight[i] = h.scatter[i] = 0;
  if (columns.size() < static_cast<std::size_t>(polar.cols) * 3 / 4) return;
  auto scratch = logs;
  h.level[i] = statistics::MedianOr(scratch, 0.0);
  for (std::size_t n = 0; n < logs.size(); ++n) scratch[n] = std::abs(logs[n] - h.level[i]);
  const double deviation = 1.4826 * statistics::MedianOr(scratch, 0.0) + 1e-3;
  Eigen::Matrix3d normal = Eigen::Matrix3d::Zero();
  Eigen::Vector3d right = Eigen::Vector3d::Zero();
  for (std::size_t n = 0; n < logs.size(); ++n) {
    const double phase = 2 * std::numbers::pi * columns[n] / polar.cols;
    const Eigen::Vector3d row(1, std::cos(phase), std::sin(phase));
    normal += row * row.transpose();
    right += row * std::clamp(logs[n] - h.level[i], -3 * deviation, 3 * deviation);
  }
  const Eigen::Vector3d fit = normal.ldlt().solve(right);
  h.cosine[i] = fit[1];
  h.sine[i] = fit[2];
  h.weight[i] = std::sin(angle) / (deviation * deviation);
  for (std::size_t n = 0; n < logs.size(); ++n) {
    const double phase = 2 * std::numbers::pi * columns[n] / polar.cols;
    scratch[n] = std::abs(logs[n] - h.level[i] - fit[0] - fit[1] * std::cos(phase) - fit[2] * std::sin(phase));
  }
  h.scatter[i] = statistics::MedianOr(scratch, 0.0);
}

Harmonics HarmonicsOf(const PolarPicture& polar) {
  const int rows = polar.grey.rows;
  Harmonics h;
  for (auto* vector : {&h.level, &h.slope, &h.cosine, &h.sine, &h.weight, &h.scatter})
    *vector = Eigen::VectorXd::Zero(rows);
  for (int i = 0; i < rows; ++i) FitRow(polar.grey, i, (polar.from_deg + i * polar.step_deg) * kRadPerDeg, h);
  const Eigen::VectorXd smooth = Smoothed(h.level, 6);
  for (int i = 0; i < rows; ++i) {
    const int a = std::max(0, i - 1), b = std::min(rows - 1, i + 1);
    h.slope[i] = (smooth[b] - smooth[a]) / ((b - a) * polar.step_deg * kRadPerDeg);
  }
  return h;
}

/// A co-located light makes ln grey = F(angle from axis) - k ln(distance to the wall), whatever the wall reflects: an
/// axis wrong by delta adds -F' delta cos(phase), an offset adds a first harmonic that is the same at every angle.
struct AxisStep {
  Eigen::Vector2d delta_rad;  ///< Towards azimuth 0 and 90 degrees of the polar picture.
  double sigma_rad = 0;
};

std::optional<AxisStep> SolveStep(const Harmonics& h) {
  Eigen::Matrix2d normal = Eigen::Matrix2d::Zero();
  Eigen::Vector2d right_cos = Eigen::Vector2d::Zero(), right_sin = right_cos;
  for (int i = 0; i < h.level.size(); ++i) {
    const Eigen::Vector2d row(-h.slope[i], 1);
    normal += h.weight[i] * row * row.transpose();
    right_cos += h.weight[i] * h.cosine[i] * row;
    right_sin += h.weight[i] * h.sine[i] * row;
  }
  if (!(normal.determinant() > 1e-9)) return std::nullopt;
  const Eigen::Vector2d c = normal.ldlt().solve(right_cos), s = normal.ldlt().solve(right_sin);
  double misfit = 0;
  for (int i = 0; i < h.level.size(); ++i)
    misfit += h.weight[i] *
              (std::pow(h.cosine[i] + h.slope[i] * c[0] - c[1], 2) + std::pow(h.sine[i] + h.slope[i] * s[0] - s[1], 2));
  constexpr double kIndependentRows = 8;  // blotches tie neighbouring rows together
  const double variance = misfit / (2 * h.weight.sum()) * h.weight.sum() / kIndependentRows * normal.inverse()(0, 0);
  return AxisStep{{c[0], s[0]}, std::sqrt(std::max(0.0, variance))};
}

/// Directions in the camera's frame of azimuth 0 and 90 degrees around `axis`, as Polar() counts them for up_theta 0.
Eigen::Vector3d Lean(const Eigen::Vector3d& axis, const Eigen::Vector2d& delta) {
  const Eigen::Matrix3d rotation = RotationFromAxis(axis, 0, Facing::kPlusZ);
  const Eigen::Vector3d towards_0 = rotation.transpose() * Eigen::Vector3d(0, 1, 0);
  const Eigen::Vector3d towards_90 = rotation.transpose() * Eigen::Vector3d(-1, 0, 0);
  return (axis + delta[0] * towards_0 + delta[1] * towards_90).normalized();
}

double DegFromOptical(const Eigen::Vector3d& axis) { return std::acos(std::clamp(axis.z(), -1.0, 1.0)) * kDegPerRad; }

/// Share of eight sectors that are darker near the axis than further out: a far end is dark whichever way one looks.
double DarkFarEnd(const PolarPicture& polar) {
  int dark = 0;
  for (int sector = 0; sector < 8; ++sector) {
    const int n = polar.grey.cols;
    const cv::Mat1f part = polar.grey.colRange(sector * n / 8, (sector + 1) * n / 8);
    const auto level = [&part](double from, double to) {
      const cv::Mat1f rows = part.rowRange(static_cast<int>(part.rows * from), static_cast<int>(part.rows * to));
      return cv::mean(rows, rows == rows)[0];
    };
    dark += level(0, 0.15) < 0.5 * level(0.7, 1.0);  // 0.12 to 0.24 in pipes; photos of other things reach 0.64
  }
  return dark / 8.0;
}

/// Bores reach 0.05 on scenes with truth, photographs of boards with a dark middle 0.5 to 0.8 (shared/real).
constexpr double kMostUneven = 0.25;

/// How uneven brightness is around the axis: median over the angles from it, natural logarithm.
double Unevenness(const Harmonics& h) {
  std::vector<double> scatter;
  for (const double value : h.scatter)
    if (value > 0) scatter.push_back(value);
  return statistics::MedianOr(scatter, 0.0);
}

}  // namespace

PolarPicture Polar(const cv::Mat1f& grey, const FrameSetting& setting, const Eigen::Matrix3d& rotation, double from_deg,
                   double to_deg, double step_deg, int columns) {
  const int rows = std::max(2, static_cast<int>((to_deg - from_deg) / step_deg) + 1);
  const double ahead = rotation.row(2).dot(Eigen::Vector3d::UnitZ()) >= 0 ? 1 : -1;
  cv::Mat2f map(rows, columns);
  cv::parallel_for_(cv::Range(0, rows), [&](const cv::Range& range) {
    for (int i = range.start; i < range.end; ++i) {
      const double angle = (from_deg + i * step_deg) * kRadPerDeg;
      for (int j = 0; j < columns; ++j) {
        const double theta = 2 * std::numbers::pi * j / columns;
        const Eigen::Vector3d in_bore(-std::sin(theta) * std::sin(angle), std::cos(theta) * std::sin(angle),
                                      ahead * std::cos(angle));
        const auto pixel = setting.lens.Project(rotation.transpose() * in_bore);
        const bool usable = pixel && pixel->x() >= 0 && pixel->y() >= 0 && pixel->x() <= grey.cols - 1 &&
                            pixel->y() <= grey.rows - 1 &&
                            Usable(setting, static_cast<int>(pixel->x()), static_cast<int>(pixel->y()));
        map(i, j) =
            usable ? cv::Vec2f(static_cast<float>(pixel->x()), static_cast<float>(pixel->y())) : cv::Vec2f(-9, -9);
      }
    }
  });
  PolarPicture polar{{}, from_deg, step_deg};
  cv::remap(grey, polar.grey, map, cv::noArray(), cv::INTER_LINEAR, cv::BORDER_CONSTANT,
            cv::Scalar(std::numeric_limits<float>::quiet_NaN()));
  return polar;
}

Result<AxisSeen> FindAxis(const cv::Mat1f& grey, const FrameSetting& setting, const PoseOptions& options) {
  cv::Mat1f smooth;
  cv::GaussianBlur(grey, smooth, {}, 2.0);
  const double scale = std::min(1.0, setting.lens.max_angle_deg / 60);
  const double from_deg = 5 * scale, to_deg = 25 * scale, step_deg = 0.5 * scale;
  AxisSeen seen;
  for (int round = 0; round < 8; ++round) {
    const auto polar =
        Polar(smooth, setting, RotationFromAxis(seen.axis_cam, 0, Facing::kPlusZ), from_deg, to_deg, step_deg, 360);
    const auto step = SolveStep(HarmonicsOf(polar));
    if (!step) return NotFound(Says::kNotBrighterOutward);
    const double length = step->delta_rad.norm(), longest = 6 * kRadPerDeg;
    seen.axis_cam = Lean(seen.axis_cam, step->delta_rad * std::min(1.0, longest / std::max(length, 1e-12)));
    seen.sigma_rad = std::clamp(step->sigma_rad, 0.2 * kRadPerDeg, 2 * kRadPerDeg);
    if (DegFromOptical(seen.axis_cam) > options.max_tilt_deg) return NotFound(Says::kNotDarkInTheMiddle);
    if (length < 0.005 * kRadPerDeg) break;
  }
  const auto polar = Polar(smooth, setting, RotationFromAxis(seen.axis_cam, 0, Facing::kPlusZ), 0.05 * to_deg,
                           1.4 * to_deg, step_deg, 360);
  if (DarkFarEnd(polar) < 1) return NotFound(Says::kNotDarkAllRound);
  if (Unevenness(HarmonicsOf(polar)) > kMostUneven) return NotFound(Says::kUnevenRound);
  return seen;
}

}  // namespace vision::pose
