#include "vision/fusion/shelf.h"

#include <algorithm>
#include <cmath>

namespace vision::fusion {
namespace {

using bead::Features;
using bead::kLines;
using bead::WrapLine;

constexpr double kAlong_mm = 1.8;                      ///< Half the arc over which a step must be straight.
constexpr double kOutside_mm = 0.6, kInside_mm = 2.2;  /// Where the step is looked for, from the toe.
constexpr double kTrend_mm = 20;                       ///< Half the arc whose median is the toe's trend.
constexpr double kSmooth_mm = 0.7;

int Lines(const Features& f, double mm) { return std::max(1, static_cast<int>(std::lround(mm / f.line_mm))); }
std::size_t Index(int line) { return static_cast<std::size_t>(WrapLine(line)); }

double Quantile(std::vector<double>& v, double share) {
  const auto at = v.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(v.size() - 1));
  std::nth_element(v.begin(), at, v.end());
  return *at;
}

struct Step {
  double rise = -1e9;
  int row = 0;
};

Step StraightStep(const Features& f, int line, double near_row) {
  const int half = std::max(2, Lines(f, kAlong_mm));
  const int from = std::max(8, static_cast<int>(std::lround(near_row - kOutside_mm / f.pitch_mm)));
  const int to = std::min(f.slope.rows - 9, static_cast<int>(std::lround(near_row + kInside_mm / f.pitch_mm)));
  Step best;
  std::vector<double> around;
  for (int r = from; r <= to; ++r) {
    around.clear();
    for (int k = -half; k <= half; ++k) around.push_back(static_cast<double>(f.slope(r, WrapLine(line + k))));
    if (const double shared = Quantile(around, 0.25); shared > best.rise) best = {shared, r};
  }
  return best;
}

/// Sub-row place of the steepest rise of one line within 0.5 mm of a row.
double SteepestRow(const Features& f, int line, int row) {
  const int reach = std::max(2, static_cast<int>(std::lround(0.5 / f.pitch_mm)));
  const auto slope = [&](int r) {
    return static_cast<double>(f.slope(std::clamp(r, 0, f.slope.rows - 1), WrapLine(line)));
  };
  int best = row - reach;
  for (int r = row - reach; r <= row + reach; ++r)
    if (slope(r) > slope(best)) best = r;
  const double a = slope(best - 1), b = slope(best), c = slope(best + 1), bend = a - 2 * b + c;
  const bool inside = best > row - reach && best < row + reach && bend < -1e-9;
  return best + (inside ? 0.5 * (a - c) / bend : 0);
}

double WanderMm(const Features& f, int line, int row) {
  const int half = std::max(2, Lines(f, kAlong_mm));
  std::vector<double> rows;
  for (int k = -half; k <= half; ++k) rows.push_back(SteepestRow(f, line + k, row));
  std::vector<double> sorted = rows;
  const double middle = Quantile(sorted, 0.5);
  double sum = 0;
  for (const double r : rows) sum += std::abs(r - middle);
  return sum / static_cast<double>(rows.size()) * f.pitch_mm;
}

/// Median over kTrend_mm to either side.
std::vector<double> TrendOf(const Features& f, const std::vector<double>& near_row) {
  const int half = std::min(kLines / 2 - 1, Lines(f, kTrend_mm));
  std::vector<double> out, around;
  for (int i = 0; i < kLines; ++i) {
    around.clear();
    for (int k = -half; k <= half; ++k) around.push_back(near_row[Index(i + k)]);
    out.push_back(Quantile(around, 0.5));
  }
  return out;
}

std::vector<double> Smoothed(const std::vector<double>& v, int half) {
  std::vector<double> out;
  for (int i = 0; i < kLines; ++i) {
    double sum = 0;
    for (int k = -half; k <= half; ++k) sum += v[Index(i + k)];
    out.push_back(sum / (2 * half + 1));
  }
  return out;
}

/// Brightest cell of the first 1.6 mm inside the toe.
double Brightest(const Features& f, int line, double near_row) {
  double best = -1e9;
  for (int r = static_cast<int>(near_row - 0.2 / f.pitch_mm); r <= near_row + 1.5 / f.pitch_mm; ++r)
    best = std::max(best, static_cast<double>(f.level(std::clamp(r, 0, f.level.rows - 1), line)));
  return best;
}

}  // namespace

