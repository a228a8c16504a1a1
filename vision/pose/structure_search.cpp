#include "vision/pose/structure_search.h"

#include <Eigen/LU>
#include <algorithm>
#include <cmath>
#include <functional>
#include <map>
#include <utility>

#include "vision/base/says.h"
#include "vision/bore/angle.h"

namespace vision::pose {
namespace {

using bore::kRadPerDeg;
using Score = std::function<double(const Stand&)>;

struct Scored {
  double score = 0;
  Stand stand = Stand::Zero();
};

constexpr double kAllRows = 9;  ///< Radii; beyond every row.

bool Better(const Scored& a, const Scored& b) { return a.score > b.score; }

Eigen::Vector2d Lean(const Stand& stand) { return stand.head<2>(); }
Eigen::Vector2d Offset(const Stand& stand) { return stand.tail<2>(); }

/// A step of the lean along the valley, rad: the offset moves with it.
Stand AlongValley(const Stand& from, const Eigen::Vector2d& step, double valley) {
  Stand moved = from;
  moved.head<2>() += step;
  moved.tail<2>() += step / valley;
  return moved;
}

AxialLineOptions QuickLines() {
  AxialLineOptions lines;
  lines.to_deg = 86, lines.blocks = 10, lines.rows_a_block = 8, lines.columns = 1080;
  lines.fine_deg = 0.1, lines.coarse_deg = 0.6, lines.column_cap = 30;
  return lines;
}

/// Band by the picture's own pixel; from a row just short of the weld's far toe outward.
AxialLineOptions FineLines(const std::vector<WallView>& views, double from_deg) {
  AxialLineOptions lines;
  lines.from_deg = from_deg, lines.to_deg = 87;
  lines.block_clip = 3.5, lines.column_cap = 250;
  double px_per_rad = 1;
  for (const WallView& view : views) px_per_rad = std::max(px_per_rad, view.chart.px_per_rad);
  const double pixel_deg = bore::kDegPerRad / (1.05 * px_per_rad);
  lines.fine_deg = 0.3 * pixel_deg, lines.coarse_deg = std::clamp(1.7 * pixel_deg, 0.2, 0.6);
  return lines;
}

RingAgreementOptions QuickRings() {
  RingAgreementOptions rings;
  rings.columns = 96, rings.rows = 60, rings.fine_deg = 0.8, rings.coarse_deg = 5;
  return rings;
}

/// The lines' energy by lean: a move of the offset alone, or back to where the search came from, asks for none anew.
class KeptLines {
 public:
  explicit KeptLines(const AxialLines& lines) : lines_(lines) {}
  const AxialLines::Energy& At(const Eigen::Vector2d& lean) {
    const auto [kept, is_new] = kept_.try_emplace({lean.x(), lean.y()});
    if (is_new) kept->second = lines_.At(lean);
    return kept->second;
  }

 private:
  const AxialLines& lines_;
  std::map<std::pair<double, double>, AxialLines::Energy> kept_;
};

class Search {
 public:
  Search(const Charts& charts, double radius_mm, const MountPrior& mount, const StructureOptions& options,
         const JobContext& job)
      : coarse_rings_(charts.coarse, QuickRings()),
        quick_lines_(charts.fine, QuickLines()),
        kept_quick_lines_(quick_lines_),
        fine_rings_(charts.fine, RingAgreementOptions{}),
        fine_(charts.fine),
        read_charts_(charts.read),
        radius_mm_(radius_mm),
        mount_(mount),
        options_(options),
        job_(job),
        tilt_u_(mount.tilt_u_deg.value_or(options.tilt_u_deg) * kRadPerDeg),
        offset_u_(mount.centred_u_mm ? *mount.centred_u_mm / radius_mm : options.offset_u_share) {}

  Result<Structure> Run(const std::vector<Stand>& hints);

