#include "vision/fusion/ends.h"

#include <algorithm>
#include <cmath>

#include "vision/bead/features.h"

namespace vision::fusion {
namespace {

using bead::kLines;
using bead::WrapLine;

constexpr double kLongestJoin_mm = 8;   ///< A stain or a glare on the wall is hardly longer.
constexpr double kEdgeKept = 0.6;       ///< Share of its strength that the edge keeps where it runs on.
constexpr double kEdgeLeast = 0.05;     ///< Log level; weaker lines are not told from noise.
constexpr double kEnd_mm = 1;           ///< An end is known to about this.
constexpr double kStretch_mm = 3;       ///< Compared to either side of an end.
constexpr double kRippleGained = 0.45;  ///< Log ripple amplitude over both ends together.
constexpr double kJump_mm = 0.3;        ///< By which a ring's edge stands inside the bead's toe beside it, at least.
constexpr double kShortest_mm = 2.5;    ///< Of an arc with two ends.
constexpr double kBeside_mm = 2.5;      ///< Over which a run fades out.

struct Arc {
  int from = 0, lines = 0;
};

std::size_t Index(int i) { return static_cast<std::size_t>(WrapLine(i)); }

std::vector<Arc> ArcsOf(const std::vector<char>& on) {
  std::vector<Arc> arcs;
  for (int i = 0; i < kLines; ++i) {
    if (!on[Index(i)] || on[Index(i - 1)]) continue;
    int n = 1;
    while (on[Index(i + n)]) ++n;
    arcs.push_back({i, n});
  }
  return arcs;
}

double MeanOf(const std::vector<double>& v, int from, int lines) {
  double sum = 0;
  for (int k = 0; k < lines; ++k) sum += v[Index(from + k)];
  return sum / std::max(1, lines);
}

int Lines(double mm, double line_mm) { return std::max(1, static_cast<int>(std::lround(mm / line_mm))); }

// Ripple that begins beyond an end. @param end Last line inside. @param out +1 or -1: where outside is.
double Gain(const std::vector<double>& ripple, int end, int out, int inside_lines, double line_mm) {
  const int guard = Lines(kEnd_mm, line_mm), stretch = Lines(kStretch_mm, line_mm);
  const int within = std::min(stretch, std::max(1, inside_lines / 2)), skip = std::min(guard, inside_lines / 4);
  const auto mean = [&](int near, int lines, int way) {
    return MeanOf(ripple, way > 0 ? near : near - lines + 1, lines);
  };
  const double inside = mean(end - out * skip, within, -out);
  double most = -1e9;
  for (int shift = guard; shift <= 3 * guard; shift += guard)
    most = std::max(most, mean(end + out * shift, stretch, out));
  return most - inside;
}

}  // namespace

void JoinRuns(const Cues& cues, double line_mm, std::vector<char>& unfused) {
  const std::vector<Arc> arcs = ArcsOf(unfused);
  if (arcs.size() < 2) return;
  for (std::size_t k = 0; k < arcs.size(); ++k) {
    const Arc &a = arcs[k], &b = arcs[(k + 1) % arcs.size()];
    const int from = a.from + a.lines, between = WrapLine(b.from - from);
    if (between * line_mm > kLongestJoin_mm || between > std::min(a.lines, b.lines)) continue;
    const double least = kEdgeKept * std::min(MeanOf(cues.edge, a.from, a.lines), MeanOf(cues.edge, b.from, b.lines));
    bool on = least > kEdgeKept * kEdgeLeast;
    for (int i = 0; i < between; ++i) on = on && cues.edge[Index(from + i)] >= least;
    for (int i = 0; on && i < between; ++i) unfused[Index(from + i)] = 1;
  }
}

std::vector<char> WithoutEnds(const Cues& cues, const Shelf& shelf, double line_mm, const std::vector<char>& unfused) {
  std::vector<double> outward;
  for (const double v : shelf.inward) outward.push_back(-v);
  std::vector<char> out(kLines, 0);
  for (const Arc& arc : ArcsOf(unfused)) {
    const auto gain = [&](const std::vector<double>& v, bool first) {
      return Gain(v, first ? arc.from : arc.from + arc.lines - 1, first ? -1 : 1, arc.lines, line_mm);
    };
    const bool rippled = gain(cues.near_ripple, true) + gain(cues.near_ripple, false) >= kRippleGained;
    const bool jumped = std::min(gain(outward, true), gain(outward, false)) >= kJump_mm;
    const bool ends = arc.lines * line_mm >= kShortest_mm && (rippled || jumped);
    for (int i = 0; !ends && i < arc.lines; ++i) out[Index(arc.from + i)] = 1;
  }
  return out;
}

std::vector<char> BesideRuns(double line_mm, const std::vector<char>& unfused) {
  const int reach = Lines(kBeside_mm, line_mm);
  std::vector<char> out(kLines, 0);
  for (int i = 0; i < kLines; ++i)
    for (int k = -reach; k <= reach && !unfused[Index(i)]; ++k)
      if (unfused[Index(i + k)]) out[Index(i)] = 1;
  return out;
}

}  // namespace vision::fusion
