// Where the torch stood with the arc on: a path with a flat part against one whose speed only drifts.
#include <Eigen/Cholesky>
#include <Eigen/Core>
#include <algorithm>
#include <cmath>

#include "vision/arc/course_parts.h"

namespace vision::arc {
namespace {

/// Travelled time: it stands still between `from` and `from + length`.
double Travelled(double t, double from, double length) { return t - std::clamp(t - from, 0.0, length); }

struct Fit {
  double squares = 0;   ///< Sum of squared residuals.
  double speed = 0;     ///< At the middle of the window.
  double at_stand = 0;  ///< Value where it stands.
};

/// place = c + v tau + q tau^2 by least squares, tau the travelled time.
Fit FitPath(const Track& track, std::size_t first, std::size_t last, double from, double length) {
  const double origin = from;
  Eigen::Matrix3d h = Eigen::Matrix3d::Zero();
  Eigen::Vector3d g = Eigen::Vector3d::Zero();
  double yy = 0;
  const double base = track.along_mm[first];
  for (std::size_t i = first; i <= last; ++i) {
    const double tau = Travelled(track.time_s[i], from, length) - origin, y = track.along_mm[i] - base;
    const Eigen::Vector3d row(1, tau, tau * tau);
    h += row * row.transpose();
    g += y * row;
    yy += y * y;
  }
  const Eigen::Vector3d x = h.ldlt().solve(g);
  return {std::max(0.0, yy - x.dot(g)), x[1], x[0] + base};
}

/// Weights of one round: all alike at first, later less the farther a place lies from the line (Tukey's biweight at
/// 95 % efficiency), so that spatter beside the pool does not pull.
void Weigh(const Track& track, const std::vector<std::size_t>& within, double time_s, const LineAt& line,
           std::vector<double>* weights) {
  std::vector<double> off;
  for (const std::size_t i : within)
    off.push_back(std::abs(track.along_mm[i] - line.along_mm - line.speed_mm_s * (track.time_s[i] - time_s)));
  std::vector<double> sorted = off;
  const auto middle = sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() / 2);
  std::nth_element(sorted.begin(), middle, sorted.end());
  const double cut = 4.685 * std::max(0.05, 1.4826 * *middle);
  for (std::size_t k = 0; k < off.size(); ++k) {
    const double x = off[k] / cut;
    (*weights)[k] = x < 1 ? (1 - x * x) * (1 - x * x) : 0;
  }
}

}  // namespace

std::vector<Standing> StandingsIn(const Track& track, const Scatter& scatter, double usual_mm_s,
                                  const CourseOptions& options) {
  std::vector<Standing> found;
  if (track.time_s.size() < 8) return found;
  const double begin = track.time_s.front(), end = track.time_s.back();
  const double per_square = 1 / (scatter.sigma_mm * scatter.sigma_mm * scatter.alike);
  const auto index = [&](double t) {
    const auto place = std::lower_bound(track.time_s.begin(), track.time_s.end(), t) - track.time_s.begin();
    return std::min(static_cast<std::size_t>(place), track.time_s.size() - 1);
  };
  for (double from = begin + options.standing.least_beside_s; from < end - options.standing.least_beside_s;
       from += options.standing.step_s) {
    for (double length = options.standing.shortest_looked_s; length <= options.longest_stop_s;
         length += options.standing.step_s) {
      if (from + length > end - options.standing.least_beside_s) break;
      const std::size_t first = index(std::max(begin, from - options.standing.beside_s));
      const std::size_t last = index(std::min(end, from + length + options.standing.beside_s));
      const Fit steady = FitPath(track, first, last, from, 0), stood = FitPath(track, first, last, from, length);
      const double gain = (steady.squares - stood.squares) * per_square;
      if (gain > options.standing.least_gain && stood.speed > options.standing.least_share * usual_mm_s)
        found.push_back({from, from + length, stood.at_stand, gain});
    }
  }
  std::sort(found.begin(), found.end(), [](const Standing& a, const Standing& b) { return a.gain > b.gain; });
  std::vector<Standing> best;
  for (const auto& one : found)
    if (std::none_of(best.begin(), best.end(), [&](const Standing& other) {
          return one.from_s < other.to_s + options.standing.least_beside_s &&
                 other.from_s < one.to_s + options.standing.least_beside_s;
        }))
      best.push_back(one);
  std::erase_if(best, [&](const Standing& one) {
    return one.to_s - one.from_s < options.shortest_stop_s - options.standing.step_s;
  });
  std::sort(best.begin(), best.end(), [](const Standing& a, const Standing& b) { return a.from_s < b.from_s; });
  return best;
}

double StoodAtStart(const Track& track, const Scatter& scatter, const CourseOptions& options) {
  if (track.time_s.size() < 8) return 0;
  const double begin = track.time_s.front(), end = track.time_s.back();
  const double per_square = 1 / (scatter.sigma_mm * scatter.sigma_mm * scatter.alike);
  double best = 0, best_gain = options.standing.least_gain / 2;
  for (double length = 2 * options.standing.step_s;
       length <= std::min(options.longest_stop_s, end - begin - options.standing.least_beside_s);
       length += options.standing.step_s) {
    std::size_t last = 0;
    while (last + 1 < track.time_s.size() && track.time_s[last] < begin + length + options.standing.beside_s) ++last;
    const Fit steady = FitPath(track, 0, last, begin, 0), stood = FitPath(track, 0, last, begin, length);
    const double gain = (steady.squares - stood.squares) * per_square;
    if (gain > best_gain && stood.speed > 0) best_gain = gain, best = length;
  }
  return best;
}

LineAt FitLine(const Track& track, double time_s, double window_s, const Scatter& scatter, double from_s, double to_s) {
  std::vector<std::size_t> within;
  for (std::size_t i = 0; i < track.time_s.size(); ++i)
    if (std::abs(track.time_s[i] - time_s) <= window_s / 2 + 1e-9 && track.time_s[i] >= from_s &&
        track.time_s[i] <= to_s)
      within.push_back(i);
  std::vector<double> weights(within.size(), 1.0);
  LineAt line;
  for (int round = 0; round < 4 && !within.empty(); ++round) {
    double sw = 0, st = 0, sy = 0, stt = 0, sty = 0;
    for (std::size_t k = 0; k < within.size(); ++k) {
      const double t = track.time_s[within[k]] - time_s, y = track.along_mm[within[k]], w = weights[k];
      sw += w, st += w * t, sy += w * y, stt += w * t * t, sty += w * t * y;
    }
    if (sw <= 0) return line;
    const double spread = stt - st * st / sw;
    line = {sy / sw, 0, 0, 0};
    if (within.size() < 3 || spread <= 0) return line;
    line.speed_mm_s = (sty - st * sy / sw) / spread;
    line.along_mm = (sy - line.speed_mm_s * st) / sw;
    line.speed_u_mm_s = scatter.sigma_mm * std::sqrt(scatter.alike / spread);
    double squares = 0;
    for (std::size_t k = 0; k < within.size(); ++k) {
      const double t = track.time_s[within[k]] - time_s;
      const double rest = track.along_mm[within[k]] - line.along_mm - line.speed_mm_s * t;
      squares += weights[k] * rest * rest;
    }
    line.rest_mm = std::sqrt(squares / sw);
    Weigh(track, within, time_s, line, &weights);
  }
  return line;
}

}  // namespace vision::arc