 private:
  double Prior(const Stand& s) const {
    return -options_.prior_cost *
           (Lean(s).squaredNorm() / (tilt_u_ * tilt_u_) + Offset(s).squaredNorm() / (offset_u_ * offset_u_));
  }
  bool Allowed(const Stand& s) const {
    return Offset(s).norm() <= options_.most_offset_share &&
           Lean(s).norm() <= std::sin(options_.most_tilt_deg * kRadPerDeg);
  }
  double QuickLinesAt(const Eigen::Vector2d& lean) {
    const auto& energy = kept_quick_lines_.At(lean);
    return options_.coarse_lines * (energy.shared + 0.3 * energy.own);
  }
  double QuickAt(const Stand& s) { return QuickLinesAt(Lean(s)) + coarse_rings_.At(Lean(s), Offset(s)) + Prior(s); }
  Scored Refined(const Score& score, Scored from, double lean_step, double offset_step, double least_step,
                 int most) const;
  std::vector<Eigen::Vector2d> Combinations() const;
  std::vector<Scored> Walk(const std::vector<Eigen::Vector2d>& combinations);
  std::vector<Scored> Read(const std::vector<Scored>& places);
  double Reading(const Stand& s) const;
  const StandRead* Nearest(const Stand& stand) const;
  void EndPast(double far, const Stand& stand);
  void LocateWeld(const Stand& stand, Structure* found) const;
  Structure Finish(std::vector<Scored> mid);
  void Judge(const Score& score, const std::vector<Scored>& others, Structure* found) const;

