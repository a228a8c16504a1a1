#include "vision/relief/light_track.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/base/median.h"
#include "vision/base/range.h"
#include "vision/bore/angle.h"
#include "vision/unroll/unroll.h"

namespace vision::relief {
namespace {

/// A frame's wall as a band-passed picture of its drawing.
struct Drawing {
  unroll::UnrollMap map;
  cv::Mat1f band;  ///< Wrapped by `margin` columns.
  cv::Mat1b bad;   ///< 255 = not to be used; wrapped likewise.
  int margin = 0;
};

unroll::StripGrid GridOf(double radius_mm, double from_mm, double to_mm, const DrawingOptions& o) {
  return unroll::StripGrid::Over(radius_mm, from_mm, to_mm, o.pitch_mm);
}

cv::Mat1f BandOf(const cv::Mat1f& log, const cv::Mat1f& weight, double sigma) {
  cv::Mat1f top, bottom, out;
  cv::GaussianBlur(log.mul(weight), top, {}, sigma);
  cv::GaussianBlur(weight, bottom, {}, sigma);
  cv::divide(top, bottom + 1e-3F, out);
  return out;
}

Drawing DrawingOf(const SweepFrame& frame, const unroll::StripGrid& grid, int margin, const DrawingOptions& o) {
  Drawing d;
  d.margin = margin;
  d.map = unroll::BuildMap(frame.setting->lens, frame.pose, grid, frame.setting->mask);
  cv::Mat3b picture;
  cv::remap(*frame.image, picture, d.map.fixed_xy, d.map.fixed_fraction, cv::INTER_CUBIC, cv::BORDER_CONSTANT);
  cv::Mat1b grey, hidden, good;
  cv::cvtColor(picture, grey, cv::COLOR_BGR2GRAY);
  cv::remap(frame.hidden, hidden, d.map.fixed_xy, d.map.fixed_fraction, cv::INTER_NEAREST, cv::BORDER_CONSTANT);
  good = d.map.seen & (hidden == 0) & (grey < 250) & (grey >= 6);
  cv::Mat1f log, weight;
  grey.convertTo(log, CV_32F);
  cv::max(log, 6.0F, log);
  cv::log(log, log);
  good.convertTo(weight, CV_32F, 1 / 255.0);
  const auto wrap = [margin](auto& m) { cv::copyMakeBorder(m, m, 0, 0, margin, margin, cv::BORDER_WRAP); };
  wrap(log);
  wrap(weight);
  cv::subtract(BandOf(log, weight, o.fine_mm / o.pitch_mm), BandOf(log, weight, o.coarse_mm / o.pitch_mm), d.band);
  d.band = cv::min(cv::max(d.band.mul(weight), -0.3F), 0.3F);
  d.bad = 255 - good;
  wrap(d.bad);
  return d;
}

double SubSample(double before, double peak, double after) {
  const double bend = before - 2 * peak + after;
  return bend < -1e-9 ? std::clamp(0.5 * (before - after) / bend, -0.5, 0.5) : 0;
}

struct Shift {
  double rows = 0, columns = 0, correlation = -1;
};

double BadShare(const cv::Mat1b& bad, const cv::Rect& patch) {
  return static_cast<double>(cv::countNonZero(bad(patch))) / patch.area();
}

Shift Compare(const Drawing& fixed, const Drawing& moving, const cv::Rect& patch, int reach_rows, int reach_columns) {
  const cv::Rect window(patch.x - reach_columns, patch.y - reach_rows, patch.width + 2 * reach_columns,
                        patch.height + 2 * reach_rows);
  if (window.x < 0 || window.y < 0 || window.br().x > fixed.band.cols || window.br().y > fixed.band.rows) return {};
  if (BadShare(fixed.bad, patch) > 0.02 || BadShare(moving.bad, window) > 0.05) return {};
  cv::Mat1f score;
  cv::matchTemplate(moving.band(window), fixed.band(patch), score, cv::TM_CCOEFF_NORMED);
  cv::Point at;
  double best = 0;
  cv::minMaxLoc(score, nullptr, &best, nullptr, &at);
  if (at.x == 0 || at.y == 0 || at.x == score.cols - 1 || at.y == score.rows - 1) return {};
  return {at.y - reach_rows + SubSample(score(at.y - 1, at.x), best, score(at.y + 1, at.x)),
          at.x - reach_columns + SubSample(score(at.y, at.x - 1), best, score(at.y, at.x + 1)), best};
}

/// Pixel of a strip place given in (fractional) rows and columns, from the frame's own pose.
std::optional<Eigen::Vector2d> PixelAt(const SweepFrame& frame, const unroll::StripGrid& grid, double row,
                                       double column) {
  const auto wall = bore::XyzFromBore({grid.ThetaDeg(column), grid.ZMm(row), 0}, grid.radius_mm);
  return frame.setting->lens.Project(frame.pose.CamFromBore(wall));
}

double Along(const SweepFrame& frame) { return frame.pose.rotation(2, 2) > 0 ? 1 : -1; }

}  // namespace

double StepAlong(const SweepFrame& first, const SweepFrame& second, double radius_mm, double reach_mm,
                 const DrawingOptions& o) {
  const double along = Along(first), z = first.pose.translation_mm.z();
  const double near = z + along * 0.2 * radius_mm, far = z + along * 1.1 * radius_mm;
  const auto grid = GridOf(radius_mm, std::min(near, far), std::max(near, far), o);
  const double side_mm = std::min(1.5 * o.patch_mm, o.patch_share * radius_mm);
  const int patch = static_cast<int>(side_mm / o.pitch_mm), reach = static_cast<int>(reach_mm / o.pitch_mm);
  const int margin = patch + reach;
  const Drawing a = DrawingOf(first, grid, margin, o), b = DrawingOf(second, grid, margin, o);
  std::vector<double> steps;
  for (int k = 0; k < 24; ++k)
    for (int row = reach; row + patch + reach < grid.rows; row += patch / 2) {
      const auto shift =
          Compare(a, b, {grid.columns * k / 24 + margin - patch / 2, row, patch, patch}, reach, reach / 2);
      if (shift.correlation > 0.5) steps.push_back(shift.rows * o.pitch_mm);
    }
  if (steps.size() < 12) return NAN;
  return -MedianInPlace(steps);  // a camera further along sees the same wall that much nearer
}

Status SweepOptions::Check() const {
  return FirstOutside("SweepOptions", {{"reach_mm", reach_mm, 0.01, 100},
                                       {"least_correlation", least_correlation, 0, 1},
                                       {"around", around, 1, 720},
                                       {"neighbours", neighbours, 1, 1000},
                                       {"weld_from_mm", weld_from_mm, -1000, weld_to_mm},
                                       {"weld_to_mm", weld_to_mm, weld_from_mm, 1000}});
}

std::vector<DrawingPoint> TrackDrawing(const std::vector<SweepFrame>& frames, double radius_mm, const SweepOptions& o) {
  assert(!o.Check());
  double from = 1e9, to = -1e9;
  for (const auto& frame : frames) {
    const double z = frame.pose.translation_mm.z(), far = z + Along(frame) * 1.3 * radius_mm;
    from = std::min({from, z, far});
    to = std::max({to, z, far});
  }
  const auto grid = GridOf(radius_mm, from, to, o.drawing);
  const int patch = static_cast<int>(o.drawing.patch_mm / o.drawing.pitch_mm),
            reach = static_cast<int>(o.reach_mm / o.drawing.pitch_mm);
  const int margin = patch + reach;
  std::vector<Drawing> drawings(frames.size());
  cv::parallel_for_(cv::Range(0, static_cast<int>(frames.size())), [&](const cv::Range& range) {
    for (int i = range.start; i < range.end; ++i)
      drawings[static_cast<std::size_t>(i)] = DrawingOf(frames[static_cast<std::size_t>(i)], grid, margin, o.drawing);
  });
  const int count = static_cast<int>(frames.size()), step = std::max(1, std::min(o.neighbours, count) / 3);
  std::vector<DrawingPoint> points;
  for (int home = std::min(step, count - 1) / 2; home < count; home += step)
    for (int k = 0; k < o.around; ++k)
      for (int row = 0; row + patch < grid.rows; row += patch) {
        const double z = grid.ZMm(row + 0.5 * patch);
        if (z > o.weld_from_mm - o.drawing.patch_mm / 2 && z < o.weld_to_mm + o.drawing.patch_mm / 2) continue;
        const int column = grid.columns * k / o.around;
        const cv::Rect place(column + margin - patch / 2, row, patch, patch);
        const double middle_row = row + 0.5 * (patch - 1), middle_column = column - patch / 2 + 0.5 * (patch - 1);
        const auto& fixed = drawings[static_cast<std::size_t>(home)];
        if (BadShare(fixed.bad, place) > 0.02) continue;
        DrawingPoint point{bore::Wrap360(grid.ThetaDeg(middle_column)), grid.ZMm(middle_row), {}};
        const auto here = PixelAt(frames[static_cast<std::size_t>(home)], grid, middle_row, middle_column);
        if (!here) continue;
        for (int i = std::max(0, home - o.neighbours); i <= std::min(count - 1, home + o.neighbours); ++i) {
          Shift shift{0, 0, 1};
          if (i != home) shift = Compare(fixed, drawings[static_cast<std::size_t>(i)], place, reach, reach);
          if (shift.correlation < o.least_correlation) continue;
          const auto pixel = PixelAt(frames[static_cast<std::size_t>(i)], grid, middle_row + shift.rows,
                                     middle_column + shift.columns);
          const bool apart = i == home || (pixel && (*pixel - *here).norm() > o.drawing.apart_px);
          if (pixel && apart) point.sights.push_back({i, *pixel, 0.1 / shift.correlation});
        }
        if (point.sights.size() >= 2) points.push_back(std::move(point));
      }
  return points;
}

}  // namespace vision::relief
