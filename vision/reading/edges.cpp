#include "vision/reading/edges.h"

#include <algorithm>
#include <cmath>

#include "vision/bore/angle.h"
#include "vision/bore/stations.h"
#include "vision/reading/look.h"

namespace vision::reading {
namespace {

std::size_t At(int line) { return static_cast<std::size_t>(line); }

/// Millimetres of wall to a source pixel at z of a line; infinite outside the picture.
double ResolutionAt(const unroll::Strip& strip, double z_mm, int line) {
  const int column = strip.grid.NearestColumn(line * bore::kStationLine_deg);
  const int row = std::clamp(static_cast<int>(std::lround(strip.grid.Row(z_mm))), 0, strip.grid.rows - 1);
  return strip.source_frame(row, column) < 0 ? HUGE_VAL : static_cast<double>(strip.resolution_z_mm(row, column));
}

/// Weighted mean of the log odds of the looks that see the line, as a chance; NaN where none does.
double OddsOfAll(const std::vector<const NearEdge*>& edges, std::size_t line, double surest) {
  double sum = 0, weights = 0;
  for (const auto* edge : edges) {
    if (!std::isfinite(edge->unfused[line])) continue;
    const double p = std::clamp(edge->unfused[line], surest, 1 - surest);
    sum += edge->weight[line] * std::log(p / (1 - p)), weights += edge->weight[line];
  }
  return weights > 0 ? 1 / (1 + std::exp(-sum / weights)) : kNotMeasured;
}

/// Is the line on a stretch that is likely enough unfused over the shortest run, and likely all along?
std::vector<bool> Unfused(const std::vector<double>& chance, double radius_mm, const EdgeOptions& o) {
  std::vector<bool> on, out(chance.size(), false);
  for (const double p : chance) on.push_back(p > o.trust.unfused_goes_on_above);
  for (const auto& arc : bore::RunsOnCircle(on)) {
    double sure_deg = 0;
    for (int k = 0; k < bore::kStationLines; ++k)
      if (arc.HoldsLine(k * bore::kStationLine_deg) && chance[At(k)] > o.trust.unfused_above)
        sure_deg += bore::kStationLine_deg;
    if (bore::ArcMm(sure_deg, radius_mm) < o.shortest_run_mm) continue;
    for (int k = 0; k < bore::kStationLines; ++k)
      if (on[At(k)] && arc.HoldsLine(k * bore::kStationLine_deg)) out[At(k)] = true;
  }
  return out;
}

/// The lines of arcs that are long enough to be believed.
std::vector<bool> LongEnough(const std::vector<bool>& lines, double shortest_mm, double radius_mm) {
  std::vector<bool> out(lines.size(), false);
  for (const auto& arc : bore::RunsOnCircle(lines)) {
    if (bore::ArcMm(arc.length_deg, radius_mm) < shortest_mm) continue;
    for (int k = 0; k < bore::kStationLines; ++k)
      if (arc.HoldsLine(k * bore::kStationLine_deg)) out[At(k)] = true;
  }
  return out;
}

}  // namespace

Status EdgeOptions::Check() const {
  if (!(shortest_run_mm >= 0)) return BadInput("EdgeOptions::shortest_run_mm must be zero mm or more.");
  if (!(coarsest_for_fused_mm > 0)) return BadInput("EdgeOptions::coarsest_for_fused_mm must be above 0 mm.");
  if (!(surest > 0 && surest < 0.5)) return BadInput("EdgeOptions::surest must be above 0 and below 0.5.");
  return trust.Check();
}

NearEdge NearEdgeFrom(const evidence::StripEvidence& said, const bead::BeadToes& toes, const unroll::Strip& strip,
                      const EdgeOptions& options) {
  const auto& stated = said.near_is_left ? toes.left : toes.right;
  NearEdge edge{std::vector<double>(bore::kStationLines, kNotMeasured), std::vector<char>(bore::kStationLines, 0),
                std::vector<double>(bore::kStationLines, 0)};
  for (int k = 0; k < bore::kStationLines; ++k) {
    const std::size_t i = At(k);
    const double mm_per_px = ResolutionAt(strip, said.near.z_mm[i], k);
    if (!(said.near.hidden[i] < options.trust.edge_hidden_below) || !std::isfinite(mm_per_px) ||
        said.CoveredAt(said.near.z_mm[i], k) > options.trust.covered_above)
      continue;
    edge.unfused[i] = said.unfused[i];
    edge.weight[i] = 1 / std::pow(std::max(mm_per_px, 0.01), 2);
    edge.may_be_fused[i] = stated.visible[i] != 0 && mm_per_px <= options.coarsest_for_fused_mm;
  }
  return edge;
}

EdgeStates EdgeOf(const std::vector<Look>& looks, bool left, double radius_mm, const EdgeOptions& options) {
  std::vector<const NearEdge*> edges;
  for (const Look& look : looks)
    if (look.near_is_left() == left) edges.push_back(&look.edge);
  EdgeStates out;
  for (std::size_t i = 0; i < bore::kStationLines; ++i) out.unfused.push_back(OddsOfAll(edges, i, options.surest));
  const auto unfused = Unfused(out.unfused, radius_mm, options);
  std::vector<bool> fused;
  for (std::size_t i = 0; i < bore::kStationLines; ++i) {
    const bool fine =
        std::any_of(edges.begin(), edges.end(), [i](const NearEdge* e) { return e->may_be_fused[i] != 0; });
    fused.push_back(fine && out.unfused[i] < options.trust.fused_below && !unfused[i]);
  }
  fused = LongEnough(fused, options.shortest_run_mm, radius_mm);
  for (std::size_t i = 0; i < bore::kStationLines; ++i)
    out.state.push_back(unfused[i] ? Fusion::kUnfused : fused[i] ? Fusion::kFused : Fusion::kNotVisible);
  return out;
}

}  // namespace vision::reading
