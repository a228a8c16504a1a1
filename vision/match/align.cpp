#include "vision/match/align.h"

#include <Eigen/Cholesky>
#include <Eigen/Core>
#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "vision/base/range.h"
#include "vision/base/says.h"
#include "vision/bore/angle.h"
#include "vision/statistics/harmonics.h"

namespace vision::match {
namespace {

/// ln grey, band-passed, wrapped by `margin` columns on either side.
cv::Mat1f Drawing(const unroll::Strip& strip, int margin, const AlignOptions& o) {
  cv::Mat grey;
  cv::cvtColor(strip.image, grey, cv::COLOR_BGR2GRAY);
  cv::Mat1f log, fine, coarse;
  grey.convertTo(log, CV_32F);
  cv::max(log, 8.0F, log);
  cv::log(log, log);
  cv::copyMakeBorder(log, log, 0, 0, margin, margin, cv::BORDER_WRAP);
  cv::GaussianBlur(log, fine, {}, o.fine_mm / strip.grid.pitch_mm);
  cv::GaussianBlur(log, coarse, {}, o.coarse_mm / strip.grid.pitch_mm);
  cv::Mat1f band;
  cv::subtract(fine, coarse, band);
  cv::min(band, 0.25F, band);
  cv::max(band, -0.25F, band);
  return band;
}

struct PatchShift {
  double theta_deg = 0, z_mm = 0, arc_mm = 0, correlation = 0;
};

/// Peak of a parabola through three samples, in samples from the middle one.
double SubSample(double before, double peak, double after) {
  const double bend = before - 2 * peak + after;
  return bend < -1e-9 ? std::clamp(0.5 * (before - after) / bend, -0.5, 0.5) : 0;
}

PatchShift Compare(const cv::Mat1f& fixed, const cv::Mat1f& moving, cv::Rect patch, int reach_rows, int reach_columns,
                   double pitch_mm) {
  const cv::Rect window(patch.x - reach_columns, patch.y - reach_rows, patch.width + 2 * reach_columns,
                        patch.height + 2 * reach_rows);
  cv::Mat1f score;
  cv::matchTemplate(moving(window), fixed(patch), score, cv::TM_CCOEFF_NORMED);
  cv::Point at;
  double best = 0;
  cv::minMaxLoc(score, nullptr, &best, nullptr, &at);
  const bool edge = at.x == 0 || at.y == 0 || at.x == score.cols - 1 || at.y == score.rows - 1;
  if (edge) return {0, 0, 0, -1};
  const double dz = SubSample(score(at.y - 1, at.x), best, score(at.y + 1, at.x));
  const double da = SubSample(score(at.y, at.x - 1), best, score(at.y, at.x + 1));
  return {0, (at.y - reach_rows + dz) * pitch_mm, (at.x - reach_columns + da) * pitch_mm, best};
}

/// Robust fit of the smooth function to one coordinate of the patches.
AroundBore Fit(const std::vector<PatchShift>& patches, double PatchShift::*value, double* sum_squares,
               const AlignOptions& o) {
  Eigen::Matrix<double, 5, 1> c = Eigen::Matrix<double, 5, 1>::Zero();
  for (int round = 0; round < 8; ++round) {
    Eigen::Matrix<double, 5, 5> normal = 1e-6 * Eigen::Matrix<double, 5, 5>::Identity();
    Eigen::Matrix<double, 5, 1> right = Eigen::Matrix<double, 5, 1>::Zero();
    for (const auto& patch : patches) {
      const auto basis = statistics::Harmonics<2>(patch.theta_deg);
      const double off = patch.*value - basis.dot(c);
      const double weight = round == 0 ? 1 : 1 / std::max(1.0, std::abs(off) / o.huber_mm);
      normal += weight * basis * basis.transpose();
      right += weight * patch.*value * basis;
    }
    c = normal.ldlt().solve(right);
  }
  if (sum_squares)
    for (const auto& patch : patches)
      *sum_squares += std::pow(patch.*value - statistics::Harmonics<2>(patch.theta_deg).dot(c), 2);
  AroundBore around;
  Eigen::Map<Eigen::Matrix<double, 5, 1>>(around.c.data()) = c;
  return around;
}

/// Shifts of every patch on one side of the weld that agrees well enough.
std::vector<PatchShift> SideShifts(const cv::Mat1f& fixed, const cv::Mat1f& moving, const unroll::StripGrid& grid,
                                   bool left, int margin, const AlignOptions& options) {
  const double from = left ? -options.to_mm : options.from_mm, to = left ? -options.from_mm : options.to_mm;
  const int reach_rows = static_cast<int>(options.reach_mm / grid.pitch_mm),
            reach_columns = static_cast<int>(options.arc_reach_mm / grid.pitch_mm);
  const int top = static_cast<int>(grid.Row(from)), height = static_cast<int>((to - from) / grid.pitch_mm);
  const int width = static_cast<int>(options.patch_arc_mm / grid.pitch_mm);
  std::vector<PatchShift> shifts;
  if (top - reach_rows < 0 || top + height + reach_rows > grid.rows) return shifts;
  for (int k = 0; k < options.patches; ++k) {
    const int column = grid.columns * k / options.patches;
    auto shift = Compare(fixed, moving, {column - width / 2 + margin, top, width, height}, reach_rows, reach_columns,
                         grid.pitch_mm);
    shift.theta_deg = grid.ThetaDeg(column);
    if (shift.correlation >= options.min_correlation) shifts.push_back(shift);
  }
  return shifts;
}

}  // namespace

double AroundBore::At(double theta_deg) const {
  return statistics::Harmonics<2>(theta_deg).dot(Eigen::Map<const Eigen::Matrix<double, 5, 1>>(c.data()));
}

Status AlignOptions::Check() const {
  if (auto broken = FirstOutside("AlignOptions", {{"fine_mm", fine_mm, 0.05, 5},
                                                  {"coarse_mm", coarse_mm, 0.1, 50},
                                                  {"patch_arc_mm", patch_arc_mm, 1, 200},
                                                  {"huber_mm", huber_mm, 0.01, 10}}))
    return broken;
  if (!(from_mm > 0 && to_mm > from_mm)) return BadInput("AlignOptions: from_mm must be > 0 and below to_mm.");
  if (!(reach_mm > 0 && arc_reach_mm > 0)) return BadInput("AlignOptions: reach_mm and arc_reach_mm must be > 0.");
  if (!(min_correlation > 0 && min_correlation < 1))
    return BadInput("AlignOptions::min_correlation must be between 0 and 1.");
  if (patches < 8 || patches > 360) return BadInput("AlignOptions::patches must be 8 to 360.");
  return std::nullopt;
}

Result<Alignment> Align(const unroll::Strip& fixed, const unroll::Strip& moving, const AlignOptions& options) {
  if (auto broken = options.Check()) return *broken;
  const auto& grid = fixed.grid;
  if (grid.rows != moving.grid.rows || grid.columns != moving.grid.columns)
    return BadInput("Strips of different grids cannot be aligned.");
  const int margin = static_cast<int>((options.patch_arc_mm / 2 + options.arc_reach_mm) / grid.pitch_mm) + 2;
  const auto a = Drawing(fixed, margin, options), b = Drawing(moving, margin, options);
  const auto left = SideShifts(a, b, grid, true, margin, options),
             right = SideShifts(a, b, grid, false, margin, options);
  Alignment alignment;
  alignment.patches = static_cast<int>(left.size() + right.size());
  const auto fewest = static_cast<std::size_t>(std::max(8, options.patches / 2));
  if (left.size() < fewest || right.size() < fewest)
    return NotFound(Says::kPatchesDisagree, {alignment.patches, 2 * options.patches});
  double sum_squares = 0;
  alignment.left_z_mm = Fit(left, &PatchShift::z_mm, &sum_squares, options);
  alignment.right_z_mm = Fit(right, &PatchShift::z_mm, &sum_squares, options);
  std::vector<PatchShift> both = left;
  both.insert(both.end(), right.begin(), right.end());
  alignment.arc_mm = Fit(both, &PatchShift::arc_mm, nullptr, options);
  alignment.residual_mm = std::sqrt(sum_squares / alignment.patches);
  std::nth_element(both.begin(), both.begin() + static_cast<std::ptrdiff_t>(both.size() / 2), both.end(),
                   [](const PatchShift& p, const PatchShift& q) { return p.correlation < q.correlation; });
  alignment.correlation = both[both.size() / 2].correlation;
  return alignment;
}

unroll::Strip Shifted(const unroll::Strip& moving, const Alignment& alignment) {
  const auto& grid = moving.grid;
  cv::Mat2f map(grid.rows, grid.columns);
  for (int column = 0; column < grid.columns; ++column) {
    const double theta = grid.ThetaDeg(column);
    const int rows = static_cast<int>(std::lround(alignment.Z(theta) / grid.pitch_mm));
    const int columns = static_cast<int>(std::lround(alignment.arc_mm.At(theta) / grid.pitch_mm));
    const int from = ((column + columns) % grid.columns + grid.columns) % grid.columns;
    for (int row = 0; row < grid.rows; ++row)
      map(row, column) = {static_cast<float>(from), static_cast<float>(row + rows)};
  }
  unroll::Strip shifted;
  shifted.grid = grid;
  const auto move = [&map](const cv::Mat& from, cv::Mat to, const cv::Scalar& outside) {
    if (from.empty()) return to;
    cv::remap(from, to, map, cv::noArray(), cv::INTER_NEAREST, cv::BORDER_CONSTANT, outside);
    return to;
  };
  const auto nan = cv::Scalar::all(std::numeric_limits<double>::quiet_NaN());
  shifted.image = move(moving.image, {}, {});
  shifted.valid = move(moving.valid, {}, {});
  shifted.clipped = move(moving.clipped, {}, {});
  shifted.source_px = move(moving.source_px, {}, nan);
  shifted.source_frame = move(moving.source_frame, {}, cv::Scalar::all(-1));
  shifted.resolution_z_mm = move(moving.resolution_z_mm, {}, nan);
  shifted.resolution_arc_mm = move(moving.resolution_arc_mm, {}, nan);
  return shifted;
}

}  // namespace vision::match
