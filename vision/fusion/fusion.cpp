#include "vision/fusion/fusion.h"

#include <algorithm>
#include <cmath>

#include "vision/bead/features.h"
#include "vision/fusion/breaks.h"
#include "vision/fusion/cues.h"
#include "vision/fusion/ends.h"
#include "vision/fusion/shelf.h"
#include "vision/fusion/states.h"

namespace vision::fusion {
namespace {

constexpr double kBesideBreak_mm = 0.7;
constexpr double kUndecided = -0.5;  // log-likelihood per mm above which an edge is not called fused

using bead::kLineDeg;
using bead::kLines;

struct Signs {
  Cues cues;
  Shelf shelf;
};

// Log-likelihood of "as laid" over "melted" for a millimetre of arc. The weights are rounded from a regression over
// rendered welds, left out scene by scene; their signs are what the metal does.
double NearEvidence(const Cues& c, std::size_t i) {
  const double gap = std::clamp(c.gap[i] / 0.03, 0.0, 3.0);  // straight dark line outside the edge
  const double both =
      std::min(gap, std::clamp(c.ridge[i] / 0.033, 0.0, 6.0));    // with a straight bright chamfer inside it
  const double ripple = std::clamp(c.body_ripple[i], -0.3, 1.2);  // ripples = melted
  const double rough = std::clamp((c.body_ripple[i] - 0.2) / 0.2, 0.0, 2.0);  // more than drawing lines can be
  // The ring is dull like the wall; more than half as bright again = glossy = melted.
  const double gloss = std::clamp(std::max(c.body_level[i] - 0.5, c.inner_level[i] - 0.4) / 0.1, 0.0, 4.0);
  const double slope = std::clamp(c.body_slope[i] / 0.05, 0.0, 2.0);  // rounded = melted
  const double flat = std::min(std::clamp((0.3 - c.body_ripple[i]) / 0.2, 0.0, 1.0),
                               std::clamp((0.03 - c.body_slope[i]) / 0.015, 0.0, 1.0));
  const double hollow = std::clamp((0.15 - c.flank[i]) / 0.15, 0.0, 1.5);  // a dark near flank: concave root
  return 1.4 * gap + 0.8 * both + flat - 1.1 * ripple - rough - 1.3 * gloss - 0.5 * slope - 1.2 * hollow - 1.7;
}

// The same where the toe finder stands off the ring, as it does where no gap is to be seen: a straight bright edge with
// dull, flat, ripple-free metal inside it and wall outside it. All of it must be there: the weakest sign decides.
double EdgeEvidence(const Cues& c, std::size_t i) {
  const double weakest =
      std::min({(c.edge[i] - 0.06) / 0.06, (0.5 - c.inner_ripple[i]) / 0.25, (0.05 - c.inner_slope[i]) / 0.02,
                (0.4 - c.inner_level[i]) / 0.15, (c.inner_level[i] + 0.2) / 0.1, (0.2 - c.outer_level[i]) / 0.1});
  return 7.0 * (std::clamp(weakest, -1.0, 1.0) - 0.4);
}

double Evidence(const Signs& s, std::size_t i) {
  return std::max({NearEvidence(s.cues, i), EdgeEvidence(s.cues, i), ShelfEvidence(s.shelf, i)});
}

// Mean over the shortest run to either side.
std::vector<double> EvidenceOver(const Signs& s, int half) {
  std::vector<double> out(kLines);
  for (int i = 0; i < kLines; ++i) {
    for (int k = -half; k <= half; ++k)
      out[static_cast<std::size_t>(i)] += Evidence(s, static_cast<std::size_t>(bead::WrapLine(i + k)));
    out[static_cast<std::size_t>(i)] /= 2 * half + 1;
  }
  return out;
}

struct Side {
  std::vector<State> state;
  std::vector<double> confidence;
};

// Half at the least drop a doubtful break has, nine tenths where the flank falls by a third.
double BreakConfidence(const Break& at) { return 1.0 / (1.0 + std::exp(-(at.drop - 0.14) / 0.07)); }

Side NearSide(const Signs& s, const bead::ToeLine& toe, double line_mm, double change_cost) {
  std::vector<double> evidence(kLines);
  for (std::size_t i = 0; i < kLines; ++i) evidence[i] = toe.visible[i] ? Evidence(s, i) * line_mm : 0.0;
  std::vector<char> states = TwoStates(evidence, change_cost);
  JoinRuns(s.cues, line_mm, states);
  const std::vector<char> endless = WithoutEnds(s.cues, s.shelf, line_mm, states);
  const std::vector<char> end = BesideRuns(line_mm, states);
  const std::vector<double> around = EvidenceOver(s, std::max(1, static_cast<int>(std::lround(1.5 / line_mm))));
  Side out;
  for (std::size_t i = 0; i < kLines; ++i) {
    // Fused is said only where the signs speak for it; where they balance, and where a run ends, nothing is said.
    const bool open = !states[i] && (around[i] > kUndecided || end[i]);
    const bool stated = toe.visible[i] && !open && !endless[i];
    out.state.push_back(!stated ? State::kNotVisible : states[i] ? State::kUnfused : State::kFused);
    out.confidence.push_back(stated ? 1.0 / (1.0 + std::exp(states[i] ? -around[i] : around[i])) : 0.0);
  }
  return out;
}

// A break of the near edge of a few tenths to a few millimetres outweighs what the lines say together. What is seen but
// not believed, and half a millimetre beside its sides, is not called fused either.
void LayBreaks(const std::vector<Break>& breaks, const bead::ToeLine& toe, double line_mm, Side& side) {
  const auto lay = [&](double from_deg, double length_deg, State state, double confidence) {
    const auto first = std::lround(from_deg / kLineDeg), end = std::lround((from_deg + length_deg) / kLineDeg);
    for (long line = first; line < std::max(first + 1, end); ++line) {
      const auto i = static_cast<std::size_t>(bead::WrapLine(static_cast<int>(line)));
      if (side.state[i] == State::kUnfused && state != State::kUnfused) continue;
      const bool stated = state == State::kUnfused && toe.visible[i];
      side.state[i] = stated ? state : State::kNotVisible;
      side.confidence[i] = stated ? confidence : 0.0;
    }
  };
  const double beside_deg = kBesideBreak_mm / line_mm * kLineDeg;
  for (const Break& at : breaks)
    if (at.believed) lay(at.start_deg, at.length_deg, State::kUnfused, BreakConfidence(at));
  for (const Break& at : breaks) lay(at.start_deg - beside_deg, at.length_deg + 2 * beside_deg, State::kNotVisible, 0);
}

// The far edge of an insert as laid hides behind the insert. It is known to be there where the near edge is there and
// the surface stays as laid right across.
Side FarSide(const Shelf& shelf, const Side& near, double line_mm, double change_cost) {
  std::vector<double> evidence(kLines);
  for (std::size_t i = 0; i < kLines; ++i)
    evidence[i] = near.state[i] == State::kUnfused ? FarShelfEvidence(shelf, i) * line_mm : -3.0 * line_mm;
  const std::vector<char> states = TwoStates(evidence, change_cost);
  Side out;
  for (std::size_t i = 0; i < kLines; ++i) {
    const bool unfused = states[i] && near.state[i] == State::kUnfused;
    out.state.push_back(unfused ? State::kUnfused : State::kNotVisible);
    out.confidence.push_back(unfused ? 1.0 / (1.0 + std::exp(-0.5 * FarShelfEvidence(shelf, i))) : 0.0);
  }
  return out;
}

void AddRuns(const Side& side, const std::string& name, std::vector<Run>& runs) {
  const auto is = [&](int i) { return side.state[static_cast<std::size_t>(bead::WrapLine(i))] == State::kUnfused; };
  for (int i = 0; i < kLines; ++i) {
    if (!is(i) || is(i - 1)) continue;
    int n = 0;
    double sum = 0;
    for (; n < kLines && is(i + n); ++n) sum += side.confidence[static_cast<std::size_t>(bead::WrapLine(i + n))];
    runs.push_back({i * kLineDeg, (i + n - 1) * kLineDeg, name, sum / n});
  }
  if (std::all_of(side.state.begin(), side.state.end(), [](State s) { return s == State::kUnfused; })) {
    double sum = 0;
    for (const double v : side.confidence) sum += v;
    runs.push_back({0, 360, name, sum / kLines});
  }
}

}  // namespace

Status FusionOptions::Check() const {
  if (!std::isnan(insert_width_mm) && !(insert_width_mm > 0))
    return BadInput("insert_width_mm must be more than zero.");
  if (!(camera_distance_mm >= 0)) return BadInput("camera_distance_mm must be zero or more.");
  if (!(radius_mm > 0)) return BadInput("radius_mm must be more than zero.");
  if (!(shortest_run_mm > 0)) return BadInput("shortest_run_mm must be more than zero.");
  return std::nullopt;
}

Result<Fusion> FindFusion(const unroll::Strip& strip, const bead::BeadToes& toes, const FusionOptions& options,
                          const JobContext& job) {
  if (const Status bad = options.Check()) return *bad;
  if (!toes.weld_found || toes.left.z_mm.size() != kLines)
    return BadInput("toes must hold 720 station lines of a weld.");
  job.Report(0, "reading fusion");
  const bead::Features f = bead::MakeFeatures(strip, options.near_is_left);
  const bead::ToeLine& near = options.near_is_left ? toes.left : toes.right;
  const double sign = options.near_is_left ? 1.0 : -1.0;
  const double width = std::isnan(options.insert_width_mm) ? 4.0 : options.insert_width_mm;
  std::vector<double> near_row, far_row;
  double last = -0.5 * width;
  for (std::size_t i = 0; i < kLines; ++i) {
    if (near.visible[i]) last = sign * near.z_mm[i];
    near_row.push_back((last - f.z_from_mm) / f.pitch_mm);
    far_row.push_back((last + width - f.z_from_mm) / f.pitch_mm);
  }
  const Signs signs{ReadCues(f, near_row, far_row), ReadShelf(f, near_row, width)};
  if (job.Cancelled()) return Cancelled();
  const double change_cost = 1.5 * options.shortest_run_mm;
  Side a = NearSide(signs, near, f.line_mm, change_cost);
  const Side b = FarSide(signs.shelf, a, f.line_mm, change_cost);
  // The far edge behind a short break is not spoken of: so little of the ring's top tells nothing.
  Breaks breaks = FindBreaks(strip, near, {.near_is_left = options.near_is_left});
  LayBreaks(breaks.found, near, f.line_mm, a);
  Fusion out;
  out.shortest_near_mm = std::move(breaks.smallest_mm);
  out.left = options.near_is_left ? a.state : b.state;
  out.right = options.near_is_left ? b.state : a.state;
  out.confidence_left = options.near_is_left ? a.confidence : b.confidence;
  out.confidence_right = options.near_is_left ? b.confidence : a.confidence;
  AddRuns(options.near_is_left ? a : b, "left", out.runs);
  AddRuns(options.near_is_left ? b : a, "right", out.runs);
  return out;
}

}  // namespace vision::fusion
