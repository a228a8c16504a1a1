#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <opencv2/imgproc.hpp>

#include "vision/bore/angle.h"
#include "vision/match/change_parts.h"

// The outline of a ground pocket. Each cell is asked which it resembles more: the wall that was there (`expected`), or
// the ground finish, a smooth surface of brightness and colour fitted to the pocket's own middle. Halfway between the
// two is the rim. The closed line about the pocket's middle that gathers most of the cells that say "ground", and does
// not bend more than it must, is found by dynamic programming over the directions; it starts anew from its result
// twice.
namespace vision::match {
namespace {

using Row6 = std::array<double, 6>;

/// The stretch of the ring about the pocket, cut out; u along the arc, v along z, mm from the middle.
struct Cut {
  cv::Mat3f after, expected;
  cv::Mat1b both, lit_out, inside;
  std::vector<cv::Vec3f> sigma;
  int first_column = 0;
  double middle_column = 0, middle_row = 0, arc_pitch_mm = 0, pitch_mm = 0;

  double U(double column) const { return (column - middle_column) * arc_pitch_mm; }
  double V(double row) const { return (row - middle_row) * pitch_mm; }
};

template <typename Mat>
Mat Columns(const Mat& picture, int first, int count) {
  Mat out(picture.rows, count);
  for (int k = 0; k < count; ++k)
    picture.col(((first + k) % picture.cols + picture.cols) % picture.cols).copyTo(out.col(k));
  return out;
}

Cut CutOut(const Evidence& e, const Cells& cells) {
  const cv::Rect box = cv::boundingRect(cells);
  const int beside = static_cast<int>(6 / e.arc_pitch_mm());
  const int count = std::min(box.width + 2 * beside, e.grid.columns);
  Cut cut;
  cut.first_column = box.x + box.width / 2 - count / 2;
  cut.after = Columns(e.after, cut.first_column, count);
  cut.expected = Columns(e.expected, cut.first_column, count);
  cut.both = Columns(e.both, cut.first_column, count);
  cut.lit_out = Columns(e.lit_out, cut.first_column, count);
  cut.sigma = e.sigma;
  cut.inside = cv::Mat1b::zeros(cut.after.size());
  cv::Point2d sum;
  for (const auto& cell : cells) {
    const int column = std::clamp(cell.x - cut.first_column, 0, count - 1);
    cut.inside(cell.y, column) = 255;
    sum += cv::Point2d(column, cell.y);
  }
  cut.middle_column = sum.x / static_cast<double>(cells.size());
  cut.middle_row = sum.y / static_cast<double>(cells.size());
  cut.arc_pitch_mm = e.arc_pitch_mm(), cut.pitch_mm = e.grid.pitch_mm;
  return cut;
}

Row6 Terms(double u, double v) { return {1, u, v, u * u, u * v, v * v}; }

/// One channel of the ground finish: a quadratic in u and v, robust, held to the range it has in the pocket's middle.
struct Finish {
  Row6 c{};
  double sigma = 0, low = 0, high = 0;
  double At(double u, double v) const {
    const Row6 t = Terms(u, v);
    double sum = 0;
    for (std::size_t i = 0; i < 6; ++i) sum += c[i] * t[i];
    return std::clamp(sum, low, high);
  }
};

Finish FitFinish(const Cut& cut, const cv::Mat1b& core, int channel) {
  std::vector<cv::Point> cells;
  cv::findNonZero(core, cells);
  const auto n = static_cast<int>(cells.size());
  cv::Mat1d terms(n, 6), values(n, 1), weights(n, 1, 1.0), solved;
  for (int i = 0; i < n; ++i) {
    const auto& cell = cells[static_cast<std::size_t>(i)];
    const Row6 t = Terms(cut.U(cell.x), cut.V(cell.y));
    for (int j = 0; j < 6; ++j) terms(i, j) = t[static_cast<std::size_t>(j)];
    values(i) = cut.after(cell)[channel];
  }
  Finish finish;
  std::vector<double> off(static_cast<std::size_t>(n));
  for (int pass = 0; pass < 4; ++pass) {
    cv::Mat1d weighted = terms.clone(), aim;
    cv::multiply(values, weights, aim);
    for (int j = 0; j < 6; ++j) cv::multiply(weighted.col(j), weights, weighted.col(j));
    cv::solve(weighted.t() * weighted, weighted.t() * aim, solved, cv::DECOMP_SVD);
    cv::Mat1d rest;
    cv::gemm(terms, solved, -1, values, 1, rest);
    for (int i = 0; i < n; ++i) off[static_cast<std::size_t>(i)] = std::abs(rest(i));
    std::nth_element(off.begin(), off.begin() + n / 2, off.end());
    finish.sigma = std::max<double>(kLeastSigma[channel], 1.4826 * off[static_cast<std::size_t>(n / 2)]);
    for (int i = 0; i < n; ++i) weights(i) = 1 / std::max(1.0, std::abs(rest(i)) / (2 * finish.sigma));
  }
  for (int j = 0; j < 6; ++j) finish.c[static_cast<std::size_t>(j)] = solved(j);
  cv::Mat1d fitted;
  cv::gemm(terms, solved, 1, cv::noArray(), 0, fitted);
  cv::minMaxLoc(fitted, &finish.low, &finish.high);
  return finish;
}

using Finishes = std::array<Finish, 3>;

Finishes FitFinishes(const Cut& cut) {
  cv::Mat1b core;
  const int by = static_cast<int>(1.0 / cut.pitch_mm);
  cv::erode(cut.inside, core, cv::getStructuringElement(cv::MORPH_ELLIPSE, {2 * by + 1, 2 * by + 1}));
  core &= cut.both;
  if (cv::countNonZero(core) < 100) core = cut.inside & cut.both;
  return {FitFinish(cut, core, 0), FitFinish(cut, core, 1), FitFinish(cut, core, 2)};
}

/// Positive where a cell resembles the ground finish more than the wall that was there.
cv::Mat1f Ground(const Cut& cut, const Finishes& finishes, const OutlineOptions& o) {
  cv::Mat1f says(cut.after.size(), 0.0F);
  for (int row = 0; row < says.rows; ++row)
    for (int column = 0; column < says.cols; ++column) {
      if (!cut.both(row, column)) continue;
      double sum = 0;
      for (int k = 0; k < 3; ++k) {
        const auto& finish = finishes[static_cast<std::size_t>(k)];
        const double sigma = cut.sigma[static_cast<std::size_t>(row)][k];
        const double is = cut.after(row, column)[k], was = is - cut.expected(row, column)[k],
                     ground = is - finish.At(cut.U(column), cut.V(row));
        sum += 0.5 * (was * was - ground * ground) / (sigma * sigma + finish.sigma * finish.sigma);
      }
      says(row, column) = std::clamp(static_cast<float>(sum), -o.sure, o.sure);
    }
  return says;
}

/// A closed line in polar steps about a middle, in ellipse coordinates (stretch_u, stretch_v).
struct Rays {
  int directions;
  double step_mm;
  cv::Point2d middle{};
  double stretch_u = 1, stretch_v = 1;
  int steps = 0;
  cv::Point2d At(int direction, int step) const {
    const double angle = 2 * std::numbers::pi * direction / directions, radius = (step + 0.5) * step_mm;
    return middle + cv::Point2d(stretch_u * radius * std::cos(angle), stretch_v * radius * std::sin(angle));
  }
};

Rays RaysOver(const Cut& cut, const OutlineOptions& o) {
  std::vector<cv::Point> cells;
  cv::findNonZero(cut.inside, cells);
  const cv::Rect box = cv::boundingRect(cells);
  const double half_u = 0.5 * box.width * cut.arc_pitch_mm, half_v = 0.5 * box.height * cut.pitch_mm;
  const double mean = std::sqrt(half_u * half_v);
  Rays rays{o.directions, o.step_mm};
  rays.middle = {cut.U(box.x + 0.5 * (box.width - 1)), cut.V(box.y + 0.5 * (box.height - 1))};
  rays.stretch_u = half_u / mean, rays.stretch_v = half_v / mean;
  rays.steps = std::max(20, static_cast<int>(2 * mean / o.step_mm));
  return rays;
}

/// Sum of what the cells say from the middle out to each step.
cv::Mat1d Gains(const Cut& cut, const cv::Mat1f& says, const Rays& rays, const OutlineOptions& o) {
  cv::Mat1d gains(o.directions, rays.steps);
  for (int k = 0; k < o.directions; ++k) {
    double sum = 0;
    for (int step = 0; step < rays.steps; ++step) {
      const cv::Point2d at = rays.At(k, step);
      const int column = static_cast<int>(std::lround(at.x / cut.arc_pitch_mm + cut.middle_column)),
                row = static_cast<int>(std::lround(at.y / cut.pitch_mm + cut.middle_row));
      const bool in = column >= 0 && row >= 0 && column < says.cols && row < says.rows;
      const double cells = (step + 0.5) * o.step_mm * o.step_mm * (2 * std::numbers::pi / o.directions) /
                           (cut.arc_pitch_mm * cut.pitch_mm);
      sum += (in ? says(row, column) : -o.sure) * cells / o.cells_in_one;
      gains(k, step) = sum;
    }
  }
  return gains;
}

/// Best radius step for each direction, starting (and ending) at `start` in direction `from`; -1 leaves both free.
std::vector<int> BestLine(const cv::Mat1d& gains, int from, int start, const OutlineOptions& o) {
  const int steps = gains.cols;
  cv::Mat1d best(o.directions + 1, steps, -1e18);
  cv::Mat1i came(o.directions + 1, steps, 0);
  for (int s = 0; s < steps; ++s)
    if (start < 0 || s == start) best(0, s) = gains(from, s);
  for (int k = 1; k <= o.directions; ++k)
    for (int s = 0; s < steps; ++s) {
      for (int p = std::max(0, s - o.reach_steps); p <= std::min(steps - 1, s + o.reach_steps); ++p) {
        const double value = best(k - 1, p) - o.bend * (s - p) * (s - p);
        if (value > best(k, s)) best(k, s) = value, came(k, s) = p;
      }
      if (k < o.directions) best(k, s) += gains((from + k) % o.directions, s);
    }
  int at = start;
  if (start < 0) {
    cv::Point where;
    cv::minMaxLoc(best.row(o.directions), nullptr, nullptr, nullptr, &where);
    at = where.x;
  }
  std::vector<int> line(o.directions);
  for (int k = o.directions; k > 0; --k) {
    at = came(k, at);
    line[static_cast<std::size_t>((from + k - 1) % o.directions)] = at;
  }
  return line;
}

std::vector<cv::Point2d> ClosedLine(const Cut& cut, const cv::Mat1f& says, const OutlineOptions& o) {
  const Rays rays = RaysOver(cut, o);
  const cv::Mat1d gains = Gains(cut, says, rays, o);
  const int opposite = o.directions / 2;
  const auto open = BestLine(gains, 0, -1, o);
  const auto line = BestLine(gains, opposite, open[static_cast<std::size_t>(opposite)], o);
  std::vector<cv::Point2d> points;
  for (int k = 0; k < o.directions; ++k) points.push_back(rays.At(k, line[static_cast<std::size_t>(k)]));
  return points;
}

cv::Mat1b Filled(const Cut& cut, const std::vector<cv::Point2d>& line) {
  std::vector<cv::Point> corners;
  for (const auto& p : line)
    corners.emplace_back(static_cast<int>(std::lround(p.x / cut.arc_pitch_mm + cut.middle_column)),
                         static_cast<int>(std::lround(p.y / cut.pitch_mm + cut.middle_row)));
  cv::Mat1b mask(cut.after.size(), static_cast<uchar>(0));
  cv::fillPoly(mask, std::vector<std::vector<cv::Point>>{corners}, 255);
  return mask;
}

/// Connected cells inside that stand out from the ground finish, or are blown out.
std::vector<Spot> StillSeen(const Cut& cut, const Finish& finish, const Evidence& e, const OutlineOptions& o) {
  cv::Mat1b core, on(cut.after.size(), static_cast<uchar>(0));
  const int by = static_cast<int>(0.4 / cut.pitch_mm);
  cv::erode(cut.inside, core, cv::getStructuringElement(cv::MORPH_ELLIPSE, {2 * by + 1, 2 * by + 1}));
  for (int row = 0; row < on.rows; ++row)
    for (int column = 0; column < on.cols; ++column) {
      if (!core(row, column)) continue;
      const double off = std::abs(cut.after(row, column)[0] - finish.At(cut.U(column), cut.V(row)));
      if (cut.lit_out(row, column) || off > std::max(o.out, o.sigmas * finish.sigma)) on(row, column) = 255;
    }
  cv::Mat1i label;
  cv::Mat stats, middles;
  const int count = cv::connectedComponentsWithStats(on, label, stats, middles);
  std::vector<Spot> spots;
  for (int i = 1; i < count; ++i) {
    const double area = stats.at<int>(i, cv::CC_STAT_AREA) * cut.arc_pitch_mm * cut.pitch_mm;
    if (area < o.fewest_mm2) continue;
    Spot spot;
    spot.place.theta_deg = bore::Wrap360(e.grid.ThetaDeg(cut.first_column + middles.at<double>(i, 0)));
    spot.place.z_mm = e.grid.ZMm(middles.at<double>(i, 1));
    spot.circ_mm = stats.at<int>(i, cv::CC_STAT_WIDTH) * cut.arc_pitch_mm;
    spot.axial_mm = stats.at<int>(i, cv::CC_STAT_HEIGHT) * cut.pitch_mm;
    spot.area_mm2 = area;
    spots.push_back(spot);
  }
  return spots;
}

/// Does the rim run along the strip's end or through a stretch that was not seen?
bool CutOff(const Cut& cut) {
  cv::Mat1b rim;
  cv::morphologyEx(cut.inside, rim, cv::MORPH_GRADIENT, cv::getStructuringElement(cv::MORPH_ELLIPSE, {3, 3}));
  const int all = cv::countNonZero(rim), unseen = cv::countNonZero(rim & (cut.both == 0));
  return cv::countNonZero(cut.inside.row(0)) > 0 || cv::countNonZero(cut.inside.row(cut.inside.rows - 1)) > 0 ||
         unseen > 0.25 * all;
}

}  // namespace

Pocket OutlinePocket(const Evidence& e, const Cells& cells, double registration_mm, double resolution_mm,
                     const OutlineOptions& o) {
  Cut cut = CutOut(e, cells);
  std::vector<cv::Point2d> line;
  for (int pass = 0; pass < 3; ++pass) {
    line = ClosedLine(cut, Ground(cut, FitFinishes(cut), o), o);
    cut.inside = Filled(cut, line);
  }
  const auto [left, right] =
      std::minmax_element(line.begin(), line.end(), [](const auto& a, const auto& b) { return a.x < b.x; });
  const auto [top, bottom] =
      std::minmax_element(line.begin(), line.end(), [](const auto& a, const auto& b) { return a.y < b.y; });
  const auto place = [&](double u, double v) {
    return WallPlace{bore::Wrap360(e.grid.ThetaDeg(cut.first_column + cut.middle_column + u / cut.arc_pitch_mm)),
                     e.grid.ZMm(cut.middle_row + v / cut.pitch_mm)};
  };
  Pocket pocket;
  pocket.middle = place(0.5 * (left->x + right->x), 0.5 * (top->y + bottom->y));
  pocket.circ_mm = right->x - left->x, pocket.axial_mm = bottom->y - top->y;
  // Either end lies within a third of a source pixel (k = 1) of the rim, and within what the registration leaves ...
  const double picture_u_mm = std::sqrt(2.0) * std::hypot(resolution_mm / 3, registration_mm);
  // ... where the ground finish can be told from what lies beside it at all, which is what limits the outline.
  pocket.circ_u_mm = std::hypot(picture_u_mm, o.finish_around_u_mm);
  pocket.axial_u_mm = std::hypot(picture_u_mm, o.finish_along_u_mm);
  pocket.area_mm2 = cv::countNonZero(cut.inside) * cut.arc_pitch_mm * cut.pitch_mm;
  for (const auto& p : line) pocket.outline.push_back(place(p.x, p.y));
  pocket.cut_off = CutOff(cut);
  pocket.still_seen = StillSeen(cut, FitFinishes(cut)[0], e, o);
  return pocket;
}

}  // namespace vision::match