Shelf ReadShelf(const Features& f, const std::vector<double>& near_row, double insert_width_mm) {
  Shelf s;
  cv::Mat1f size;
  cv::absdiff(f.slope, cv::Scalar(0), size);
  const std::vector<double> trend = TrendOf(f, near_row);
  std::vector<double> flank;
  for (int i = 0; i < kLines; ++i) {
    const double near = near_row[Index(i)];
    const auto mean = [&](const cv::Mat1f& picture, double row, double from_mm, double to_mm) {
      return Features::Mean(picture, i, static_cast<int>(std::lround(row + from_mm / f.pitch_mm)),
                            static_cast<int>(std::lround(row + to_mm / f.pitch_mm)));
    };
    const Step step = StraightStep(f, i, near);
    const double wall = mean(f.level, near, -2.4, -1.3);
    s.step.push_back(step.rise);
    s.inward.push_back((step.row - trend[Index(i)]) * f.pitch_mm);
    s.wander.push_back(WanderMm(f, i, step.row));
    s.shade.push_back(mean(f.level, step.row, -0.5, -0.1) - wall);
    s.top.push_back(mean(f.level, step.row, 0.3, 1.3) - wall);
    s.ripple.push_back(mean(f.texture, step.row, 0.2, 1.5));
    s.slope.push_back(mean(size, step.row, 0.5, 1.5));
    flank.push_back(Brightest(f, i, near) - wall);
    const double half_mm = 0.5 * insert_width_mm, end_mm = insert_width_mm - 0.4;
    s.far_slope.push_back(mean(size, step.row, half_mm + 0.3, end_mm - 0.2));
    s.far_ripple.push_back(mean(f.texture, step.row, half_mm + 0.3, end_mm) -
                           mean(f.texture, step.row, 0.3, half_mm - 0.3));
    s.far_level.push_back(mean(f.level, step.row, half_mm + 0.3, end_mm) - mean(f.level, step.row, 0.4, half_mm - 0.3));
  }
  std::vector<double> sorted = flank;
  const double usual = Quantile(sorted, 0.7);
  for (const double level : flank) s.lack.push_back(usual - level);
  const int half = Lines(f, kSmooth_mm);
  for (auto* v : {&s.step, &s.inward, &s.wander, &s.shade, &s.top, &s.ripple, &s.slope, &s.lack, &s.far_slope,
                  &s.far_ripple, &s.far_level})
    *v = Smoothed(*v, half);
  return s;
}

double ShelfEvidence(const Shelf& s, std::size_t i) {
  const double weakest = std::min({(s.step[i] - 0.04) / 0.03, (s.inward[i] - 0.3) / 0.3, (0.16 - s.wander[i]) / 0.06,
                                   (0.09 - s.shade[i]) / 0.06, (0.5 - s.top[i]) / 0.12, (0.7 - s.ripple[i]) / 0.3,
                                   (0.09 - s.slope[i]) / 0.03, (s.lack[i] + 0.05) / 0.1});
  return 6.0 * (std::clamp(weakest, -1.0, 1.0) - 0.1);
}

double FarShelfEvidence(const Shelf& s, std::size_t i) {
  const double weakest =
      std::min({(0.022 - s.far_slope[i]) / 0.008, (0.35 - s.far_ripple[i]) / 0.2, (0.12 + s.far_level[i]) / 0.06});
  return 4.0 * (std::clamp(weakest, -1.0, 1.0) - 0.1);
}

}  // namespace vision::fusion
