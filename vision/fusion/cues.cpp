#include "vision/fusion/cues.h"

#include <algorithm>
#include <cmath>

namespace vision::fusion {
namespace {

using bead::Features;
using bead::kLines;

struct Window {
  const Features& f;
  int line;
  double Mean(const cv::Mat1f& picture, double row, double from_mm, double to_mm) const {
    return Features::Mean(picture, line, At(row, from_mm), At(row, to_mm));
  }
  int At(double row, double mm) const { return static_cast<int>(std::lround(row + mm / f.pitch_mm)); }
  double Extreme(double row, double from_mm, double to_mm, double sign) const {
    double best = -1e9;
    for (int r = std::max(0, At(row, from_mm)); r <= std::min(f.level.rows - 1, At(row, to_mm)); ++r)
      best = std::max(best, sign * static_cast<double>(f.level(r, bead::WrapLine(line))));
    return sign * best;
  }
};

// Height of a thin line over what lies 0.6 mm to either side, negative for a dark one; per cell.
cv::Mat1f ThinLines(const Features& f) {
  cv::Mat1f out(f.level.size(), 0.0f);
  const int side = std::max(3, static_cast<int>(std::lround(0.6 / f.pitch_mm)));
  for (int i = 0; i < kLines; ++i)
    for (int r = side + 2; r < f.level.rows - side - 2; ++r) {
      const double here = Features::Mean(f.level, i, r - 1, r + 1);
      const double above = Features::Mean(f.level, i, r - side - 1, r - side + 1);
      const double below = Features::Mean(f.level, i, r + side - 1, r + side + 1);
      const double bright = here - std::max(above, below), dark = here - std::min(above, below);
      out(r, i) = static_cast<float>(bright > 0 ? bright : std::min(dark, 0.0));
    }
  return out;
}

// The strongest straight thin line of the given sign around a row: a line counts with what three quarters of the
// neighbouring station lines show at the very same z.
struct Line {
  double strength = 0, row = 0;
};
Line StraightLine(const Features& f, const cv::Mat1f& thin, int line, double row, double from_mm, double to_mm,
                  double sign) {
  const int half = std::max(2, static_cast<int>(std::lround(1.8 / f.line_mm)));
  std::vector<double> around;
  Line best{0, row};
  const int from = std::max(0, static_cast<int>(std::lround(row + from_mm / f.pitch_mm)));
  const int to = std::min(thin.rows - 1, static_cast<int>(std::lround(row + to_mm / f.pitch_mm)));
  for (int r = from; r <= to; ++r) {
    around.clear();
    for (int k = -half; k <= half; ++k) around.push_back(sign * static_cast<double>(thin(r, bead::WrapLine(line + k))));
    const auto quarter = around.begin() + static_cast<std::ptrdiff_t>(around.size() / 4);
    std::nth_element(around.begin(), quarter, around.end());
    if (*quarter > best.strength) best = {*quarter, static_cast<double>(r)};
  }
  return best;
}

// Mean over neighbouring lines, which a ring as laid repeats and a ripple does not.
void Smooth(std::vector<double>& v, int half) {
  const std::vector<double> in = v;
  for (int i = 0; i < kLines; ++i) {
    double sum = 0;
    for (int k = -half; k <= half; ++k) sum += in[static_cast<std::size_t>(bead::WrapLine(i + k))];
    v[static_cast<std::size_t>(i)] = sum / (2 * half + 1);
  }
}

}  // namespace

Cues ReadCues(const Features& f, const std::vector<double>& near_row, const std::vector<double>& far_row) {
  Cues c;
  const cv::Mat1f thin = ThinLines(f);
  cv::Mat1f size;
  cv::absdiff(f.slope, cv::Scalar(0), size);
  for (int i = 0; i < kLines; ++i) {
    const Window w{f, i};
    const double n = near_row[static_cast<std::size_t>(i)], e = far_row[static_cast<std::size_t>(i)];
    const double third = (e - n) * f.pitch_mm / 3;
    const double wall = w.Mean(f.level, n, -1.4, -0.8);
    c.gap.push_back(StraightLine(f, thin, i, n, -1.1, 0.6, -1.0).strength);
    c.ridge.push_back(StraightLine(f, thin, i, n, 0.1, 1.8, 1.0).strength);
    c.flank.push_back(w.Extreme(n, 0.1, 1.0, 1.0) - wall);
    c.near_ripple.push_back(w.Mean(f.texture, n, 0.1, 1.1));
    c.body_ripple.push_back(w.Mean(f.texture, n, 1.2, 2 * third));
    c.body_level.push_back(w.Mean(f.level, n, 1.2, 2 * third) - wall);
    c.body_slope.push_back(w.Mean(size, n, 1.3, 2 * third));
    c.chamfer.push_back(w.Extreme(n, 0.1, 1.0, 1.0) - w.Mean(f.level, n, 1.2, 1.8));
    const Line edge = StraightLine(f, thin, i, n, -0.2, 3.2, 1.0);
    c.edge.push_back(edge.strength);
    c.inner_level.push_back(w.Mean(f.level, edge.row, 0.7, 2.2) - wall);
    c.inner_ripple.push_back(w.Mean(f.texture, edge.row, 0.7, 2.2));
    c.inner_slope.push_back(w.Mean(size, edge.row, 0.9, 2.0));
    c.outer_level.push_back(w.Mean(f.level, edge.row, -1.4, -0.6) - w.Mean(f.level, edge.row, -2.6, -1.8));
  }
  const int half = std::max(1, static_cast<int>(std::lround(0.7 / f.line_mm)));
  for (auto* v : {&c.gap, &c.ridge, &c.flank, &c.near_ripple, &c.body_ripple, &c.body_level, &c.body_slope, &c.chamfer,
                  &c.edge, &c.inner_level, &c.inner_ripple, &c.inner_slope, &c.outer_level})
    Smooth(*v, half);
  return c;
}

}  // namespace vision::fusion
