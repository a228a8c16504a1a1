#include "vision/bead/edge.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "vision/base/median.h"
#include "vision/bead/path.h"
#include "vision/bore/stations.h"

namespace vision::bead {
namespace {

// What a step is worth to the path. Near side: the bead's flank faces the camera and is brighter than the wall; a
// darker one (concave root) counts too. Far side: the flank turns away and is darker; bright against what lies outside
// is either a concave root or the end of the crown's highlight, and counts little.
double StepWorth(double step, Side side, const EdgeOptions& o) {
  if (side == Side::kNear)
    return step > 0 ? std::min(step / o.step_unit, 5.0) : std::min(-step / o.dark_unit, o.other_cap);
  return step < 0 ? std::min(-step / o.dark_unit, 5.0) : std::min(step / o.step_unit, o.other_cap);
}

// The path moved outward to where most of its neighbourhood lies, so that the wall is not read from the bead.
std::vector<int> Envelope(const std::vector<int>& path, Side side, const EdgeOptions& o) {
  std::vector<int> out(path.size()), around;
  for (int i = 0; i < bore::kStationLines; ++i) {
    around.clear();
    for (int k = -o.envelope_lines; k <= o.envelope_lines; k += 3)
      around.push_back(path[static_cast<std::size_t>(WrapLine(i + k))]);
    const auto n = static_cast<double>(around.size());
    const auto at = around.begin() + static_cast<std::ptrdiff_t>(n * (side == Side::kNear ? 0.2 : 0.8));
    std::nth_element(around.begin(), at, around.end());
    const int own = path[static_cast<std::size_t>(i)];
    out[static_cast<std::size_t>(i)] = side == Side::kNear ? std::min(own, *at) : std::max(own, *at);
  }
  return out;
}

}  // namespace

int StepRows(double pitch_mm, const EdgeOptions& o) {
  return std::max(2, static_cast<int>(std::lround(o.step_window_mm / pitch_mm)));
}

double StepAt(const std::vector<float>& level, double pitch_mm, int r, Side side, const EdgeOptions& o) {
  const int w = StepRows(pitch_mm, o);
  const double above = Features::Mean(level, r - w, r - 1);
  const double below = Features::Mean(level, r, r + w - 1);
  return side == Side::kNear ? below - above : above - below;
}

std::vector<double> SmoothAround(const std::vector<double>& v, int half) {
  std::vector<double> out(v.size());
  const int n = static_cast<int>(v.size());
  for (int i = 0; i < n; ++i) {
    double sum = 0;
    for (int k = -half; k <= half; ++k) sum += v[static_cast<std::size_t>((i + k + n) % n)];
    out[static_cast<std::size_t>(i)] = sum / (2 * half + 1);
  }
  return out;
}

namespace {

// What the ending of the wall's own drawing lines at a boundary is worth: lines outside, none inside. Needs no
// brightness step, so it also finds a root that looks like the wall.
double LinesEndWorth(const Features& f, const std::vector<float>& kinship, int r, Side side, const EdgeOptions& o) {
  const int w = std::max(2, static_cast<int>(std::lround(o.lines_window_mm / f.pitch_mm)));
  const double above = Features::Mean(kinship, r - w, r - 1);
  const double below = Features::Mean(kinship, r, r + w - 1);
  const double lost = side == Side::kNear ? above - below : below - above;
  return o.lines_end_weight * std::clamp(lost / std::max(0.2, f.wall_kinship), 0.0, 1.0);
}

// Quadratic near, linear far (Huber): a toe may step, but a wall that looks like bead for a few mm of arc does not win.
double Pull(double off, const EdgeOptions& o) {
  return off < o.pull_knee ? off * off : o.pull_knee * (2 * off - o.pull_knee);
}

// Worth of every boundary row of one line. Where the surface brightens again further out, as from the shade behind the
// crown to the wall, a darkening before it is the end of the crown's highlight and no toe.
std::vector<double> Worths(const Features& f, int line, Side side, const EdgeOptions& o) {
  const int rows = f.level.rows, beyond = static_cast<int>(std::lround(o.shade_mm / f.pitch_mm));
  std::vector<double> step(static_cast<std::size_t>(rows)), worth(step.size());
  const auto level = Features::Column(f.level, line), kinship = Features::Column(f.kinship, line);
  for (int r = 0; r < rows; ++r) step[static_cast<std::size_t>(r)] = StepAt(level, f.pitch_mm, r, side, o);
  for (int r = 0; r < rows; ++r) {
    const double s = step[static_cast<std::size_t>(r)];
    double w = StepWorth(s, side, o) + LinesEndWorth(f, kinship, r, side, o);
    if (side == Side::kFar && s > 0) {
      double rise = 0;
      for (int q = r + 4; q <= std::min(rows - 1, r + beyond); ++q)
        rise = std::max(rise, -step[static_cast<std::size_t>(q)]);
      w *= 1.0 - std::clamp((rise - 0.03) / 0.06, 0.0, 1.0);
    }
    worth[static_cast<std::size_t>(r)] = w;
  }
  return worth;
}

}  // namespace

std::vector<int> TracePath(const Features& f, const cv::Mat1f& evidence, const std::vector<int>& inner_row, Side side,
                           const std::vector<double>& expected_row, const EdgeOptions& o,
                           const std::vector<double>& least_row, double expected_within_mm,
                           const std::vector<double>& usual_row) {
  const int rows = f.level.rows, reach = static_cast<int>(o.reach_mm / f.pitch_mm);
  const int dir = side == Side::kNear ? -1 : 1;
  cv::Mat1f cost(rows, bore::kStationLines, 2 * kForbidden);
  for (int i = 0; i < bore::kStationLines; ++i) {
    const int inner = inner_row[static_cast<std::size_t>(i)];
    const std::vector<double> worth = Worths(f, i, side, o);
    double gathered = 0;
    for (int k = 0; k <= reach; ++k) {
      const int r = inner + dir * k;  // the outermost bead row
      if (r < 8 || r >= rows - 8) break;
      gathered += static_cast<double>(evidence(r, i)) * f.pitch_mm;
      const int boundary = side == Side::kNear ? r : r + 1;
      double c = -gathered - o.step_weight * worth[static_cast<std::size_t>(boundary)];
      if (!expected_row.empty()) {
        const double off = (boundary - expected_row[static_cast<std::size_t>(i)]) * f.pitch_mm / expected_within_mm;
        c += o.trend_weight * Pull(std::abs(off), o);
      }
      if (!usual_row.empty()) {
        const double off =
            std::max(0.0, boundary - usual_row[static_cast<std::size_t>(i)]) * f.pitch_mm / o.usual_within_mm;
        c += o.usual_weight * (off < o.usual_knee ? off * off : o.usual_knee * (2 * off - o.usual_knee));
      }
      if (!least_row.empty()) {
        const double lacks =
            std::max(0.0, least_row[static_cast<std::size_t>(i)] - boundary) * f.pitch_mm / o.narrow_mm;
        c += o.narrow_weight * std::min(lacks * lacks, o.narrow_cap);
      }
      cost(boundary, i) = static_cast<float>(c);
    }
  }
  return ClosedPath(cost, 0.15, 8);
}

std::vector<double> Trend(const std::vector<int>& path, double half_deg) {
  const int half = static_cast<int>(std::lround(half_deg / bore::kStationLine_deg));
  std::vector<double> out;
  for (int i = 0; i < bore::kStationLines; ++i)
    out.push_back(Median(Around(path, i, half, EveryLine, half > 40 ? 3 : 1)));
  return out;
}

namespace {

// Recorded pictures are coded with a power of about 1 / 2.2 (IEC 61966-2-1, ITU-R BT.709): light over the wall's light.
double Luminance(float level) {
  constexpr double kDecoding = 2.2;
  return std::exp(kDecoding * static_cast<double>(level));
}

// Centre of the change of the given sign around a row, found by moving a tapered window until it rests. Luminance, not
// its logarithm: blur by lens and pixels keeps the half-height point of a step in place only on a linear scale.
double CentreOfChange(const Features& f, int line, double row, double sign, int reach) {
  double centre = row;
  for (int pass = 0; pass < 4; ++pass) {
    double w = 0, m1 = 0;
    const int from = std::max(1, static_cast<int>(std::ceil(centre - reach)));
    const int to = std::min(f.level.rows - 1, static_cast<int>(std::floor(centre + reach)) + 1);
    for (int r = from; r <= to; ++r) {
      const double x = r - 0.5 - centre;
      const double change = Luminance(f.level(r, line)) - Luminance(f.level(r - 1, line));
      const double g = std::max(0.0, sign * change) * std::max(0.0, 1.0 - std::abs(x) / (reach + 1));
      w += g, m1 += g * x;
    }
    if (w < 1e-6) break;
    centre += m1 / w;
  }
  return centre;
}

}  // namespace

Edge Refine(const Features& f, const std::vector<int>& path, Side side, const EdgeOptions& o) {
  Edge e;
  const int reach = static_cast<int>(std::lround(0.5 / f.pitch_mm));
  for (int i = 0; i < bore::kStationLines; ++i) {
    const int r0 = path[static_cast<std::size_t>(i)];
    const double step = StepAt(Features::Column(f.level, i), f.pitch_mm, r0, side, o);
    const double sign = (step >= 0 ? 1.0 : -1.0) * (side == Side::kNear ? 1 : -1);
    const double row = CentreOfChange(f, i, r0 - 0.5, sign, reach);
    e.row.push_back(std::abs(row - (r0 - 0.5)) > 1.5 * reach ? r0 - 0.5 : row);
    e.step.push_back(step);
  }
  return e;
}

namespace {

std::vector<double> RunningMedian(const std::vector<double>& rows, int half) {
  std::vector<double> out;
  for (int i = 0; i < bore::kStationLines; ++i) out.push_back(Median(Around(rows, i, half, EveryLine)));
  return out;
}

// Mean over the lines to either side that are of the same kind.
std::vector<double> MeanOfKind(const std::vector<double>& values, const std::vector<char>& kind, int half) {
  std::vector<double> out;
  for (int i = 0; i < bore::kStationLines; ++i) {
    const auto same = [&](std::size_t j) { return kind[j] == kind[static_cast<std::size_t>(i)]; };
    const auto around = Around(values, i, half, same);
    out.push_back(std::accumulate(around.begin(), around.end(), 0.0) / static_cast<double>(around.size()));
  }
  return out;
}

}  // namespace

Edge EdgeOfHalves(const Features& f, const Edge& edge, const std::vector<char>& hollow, double even_mm,
                  const EdgeOptions& o) {
  const int half = LinesIn(o.together_mm, f.line_mm);
  Edge out{RunningMedian(edge.row, LinesIn(even_mm, f.line_mm)), MeanOfKind(edge.step, hollow, half)};
  const auto steady = RunningMedian(edge.row, half);
  for (std::size_t i = 0; i < out.row.size(); ++i)
    if (std::abs(out.row[i] - steady[i]) * f.pitch_mm > o.wanders_mm) out.row[i] = steady[i];
  return out;
}

void Rebase(Features& f, const std::vector<int>& near_path, const std::vector<int>& far_path, const EdgeOptions& o) {
  const int from = static_cast<int>(std::lround(0.7 / f.pitch_mm)),
            to = static_cast<int>(std::lround(2.2 / f.pitch_mm));
  const auto near_out = Envelope(near_path, Side::kNear, o), far_out = Envelope(far_path, Side::kFar, o);
  std::vector<double> near(bore::kStationLines), far(bore::kStationLines);
  const int widest = static_cast<int>(std::lround(o.widest_mm / f.pitch_mm));
  for (int i = 0; i < bore::kStationLines; ++i) {
    const auto k = static_cast<std::size_t>(i);
    near[k] = Features::Mean(f.level, i, near_out[k] - to, near_out[k] - from);
    const int clear = std::max(far_out[k] + from, near_out[k] + widest);
    far[k] = Features::Mean(f.level, i, clear, clear + to - from);
  }
  near = SmoothAround(near, 8), far = SmoothAround(far, 8);
  for (int i = 0; i < bore::kStationLines; ++i) {
    const auto k = static_cast<std::size_t>(i);
    const double a = near_path[k], b = std::max(far_path[k], near_path[k] + 5);
    for (int r = 0; r < f.level.rows; ++r) {
      const double t = std::clamp((r - a) / (b - a), 0.0, 1.0);
      f.level(r, i) -= static_cast<float>(near[k] + t * (far[k] - near[k]));
    }
  }
}

}  // namespace vision::bead
