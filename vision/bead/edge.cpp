#include "vision/bead/edge.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "vision/base/median.h"
#include "vision/bead/path.h"

namespace vision::bead {
namespace {

constexpr double kReachMm = 6.5;       // how far from the bead's middle a toe is looked for
constexpr double kStepWindowMm = 0.4;  // half-window of the step
constexpr double kStepUnit = 0.10;     // a step of a tenth in log level counts as one unit
constexpr double kDarkUnit = 0.04;     // ... a darkening of half that
constexpr double kOtherCap = 1.2;
constexpr double kNarrowMm = 0.6, kNarrowWeight = 0.4, kNarrowCap = 16;
constexpr double kWidestMm = 5.5;  // from the near toe to where most beads have ended
constexpr double kShadeMm = 2.8;   // widest shade behind a crown
constexpr double kTrendWeight = 0.25, kPullKnee = 4;
constexpr double kUsualWithinMm = 0.5, kUsualWeight = 0.1, kUsualKnee = 3;  // bead's usual width: weak, soon linear
constexpr double kTogetherMm = 2.5;                                         // of arc to either side
constexpr double kWandersMm = 0.3;                                          // along z, a toe within 2.5 mm of arc
constexpr double kStepWeight = 0.5;
constexpr double kLinesWindowMm = 0.8, kLinesEndWeight = 2;  // all lines ending is worth a step of two units

// What a step is worth to the path. Near side: the bead's flank faces the camera and is brighter than the wall; a
// darker one (concave root) counts too. Far side: the flank turns away and is darker; bright against what lies outside
// is either a concave root or the end of the crown's highlight, and counts little.
double StepWorth(double step, Side side) {
  if (side == Side::kNear) return step > 0 ? std::min(step / kStepUnit, 5.0) : std::min(-step / kDarkUnit, kOtherCap);
  return step < 0 ? std::min(-step / kDarkUnit, 5.0) : std::min(step / kStepUnit, kOtherCap);
}

// The path moved outward to where most of its neighbourhood lies, so that the wall is not read from the bead.
std::vector<int> Envelope(const std::vector<int>& path, Side side) {
  constexpr int kHalf = 60;
  std::vector<int> out(path.size()), around;
  for (int i = 0; i < kLines; ++i) {
    around.clear();
    for (int k = -kHalf; k <= kHalf; k += 3) around.push_back(path[static_cast<std::size_t>(WrapLine(i + k))]);
    const auto n = static_cast<double>(around.size());
    const auto at = around.begin() + static_cast<std::ptrdiff_t>(n * (side == Side::kNear ? 0.2 : 0.8));
    std::nth_element(around.begin(), at, around.end());
    const int own = path[static_cast<std::size_t>(i)];
    out[static_cast<std::size_t>(i)] = side == Side::kNear ? std::min(own, *at) : std::max(own, *at);
  }
  return out;
}

}  // namespace

int StepRows(double pitch_mm) { return std::max(2, static_cast<int>(std::lround(kStepWindowMm / pitch_mm))); }

double StepAt(const std::vector<float>& level, double pitch_mm, int r, Side side) {
  const int w = StepRows(pitch_mm);
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
double LinesEndWorth(const Features& f, const std::vector<float>& kinship, int r, Side side) {
  const int w = std::max(2, static_cast<int>(std::lround(kLinesWindowMm / f.pitch_mm)));
  const double above = Features::Mean(kinship, r - w, r - 1);
  const double below = Features::Mean(kinship, r, r + w - 1);
  const double lost = side == Side::kNear ? above - below : below - above;
  return kLinesEndWeight * std::clamp(lost / std::max(0.2, f.wall_kinship), 0.0, 1.0);
}

// Quadratic near, linear far (Huber): a toe may step, but a wall that looks like bead for a few mm of arc does not win.
double Pull(double off) { return off < kPullKnee ? off * off : kPullKnee * (2 * off - kPullKnee); }

// Worth of every boundary row of one line. Where the surface brightens again further out, as from the shade behind the
// crown to the wall, a darkening before it is the end of the crown's highlight and no toe.
std::vector<double> Worths(const Features& f, int line, Side side) {
  const int rows = f.level.rows, beyond = static_cast<int>(std::lround(kShadeMm / f.pitch_mm));
  std::vector<double> step(static_cast<std::size_t>(rows)), worth(step.size());
  const auto level = Features::Column(f.level, line), kinship = Features::Column(f.kinship, line);
  for (int r = 0; r < rows; ++r) step[static_cast<std::size_t>(r)] = StepAt(level, f.pitch_mm, r, side);
  for (int r = 0; r < rows; ++r) {
    const double s = step[static_cast<std::size_t>(r)];
    double w = StepWorth(s, side) + LinesEndWorth(f, kinship, r, side);
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
                           const std::vector<double>& expected_row, const std::vector<double>& least_row,
                           double expected_within_mm, const std::vector<double>& usual_row) {
  const int rows = f.level.rows, reach = static_cast<int>(kReachMm / f.pitch_mm);
  const int dir = side == Side::kNear ? -1 : 1;
  cv::Mat1f cost(rows, kLines, 2 * kForbidden);
  for (int i = 0; i < kLines; ++i) {
    const int inner = inner_row[static_cast<std::size_t>(i)];
    const std::vector<double> worth = Worths(f, i, side);
    double gathered = 0;
    for (int k = 0; k <= reach; ++k) {
      const int r = inner + dir * k;  // the outermost bead row
      if (r < 8 || r >= rows - 8) break;
      gathered += static_cast<double>(evidence(r, i)) * f.pitch_mm;
      const int boundary = side == Side::kNear ? r : r + 1;
      double c = -gathered - kStepWeight * worth[static_cast<std::size_t>(boundary)];
      if (!expected_row.empty()) {
        const double off = (boundary - expected_row[static_cast<std::size_t>(i)]) * f.pitch_mm / expected_within_mm;
        c += kTrendWeight * Pull(std::abs(off));
      }
      if (!usual_row.empty()) {
        const double off =
            std::max(0.0, boundary - usual_row[static_cast<std::size_t>(i)]) * f.pitch_mm / kUsualWithinMm;
        c += kUsualWeight * (off < kUsualKnee ? off * off : kUsualKnee * (2 * off - kUsualKnee));
      }
      if (!least_row.empty()) {
        const double lacks = std::max(0.0, least_row[static_cast<std::size_t>(i)] - boundary) * f.pitch_mm / kNarrowMm;
        c += kNarrowWeight * std::min(lacks * lacks, kNarrowCap);
      }
      cost(boundary, i) = static_cast<float>(c);
    }
  }
  return ClosedPath(cost, 0.15, 8);
}

std::vector<double> Trend(const std::vector<int>& path, double half_deg) {
  const int half = static_cast<int>(std::lround(half_deg / kLineDeg));
  std::vector<double> out;
  for (int i = 0; i < kLines; ++i) out.push_back(Median(Around(path, i, half, EveryLine, half > 40 ? 3 : 1)));
  return out;
}

namespace {

struct Spread {
  double row = 0, width_rows = 0;
};

// Recorded pictures are coded with a power of about 1 / 2.2 (IEC 61966-2-1, ITU-R BT.709): light over the wall's light.
double Luminance(float level) {
  constexpr double kDecoding = 2.2;
  return std::exp(kDecoding * static_cast<double>(level));
}

// Centre of the change of the given sign around a row, found by moving a tapered window until it rests. Luminance, not
// its logarithm: blur by lens and pixels keeps the half-height point of a step in place only on a linear scale.
Spread CentreOfChange(const Features& f, int line, double row, double sign, int reach) {
  Spread out{row, 3};
  for (int pass = 0; pass < 4; ++pass) {
    double w = 0, m1 = 0, m2 = 0;
    const int from = std::max(1, static_cast<int>(std::ceil(out.row - reach)));
    const int to = std::min(f.level.rows - 1, static_cast<int>(std::floor(out.row + reach)) + 1);
    for (int r = from; r <= to; ++r) {
      const double x = r - 0.5 - out.row;
      const double change = Luminance(f.level(r, line)) - Luminance(f.level(r - 1, line));
      const double g = std::max(0.0, sign * change) * std::max(0.0, 1.0 - std::abs(x) / (reach + 1));
      w += g, m1 += g * x, m2 += g * x * x;
    }
    if (w < 1e-6) break;
    out.row += m1 / w;
    out.width_rows = std::sqrt(std::max(0.0, m2 / w - (m1 / w) * (m1 / w)));
  }
  return out;
}

}  // namespace

Edge Refine(const Features& f, const std::vector<int>& path, Side side) {
  Edge e;
  const int reach = static_cast<int>(std::lround(0.5 / f.pitch_mm));
  for (int i = 0; i < kLines; ++i) {
    const int r0 = path[static_cast<std::size_t>(i)];
    const double step = StepAt(Features::Column(f.level, i), f.pitch_mm, r0, side);
    const double sign = (step >= 0 ? 1.0 : -1.0) * (side == Side::kNear ? 1 : -1);
    Spread s = CentreOfChange(f, i, r0 - 0.5, sign, reach);
    if (std::abs(s.row - (r0 - 0.5)) > 1.5 * reach) s.row = r0 - 0.5;
    e.row.push_back(s.row);
    e.step.push_back(step);
    e.width_mm.push_back(s.width_rows * f.pitch_mm);
  }
  return e;
}

namespace {

std::vector<double> RunningMedian(const std::vector<double>& rows, int half) {
  std::vector<double> out;
  for (int i = 0; i < kLines; ++i) out.push_back(Median(Around(rows, i, half, EveryLine)));
  return out;
}

// Mean over the lines to either side that are of the same kind.
std::vector<double> MeanOfKind(const std::vector<double>& values, const std::vector<char>& kind, int half) {
  std::vector<double> out;
  for (int i = 0; i < kLines; ++i) {
    const auto same = [&](std::size_t j) { return kind[j] == kind[static_cast<std::size_t>(i)]; };
    const auto around = Around(values, i, half, same);
    out.push_back(std::accumulate(around.begin(), around.end(), 0.0) / static_cast<double>(around.size()));
  }
  return out;
}

}  // namespace

Edge Together(const Features& f, const Edge& edge, const std::vector<char>& hollow, double even_mm) {
  const int half = LinesIn(kTogetherMm, f.line_mm);
  Edge out{RunningMedian(edge.row, LinesIn(even_mm, f.line_mm)), MeanOfKind(edge.step, hollow, half),
           MeanOfKind(edge.width_mm, hollow, half)};
  const auto steady = RunningMedian(edge.row, half);
  for (std::size_t i = 0; i < out.row.size(); ++i)
    if (std::abs(out.row[i] - steady[i]) * f.pitch_mm > kWandersMm) out.row[i] = steady[i];
  return out;
}

void Rebase(Features& f, const std::vector<int>& near_path, const std::vector<int>& far_path) {
  const int from = static_cast<int>(std::lround(0.7 / f.pitch_mm)),
            to = static_cast<int>(std::lround(2.2 / f.pitch_mm));
  const auto near_out = Envelope(near_path, Side::kNear), far_out = Envelope(far_path, Side::kFar);
  std::vector<double> near(kLines), far(kLines);
  for (int i = 0; i < kLines; ++i) {
    const auto k = static_cast<std::size_t>(i);
    near[k] = Features::Mean(f.level, i, near_out[k] - to, near_out[k] - from);
    const int clear = std::max(far_out[k] + from, near_out[k] + static_cast<int>(std::lround(kWidestMm / f.pitch_mm)));
    far[k] = Features::Mean(f.level, i, clear, clear + to - from);
  }
  near = SmoothAround(near, 8);
  far = SmoothAround(far, 8);
  for (int i = 0; i < kLines; ++i) {
    const auto k = static_cast<std::size_t>(i);
    const double a = near_path[k], b = std::max(far_path[k], near_path[k] + 5);
    for (int r = 0; r < f.level.rows; ++r) {
      const double t = std::clamp((r - a) / (b - a), 0.0, 1.0);
      f.level(r, i) -= static_cast<float>(near[k] + t * (far[k] - near[k]));
    }
  }
}

}  // namespace vision::bead
