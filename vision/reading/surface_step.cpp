#include "vision/reading/surface_step.h"

#include <algorithm>
#include <cmath>
#include <iterator>

#include "vision/base/median.h"
#include "vision/base/says.h"
#include "vision/bore/angle.h"
#include "vision/bore/stations.h"
#include "vision/reading/explain.h"
#include "vision/reading/search_arcs.h"
#include "vision/surface/surface.h"

namespace vision::reading {
namespace {

constexpr double kSamePlace_mm = 1.5;

surface::Bead BeadOf(const Told& told, const EdgesTold& edges) {
  surface::Bead bead{ZOf(told, bore::Piece::kA), ZOf(told, bore::Piece::kB), {}, {}};
  for (const Fusion state : edges.a.state) bead.unfused_left.push_back(state == Fusion::kUnfused);
  for (const Fusion state : edges.b.state) bead.unfused_right.push_back(state == Fusion::kUnfused);
  return bead;
}

/// Where one toe alone is told the other is taken to lie as far off as it does in the middle of the ring: good enough
/// to bound the search for spots on the bead, not for what runs along a toe. As it is where a width is told on few
/// lines.
surface::Bead WithUsualWidth(surface::Bead bead, const Told& told, double least_share) {
  std::vector<double> widths;
  for (const ToldLine& line : told.lines)
    if (line.width_mm.told()) widths.push_back(line.width_mm.value());
  if (static_cast<double>(widths.size()) < least_share * bore::kStationLines) return bead;
  const double usual_mm = MedianInPlace(widths);
  for (std::size_t i = 0; i < bore::kStationLines; ++i) {
    double &left = bead.left_z_mm[i], &right = bead.right_z_mm[i];
    if (std::isfinite(left) && !std::isfinite(right)) right = left + usual_mm;
    if (std::isfinite(right) && !std::isfinite(left)) left = right - usual_mm;
  }
  return bead;
}

/// ISO 6520-1: 2017, 5011 and 510 as in the digests of ISO 5817 that the criteria name; 613 scaled surface from memory.
const char* NumberOf(const std::string& kind) {
  if (kind == "pore") return "2017";
  if (kind == "scale") return "613";
  return kind == "undercut" ? "5011" : "510";
}

std::size_t LineOf(double theta_deg) {
  return static_cast<std::size_t>(std::lround(bore::Wrap360(theta_deg) / bore::kStationLine_deg)) % bore::kStationLines;
}

/// Runs along a toe and is told by its length; the others are spots with a diameter.
bool AlongToe(const std::string& kind) { return kind == "undercut" || kind == "scale"; }

bool SamePlace(const surface::Seen& a, const surface::Seen& b, double radius_mm) {
  if (a.kind != b.kind || a.side != b.side) return false;
  const double arc = std::abs(bore::ArcMm(bore::Wrap180(a.theta_deg - b.theta_deg), radius_mm));
  if (AlongToe(a.kind)) return arc < 0.5 * (a.length_mm + b.length_mm);
  return std::hypot(arc, a.z_mm - b.z_mm) < kSamePlace_mm;
}

bool WasSearched(const surface::Surface& look, const surface::Seen& seen) {
  return std::any_of(look.searched.begin(), look.searched.end(), [&](const surface::Search& search) {
    return search.kind == seen.kind && search.side == seen.side &&
           search.smallest_mm[LineOf(seen.theta_deg)] <= std::max(seen.length_mm, seen.width_mm);
  });
}

/// What half of the looks and more that looked there saw, each as its surest look did.
std::vector<surface::Seen> SeenByMost(const std::vector<surface::Surface>& all, double radius_mm) {
  std::vector<surface::Seen> kept;
  for (const auto& look : all)
    for (const auto& seen : look.seen) {
      const auto same = [&](const surface::Seen& other) { return SamePlace(seen, other, radius_mm); };
      int saw = 0, looked = 0;
      for (const auto& other : all) {
        const bool there = std::any_of(other.seen.begin(), other.seen.end(), same);
        saw += there;
        looked += there || WasSearched(other, seen);
      }
      if (2 * saw < looked) continue;
      const auto known = std::find_if(kept.begin(), kept.end(), same);
      if (known == kept.end())
        kept.push_back(seen);
      else if (seen.confidence > known->confidence)
        *known = seen;
    }
  return kept;
}

void AddIndications(const std::vector<surface::Surface>& all, Reading& reading) {
  const auto kept = SeenByMost(all, reading.bore_radius_mm);
  for (const auto& seen : kept) {
    Indication out;
    out.kind = seen.kind, out.iso6520 = NumberOf(seen.kind);
    out.theta_deg = seen.theta_deg, out.z_mm = seen.z_mm;
    out.length_mm = seen.length_mm, out.width_mm = seen.width_mm;
    out.length_u_mm = seen.length_u_mm, out.width_u_mm = seen.width_u_mm, out.confidence = seen.confidence;
    reading.indications.push_back(out);
  }
  if (!kept.empty()) reading.why.push_back({"indications.depth_mm", 0, 360, {Says::kNoDepthFromOneView}});
}

Searched SearchedByAll(const std::vector<surface::Surface>& all, const std::string& kind, const std::string& side) {
  std::vector<double> smallest(bore::kStationLines, kNotMeasured);
  std::vector<Reason> why(bore::kStationLines);
  for (std::size_t i = 0; i < bore::kStationLines; ++i)
    for (const auto& look : all)
      for (const auto& search : look.searched) {
        if (search.kind != kind || search.side != side) continue;
        smallest[i] = std::fmin(smallest[i], search.smallest_mm[i]);
        if (!std::isfinite(search.smallest_mm[i])) why[i] = search.why[i];
      }
  return SearchedFrom({kind, side, AlongToe(kind) ? "length" : "diameter"}, smallest, why);
}

/// Short unfused arcs of one edge, from the looks that have it on their near side.
Searched ShortRuns(const std::vector<Look>& looks, bool left) {
  std::vector<double> smallest(bore::kStationLines, kNotMeasured);
  bool seen = false;
  for (const Look& look : looks) {
    if (look.near_is_left() != left) continue;
    seen = true;
    for (std::size_t i = 0; i < look.edge.unfused.size(); ++i)
      if (std::isfinite(look.edge.unfused[i])) smallest[i] = EdgeOptions{}.shortest_run_mm;
  }
  const Reason why{seen ? Says::kEdgeNotInSight : Says::kEdgeBehindBead};
  return SearchedFrom({"unfused", left ? "left" : "right", "length"}, smallest,
                      std::vector<Reason>(bore::kStationLines, why));
}

void AddConcaveLook(const std::vector<surface::Surface>& all, Reading& reading) {
  std::vector<bool> flags(bore::kStationLines, false);
  for (const auto& look : all)
    for (std::size_t i = 0; i < bore::kStationLines; ++i) flags[i] = flags[i] || look.concave_look[i];
  for (const auto& run : bore::RunsOnCircle(flags))
    reading.flags.push_back({"concave_look", run.start_deg, run.closing_deg(), {Says::kConcaveLook}});
}

/// Spots as one search saw them, what runs along a toe as the other did.
surface::Surface SpotsAndToes(const surface::Surface& spots, const surface::Surface& toes) {
  surface::Surface both{{}, {}, toes.concave_look};
  for (const bool along : {false, true}) {
    const surface::Surface& from = along ? toes : spots;
    const auto wanted = [along](const auto& one) { return AlongToe(one.kind) == along; };
    std::copy_if(from.seen.begin(), from.seen.end(), std::back_inserter(both.seen), wanted);
    std::copy_if(from.searched.begin(), from.searched.end(), std::back_inserter(both.searched), wanted);
  }
  return both;
}

/// Does what a look found reach over a part of its strip that was not seen: over a hose's own edge or shadow?
bool OverUnseen(const unroll::Strip& strip, const surface::Seen& seen, double radius_mm, double most_share) {
  const double half_deg = 0.5 * std::fmax(seen.length_mm, 0.5) / radius_mm * bore::kDegPerRad;
  const double half_mm = 0.5 * std::fmax(std::isfinite(seen.width_mm) ? seen.width_mm : seen.length_mm, 0.5);
  int cells = 0, unseen = 0;
  for (double z = seen.z_mm - half_mm; z <= seen.z_mm + half_mm; z += strip.grid.pitch_mm)
    for (double off = -half_deg; off <= half_deg; off += strip.grid.theta_pitch_deg()) {
      const int row = static_cast<int>(std::lround(strip.grid.Row(z)));
      if (row < 0 || row >= strip.grid.rows) continue;
      const int column = strip.grid.NearestColumn(bore::Wrap360(seen.theta_deg + off));
      ++cells, unseen += strip.valid(row, column) == 0 && strip.clipped(row, column) == 0;
    }
  return unseen > most_share * cells;
}

}  // namespace

Status SearchSurface(const std::vector<Look>& looks, const std::vector<unroll::Strip>& strips, const Told& told,
                     const EdgesTold& edges, const MeasureOptions& measuring, Reading& reading, const JobContext& job) {
  const surface::Bead bead = BeadOf(told, edges), wide = WithUsualWidth(bead, told, measuring.usual_width_share);
  std::vector<surface::Surface> all;
  for (std::size_t i = 0; i < looks.size(); ++i) {
    surface::SurfaceOptions options;
    options.near_is_left = looks[i].near_is_left();
    auto found = surface::FindSurface(strips[i], bead, options, job);
    if (!found.ok()) return found.error();
    auto spots = surface::FindSurface(strips[i], wide, options, job);
    if (!spots.ok()) return spots.error();
    all.push_back(SpotsAndToes(spots.value(), found.value()));
    std::erase_if(all.back().seen, [&](const surface::Seen& seen) {
      return OverUnseen(strips[i], seen, reading.bore_radius_mm, measuring.most_unseen_share);
    });
  }
  AddIndications(all, reading);
  for (const auto& [kind, side] : {std::pair{"pore", ""},
                                   {"burn_through", ""},
                                   {"undercut", "left"},
                                   {"undercut", "right"},
                                   {"scale", "left"},
                                   {"scale", "right"}})
    reading.searched.push_back(SearchedByAll(all, kind, side));
  reading.searched.push_back({"crack", "", "length", 0, kNotMeasured, {}, {Says::kCrackTooThin}});
  for (const bool left : {true, false}) reading.searched.push_back(ShortRuns(looks, left));
  AddConcaveLook(all, reading);
  return std::nullopt;
}

}  // namespace vision::reading
