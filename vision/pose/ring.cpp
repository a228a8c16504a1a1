#include "vision/pose/ring.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "vision/base/says.h"
#include "vision/bore/angle.h"

namespace vision::pose {
namespace {

constexpr double kWidest_deg = 72;  ///< Nearer than a third of the radius the wall's own grain, drawn out, makes rings.
constexpr double kRingHalf = 0.08;  ///< Half-width in t over which a ring's energy is gathered.

/// How finely the picture is resampled over t and azimuth.
struct Grid {
  double step = 0.004;  ///< Rows of t; 0.2 mm along the axis at 50 mm.
  int columns = 720;
};

/// A small picture (one made smaller to be gone through quickly) holds no more than half of that.
Grid GridFor(const cv::Size& picture) { return picture.width > 480 ? Grid{} : Grid{0.008, 360}; }

/// ln grey, band-passed along t (a bead is about a tenth of its distance wide), columns as rows so that shifts are
/// cheap.
struct BandPassed {
  cv::Mat1f by_column;  ///< Columns of the grid x rows of t; 0 where not seen.
  double from_t = 0;
  Grid grid;
  double T(double row) const { return from_t + row * grid.step; }
  int Half() const { return static_cast<int>(kRingHalf / grid.step); }
};

cv::Mat1f LogPolar(const cv::Mat1f& grey, const FrameSetting& setting, const Eigen::Matrix3d& rotation, double from_t,
                   int rows, const Grid& grid) {
  cv::Mat2f map(grid.columns, rows);
  const double ahead = rotation(2, 2) >= 0 ? 1 : -1;
  cv::parallel_for_(cv::Range(0, grid.columns), [&](const cv::Range& range) {
    for (int j = range.start; j < range.end; ++j) {
      const double theta = 2 * std::numbers::pi * j / grid.columns;
      for (int i = 0; i < rows; ++i) {
        const Eigen::Vector3d sight(-std::sin(theta), std::cos(theta), ahead * std::exp(-(from_t + i * grid.step)));
        const auto pixel = setting.lens.Project(rotation.transpose() * sight);
        map(j, i) =
            pixel ? cv::Vec2f(static_cast<float>(pixel->x()), static_cast<float>(pixel->y())) : cv::Vec2f(-9, -9);
      }
    }
  });
  cv::Mat1f polar, usable = grey;
  if (!setting.mask.empty()) {
    usable = grey.clone();
    usable.setTo(std::numeric_limits<float>::quiet_NaN(), setting.mask);
  }
  cv::remap(usable, polar, map, cv::noArray(), cv::INTER_LINEAR, cv::BORDER_CONSTANT,
            cv::Scalar(std::numeric_limits<float>::quiet_NaN()));
  return polar;
}

/// Blur along t that leaves out what was not seen (normalised convolution).
cv::Mat1f Blur(const cv::Mat1f& values, const cv::Mat1f& weight, double sigma) {
  cv::Mat1f sum, norm;
  cv::GaussianBlur(values, sum, {0, 1}, sigma, 1e-3, cv::BORDER_REPLICATE);
  cv::GaussianBlur(weight, norm, {0, 1}, sigma, 1e-3, cv::BORDER_REPLICATE);
  cv::max(norm, 1e-3F, norm);
  cv::Mat1f blurred;
  cv::divide(sum, norm, blurred);
  return blurred;
}

BandPassed BandPass(const cv::Mat1f& grey, const FrameSetting& setting, const Eigen::Matrix3d& rotation) {
  const double to_deg = std::min(kWidest_deg, 0.97 * setting.lens.max_angle_deg);
  const double from_t = std::log(std::tan(0.12 * to_deg * bore::kRadPerDeg)),
               to_t = std::log(std::tan(to_deg * bore::kRadPerDeg));
  const Grid grid = GridFor(grey.size());
  const int rows = static_cast<int>((to_t - from_t) / grid.step) + 1;
  cv::Mat1f log = LogPolar(grey, setting, rotation, from_t, rows, grid), weight(log.size(), 1.0F);
  const cv::Mat unseen = (log == log) == 0;  // != of NaN is false where AVX2 is used
  log.setTo(1.0F, unseen);
  cv::max(log, 4.0F, log);
  cv::log(log, log);
  log.setTo(0.0F, unseen);
  weight.setTo(0.0F, unseen);
  BandPassed band{{}, from_t, grid};
  cv::subtract(Blur(log, weight, 0.016 / grid.step), Blur(log, weight, 0.07 / grid.step), band.by_column);
  cv::min(band.by_column, 0.6F, band.by_column);
  cv::max(band.by_column, -0.6F, band.by_column);
  band.by_column.setTo(0.0F, unseen);
  return band;
}

/// ln of the camera's distance to the wall at each azimuth over the radius; offset as a share of the radius.
double LnRho(double theta, const Eigen::Vector2d& share) {
  const Eigen::Vector2d across(-std::sin(theta), std::cos(theta));
  const double along = share.dot(across);
  return std::log(-along + std::sqrt(std::max(1e-9, along * along + 1 - share.squaredNorm())));
}

/// The profile along t averaged over all azimuths once an offset is undone.
std::vector<float> Averaged(const BandPassed& band, const Eigen::Vector2d& share, int every) {
  const int rows = band.by_column.cols;
  std::vector<float> sum(static_cast<std::size_t>(rows), 0.0F);
  int columns = 0;
  for (int j = 0; j < band.grid.columns; j += every, ++columns) {
    const int shift =
        static_cast<int>(std::lround(LnRho(2 * std::numbers::pi * j / band.grid.columns, share) / band.grid.step));
    const float* from = band.by_column[j];
    const int first = std::max(0, -shift), last = std::min(rows, rows - shift);
    for (int i = first; i < last; ++i) sum[static_cast<std::size_t>(i)] += from[i + shift];
  }
  for (float& value : sum) value /= static_cast<float>(columns);
  return sum;
}

struct Peak {
  double energy = 0, strength = 0;
  int row = 0;
};

/// The window of greatest energy, its middle of brightness contrast, and how far it stands above the rest.
Peak StrongestRing(const std::vector<float>& profile, int half) {
  const int n = static_cast<int>(profile.size());
  std::vector<double> energy(profile.size(), 0.0);
  double running = 0;
  Peak peak;
  for (int i = 0; i < n; ++i) {
    running += std::pow(profile[static_cast<std::size_t>(i)], 2);
    if (i >= 2 * half) running -= std::pow(profile[static_cast<std::size_t>(i - 2 * half)], 2);
    const int centre = i - half;
    if (centre < half || i + 2 >= n) continue;
    energy[static_cast<std::size_t>(centre)] = running;
    if (running > peak.energy) peak = {running, 0, centre};
  }
  std::vector<double> rest;
  for (int i = half; i < n - half; ++i)
    if (std::abs(i - peak.row) > 3 * half) rest.push_back(energy[static_cast<std::size_t>(i)]);
  if (rest.empty()) return peak;
  const auto high = rest.begin() + static_cast<std::ptrdiff_t>(rest.size() * 9 / 10);
  std::nth_element(rest.begin(), high, rest.end());
  peak.strength = peak.energy / std::max(1e-9, *high);
  return peak;
}

Eigen::Vector2d SearchOffset(const BandPassed& band, double max_share) {
  const auto energy = [&band](const Eigen::Vector2d& share, int every) {
    return StrongestRing(Averaged(band, share, every), band.Half()).energy;
  };
  Eigen::Vector2d best(0, 0);
  double best_energy = 0;
  for (double x = -max_share; x <= max_share; x += 0.025)
    for (double y = -max_share; y <= max_share; y += 0.025) {
      if (std::hypot(x, y) > max_share) continue;
      const double value = energy({x, y}, 8);
      if (value > best_energy) {
        best_energy = value;
        best = {x, y};
      }
    }
  best_energy = energy(best, 2);
  for (double step = 0.012; step > 0.0008;) {
    Eigen::Vector2d next = best;
    for (const Eigen::Vector2d& move :
         {Eigen::Vector2d(step, 0), Eigen::Vector2d(-step, 0), Eigen::Vector2d(0, step), Eigen::Vector2d(0, -step)}) {
      const double value = energy(best + move, 2);
      if (value > best_energy) {
        best_energy = value;
        next = best + move;
      }
    }
    if (next == best) step *= 0.5;
    best = next;
  }
  return best;
}

/// Middle of the ring's energy: a bead that is bright towards the camera and dark behind counts as one ring.
double MiddleRow(const std::vector<float>& profile, int row, int half) {
  double sum = 0, weighted = 0;
  for (int i = std::max(0, row - half); i <= std::min(static_cast<int>(profile.size()) - 1, row + half); ++i) {
    const double energy = std::pow(profile[static_cast<std::size_t>(i)], 2);
    sum += energy;
    weighted += energy * i;
  }
  return sum > 0 ? weighted / sum : row;
}

}  // namespace

Result<RingSeen> FindRing(const cv::Mat1f& grey, const FrameSetting& setting, const Eigen::Matrix3d& rotation,
                          double radius_mm, const PoseOptions& options) {
  const auto band = BandPass(grey, setting, rotation);
  const Eigen::Vector2d share = SearchOffset(band, options.max_offset_share);
  const auto profile = Averaged(band, share, 1);
  const Peak peak = StrongestRing(profile, band.Half());
  if (peak.energy == 0 || peak.strength < options.min_ring_strength) return NotFound(Says::kNoRingStandsOut);
  return RingSeen{share * radius_mm, radius_mm * std::exp(-band.T(MiddleRow(profile, peak.row, band.Half()))),
                  peak.strength};
}

}  // namespace vision::pose