  RingAgreement coarse_rings_;
  AxialLines quick_lines_;
  KeptLines kept_quick_lines_;
  RingAgreement fine_rings_;
  const std::vector<WallView>& fine_;
  const std::vector<WallView>& read_charts_;
  std::vector<StandRead> reads_;
  double radius_mm_;
  const MountPrior& mount_;
  const StructureOptions& options_;
  const JobContext& job_;
  double tilt_u_, offset_u_;
};

/// Pattern search, along the valley too.
Scored Search::Refined(const Score& score, Scored at, double lean_step, double offset_step, double least_step,
                       int most) const {
  at.score = score(at.stand);
  for (int round = 0; round < most && std::max(lean_step, offset_step) > least_step; ++round) {
    const double coupled = offset_step * options_.valley;
    const Stand moves[] = {{lean_step, 0, 0, 0},   {0, lean_step, 0, 0},         {0, 0, offset_step, 0},
                           {0, 0, 0, offset_step}, {coupled, 0, offset_step, 0}, {0, coupled, 0, offset_step}};
    bool improved = false;
    for (const Stand& move : moves)
      for (const double sign : {1.0, -1.0}) {
        const Stand next = at.stand + sign * move;
        if (!Allowed(next)) continue;
        const double value = score(next);
        if (value <= at.score) continue;
        at = {value, next};
        improved = true;
        break;
      }
    if (!improved) lean_step *= 0.5, offset_step *= 0.5;
  }
  return at;
}

/// Rings at no offset: the combinations of tilt and offset at which they agree best, each as a tilt.
std::vector<Eigen::Vector2d> Search::Combinations() const {
  const Score rings = [this](const Stand& s) { return coarse_rings_.At(Lean(s), Offset(s)); };
  std::vector<Scored> grid;
  const double step = options_.search_step_deg * kRadPerDeg, reach = options_.search_deg * kRadPerDeg;
  for (double x = -reach; x <= reach + 1e-9; x += step)
    for (double y = -reach; y <= reach + 1e-9; y += step)
      if (std::hypot(x, y) <= reach + 0.01) grid.push_back({rings({x, y, 0, 0}), {x, y, 0, 0}});
  std::sort(grid.begin(), grid.end(), Better);
  std::vector<Scored> seeds;
  for (const Scored& place : grid) {
    if (std::all_of(seeds.begin(), seeds.end(),
                    [&](const Scored& s) { return (Lean(s.stand) - Lean(place.stand)).norm() > 1.45 * step; }))
      seeds.push_back(place);
    if (seeds.size() == 3) break;
  }
  for (Scored& seed : seeds) {
    for (double fine = 0.5 * step; fine > 0.3 * kRadPerDeg; fine *= 0.5)
      for (const Stand& move :
           {Stand(fine, 0, 0, 0), Stand(-fine, 0, 0, 0), Stand(0, fine, 0, 0), Stand(0, -fine, 0, 0)})
        if (const double value = rings(seed.stand + move); value > seed.score) seed = {value, seed.stand + move};
  }
  std::sort(seeds.begin(), seeds.end(), Better);
  std::vector<Eigen::Vector2d> combinations;
  for (const Scored& seed : seeds)
    if (seed.score > 0.8 * seeds.front().score && combinations.size() < 2) combinations.push_back(Lean(seed.stand));
  return combinations;
}

/// Along the valley of each combination, the best places apart from each other.
std::vector<Scored> Search::Walk(const std::vector<Eigen::Vector2d>& combinations) {
  std::vector<Scored> places;
  const double reach = options_.walk_deg * kRadPerDeg, step = options_.walk_step_deg * kRadPerDeg;
  for (const Eigen::Vector2d& lean : combinations)
    for (double x = -reach; x <= reach + 1e-9; x += step)
      for (double y = -reach; y <= reach + 1e-9; y += step) {
        if (std::hypot(x, y) > reach + 0.005) continue;
        const Stand stand = AlongValley({lean.x(), lean.y(), 0, 0}, {x, y}, options_.valley);
        if (Allowed(stand)) places.push_back({QuickAt(stand), stand});
      }
  std::sort(places.begin(), places.end(), Better);
  std::vector<Scored> kept;
  for (const Scored& place : places) {
    if (std::all_of(kept.begin(), kept.end(),
                    [&](const Scored& k) { return (Lean(k.stand) - Lean(place.stand)).norm() > 0.9 * kRadPerDeg; }))
      kept.push_back(place);
    if (static_cast<int>(kept.size()) >= options_.keep) break;
  }
  return kept;
}

/// Where the fitted reader leads from the best places, a few looks each; not twice to the same.
std::vector<Scored> Search::Read(const std::vector<Scored>& places) {
  std::vector<Scored> led;
  const auto known = [&led](const Stand& stand) {
    return std::any_of(led.begin(), led.end(), [&](const Scored& other) {
      return (Lean(other.stand) - Lean(stand)).norm() < 0.9 * kRadPerDeg;
    });
  };
  for (const Scored& place : places) {
    if (static_cast<int>(reads_.size()) >= options_.read_places) break;
    if (known(place.stand)) continue;
    Stand stand = place.stand;
    StandRead read;
    for (int look = 0; look < options_.most_looks; ++look) {
      read = ReadStand(read_charts_, stand);
      const Eigen::Vector4d step = read.mean - stand;
      if (!Allowed(read.mean)) break;
      stand = read.mean;
      if (step.dot(read.information * step) < options_.still * options_.still) break;
    }
    if (known(stand)) continue;
    reads_.push_back(read);
    led.push_back({0, stand});
  }
  return led;
}

/// ln of how likely the reader finds a stand, in score; the tails are heavy, since now and then it is far off.
double Search::Reading(const Stand& s) const {
  double best = -1e9;
  for (const StandRead& read : reads_) {
    const Eigen::Vector4d off = s - read.mean;
    const double squared = off.dot(read.information * off) / options_.read_variance;
    best = std::max(best, -0.5 * (options_.read_freedom + 4) * std::log1p(squared / options_.read_freedom));
  }
  return reads_.empty() ? 0 : options_.score_unit * best;
}

/// The reading whose place is nearest.
const StandRead* Search::Nearest(const Stand& stand) const {
  const auto off = [&stand](const StandRead& read) { return (Lean(read.mean) - Lean(stand)).squaredNorm(); };
  const auto nearest = std::min_element(reads_.begin(), reads_.end(),
                                        [&](const StandRead& a, const StandRead& b) { return off(a) < off(b); });
  return nearest == reads_.end() ? nullptr : &*nearest;
}

void Search::LocateWeld(const Stand& stand, Structure* found) const {
  auto welds = FindWelds(fine_, Lean(stand), Offset(stand), radius_mm_, {}, Nearest(stand));
  if (mount_.distance_mm) {
    for (WeldSeen& weld : welds)
      weld.odds -= 0.5 * std::pow((weld.middle_mm() - *mount_.distance_mm) / mount_.distance_u_mm, 2);
    std::stable_sort(welds.begin(), welds.end(), [](const WeldSeen& a, const WeldSeen& b) { return a.odds > b.odds; });
    ShareChances(&welds);
  }
  if (!welds.empty()) found->weld = welds.front();
  found->all_seen = std::move(welds);
}

/// Margin along the valley and against other peaks, and the curvature, which becomes the covariance.
void Search::Judge(const Score& score, const std::vector<Scored>& others, Structure* found) const {
  double rival = -1e9;
  const double radius = options_.margin_deg * kRadPerDeg;
  for (int i = 0; i < 8; ++i) {
    const double azimuth = std::numbers::pi * i / 4;
    rival = std::max(rival, score(AlongValley(found->stand, {radius * std::cos(azimuth), radius * std::sin(azimuth)},
                                              options_.valley)));
  }
  for (const Stand& aside : {Stand(0, 0, options_.margin_share, 0), Stand(0, 0, -options_.margin_share, 0),
                             Stand(0, 0, 0, options_.margin_share), Stand(0, 0, 0, -options_.margin_share)})
    rival = std::max(rival, score(found->stand + aside));
  for (const Scored& other : others)
    if ((Lean(other.stand) - Lean(found->stand)).norm() > 0.67 * radius) rival = std::max(rival, other.score);
  found->margin = found->score - rival;
  // Curvature in two directions along the valley and two across it (offset alone), by steps as wide as the peak.
  const double lean = 0.6 * kRadPerDeg, across = 0.02;
  Eigen::Matrix4d directions = Eigen::Matrix4d::Zero();
  directions.col(0) = AlongValley(Stand::Zero(), {lean, 0}, options_.valley);
  directions.col(1) = AlongValley(Stand::Zero(), {0, lean}, options_.valley);
  directions(2, 2) = directions(3, 3) = across;
  Eigen::Matrix4d second = Eigen::Matrix4d::Zero();
  for (int k = 0; k < 4; ++k) {
    const double sides = score(found->stand + directions.col(k)) + score(found->stand - directions.col(k));
    second(k, k) = std::max(2 * found->score - sides, 1e-3);
  }
  const Eigen::Matrix4d back = directions.inverse();
  found->curvature = back.transpose() * second * back;
}

/// Leaves out rows past the far toe, unless they carry most of what agrees: then that was no weld, or no bend.
void Search::EndPast(double far, const Stand& stand) {
  fine_rings_.EndAt(kAllRows);
  const double all = fine_rings_.At(Lean(stand), Offset(stand));
  fine_rings_.EndAt(std::max(far + options_.beyond_toe_share, 0.7));
  if (fine_rings_.At(Lean(stand), Offset(stand)) < options_.least_kept * all) fine_rings_.EndAt(kAllRows);
}

Structure Search::Finish(std::vector<Scored> mid) {
  Structure found;
  found.stand = mid.front().stand;
  for (int round = 0; round < 2; ++round) {
    LocateWeld(found.stand, &found);
    const double far = found.weld ? found.weld->far_mm / radius_mm_ : 1.5;
    EndPast(far, found.stand);
    const double from_deg =
        std::clamp(std::atan(1 / (far + options_.beyond_toe_share + 0.03)) * bore::kDegPerRad, 28.0, 50.0);
    AxialLines lines(fine_, FineLines(fine_, from_deg));
    lines.WeighAt(Lean(found.stand));
    KeptLines kept_lines(lines);
    const Score score = [&](const Stand& s) {
      return options_.fine_lines * kept_lines.At(Lean(s)).shared + fine_rings_.At(Lean(s), Offset(s)) + Prior(s) +
             Reading(s);
    };
    std::vector<Scored> starts;
    if (round == 0) {
      for (const Scored& place : mid) starts.push_back({score(place.stand), place.stand});
      std::sort(starts.begin(), starts.end(), Better);
      if (starts.size() > 3) starts.resize(3);
      for (Scored& start : starts) start = Refined(score, start, 0.3 * kRadPerDeg, 0.012, 0.003, 20);
    } else {
      starts.push_back(Refined(score, {0, found.stand}, 0.2 * kRadPerDeg, 0.01, 0.0012, 25));
    }
    std::sort(starts.begin(), starts.end(), Better);
    found.stand = starts.front().stand, found.score = starts.front().score;
    if (round == 1) {
      found.lines = kept_lines.At(Lean(found.stand)).shared;
      found.rings = fine_rings_.At(Lean(found.stand), Offset(found.stand));
      for (Scored& place : mid) place.score = score(place.stand);
      Judge(score, mid, &found);
    }
  }
  if (const StandRead* read = Nearest(found.stand)) found.read = *read;
  LocateWeld(found.stand, &found);
  return found;
}

Result<Structure> Search::Run(const std::vector<Stand>& hints) {
  auto places = Walk(Combinations());
  if (job_.Cancelled()) return Cancelled();
  for (const Stand& hint : hints)
    if (Allowed(hint)) places.push_back({QuickAt(hint), hint});
  if (places.empty()) return NotFound(Says::kNoPlaceToTry);
  const Score quick = [this](const Stand& s) { return QuickAt(s); };
  for (Scored& place : places) {
    place = Refined(quick, place, 0.5 * kRadPerDeg, 0.02, 0.006, 25);
    if (job_.Cancelled()) return Cancelled();
  }
  std::sort(places.begin(), places.end(), Better);
  const auto led = Read(places);
  places.insert(places.begin(), led.begin(), led.end());
  return Finish(std::move(places));
}

}  // namespace

Result<Structure> FindStructure(const Charts& charts, double radius_mm, const MountPrior& mount,
                                const std::vector<Stand>& hints, const StructureOptions& options,
                                const JobContext& job) {
  return Search(charts, radius_mm, mount, options, job).Run(hints);
}

}  // namespace vision::pose
