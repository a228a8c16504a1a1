#include "vision/bead/toes.h"

#include <algorithm>
#include <cmath>

#include "vision/base/says.h"
#include "vision/bead/edge.h"
#include "vision/bead/features.h"
#include "vision/bead/hollow.h"
#include "vision/bead/weld.h"
#include "vision/bore/stations.h"

namespace vision::bead {
namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

std::vector<int> ToRows(const Features& f, const std::vector<double>& z) {
  std::vector<int> rows;
  for (const double v : z) rows.push_back(f.Row(v));
  return rows;
}

struct Paths {
  std::vector<int> near, far;
};

Paths TraceFirst(const Features& f, const std::vector<int>& inner, double half_width_mm, const ToeOptions& o) {
  std::vector<double> near, far;
  for (const int r : inner) {
    near.push_back(r - half_width_mm / f.pitch_mm);
    far.push_back(r + half_width_mm / f.pitch_mm);
  }
  const cv::Mat1f evidence = Evidence(f, o.weld, o.weld.drift);
  return {TracePath(f, evidence, inner, Side::kNear, near, o.edge),
          TracePath(f, evidence, inner, Side::kFar, far, o.edge)};
}

// How closely a toe keeps to the running median of the path before: loosely to the long one, tightly to the short one.
struct Leash {
  double half_deg, within_mm;
};
// Where the near toe would be were the bead as wide as it mostly is: a root as bright as the wall shows no near toe.
std::vector<double> NearByUsualWidth(const Paths& p) {
  std::vector<int> width;
  for (std::size_t i = 0; i < p.near.size(); ++i) width.push_back(p.far[i] - p.near[i]);
  const auto middle = width.begin() + static_cast<std::ptrdiff_t>(width.size() / 2);
  std::nth_element(width.begin(), middle, width.end());
  std::vector<double> near = Trend(p.far, 5);
  for (double& row : near) row -= *middle;
  return near;
}

// A root bead is seldom narrower than the insert that melted into it.
Paths TraceAgain(const Features& f, const Paths& before, const std::vector<int>& inner, double insert_width_mm,
                 Leash leash, const ToeOptions& o) {
  const cv::Mat1f evidence = Evidence(f, o.weld, o.finder.local_drift);
  Paths out;
  out.near = TracePath(f, evidence, inner, Side::kNear, Trend(before.near, leash.half_deg), o.edge, {}, leash.within_mm,
                       NearByUsualWidth(before));
  std::vector<double> least;
  for (const int r : out.near) least.push_back(r + o.finder.least_share * insert_width_mm / f.pitch_mm);
  out.far =
      TracePath(f, evidence, inner, Side::kFar, Trend(before.far, leash.half_deg), o.edge, least, leash.within_mm);
  return out;
}

std::vector<int> Middle(const Paths& p) {
  std::vector<int> out;
  for (std::size_t i = 0; i < p.near.size(); ++i) out.push_back((p.near[i] + p.far[i]) / 2);
  return out;
}

// A far toe is read where the brightness steps, or where the wall's own lines end. What the neighbours show within a
// few mm of arc counts for a line as well: the toe is one line, and one column alone is mostly noise.
std::vector<char> Stands(const Features& f, const Edge& e, const FinderOptions& o) {
  const int w = static_cast<int>(std::lround(0.8 / f.pitch_mm));
  std::vector<double> lost;
  for (int i = 0; i < bore::kStationLines; ++i) {
    const int r = static_cast<int>(std::lround(e.row[static_cast<std::size_t>(i)]));
    lost.push_back(Features::Mean(f.kinship, i, r + 1, r + w) - Features::Mean(f.kinship, i, r - w, r - 1));
  }
  lost = SmoothAround(lost, static_cast<int>(std::lround(o.stands_mm / f.line_mm)));
  std::vector<char> out;
  for (std::size_t i = 0; i < bore::kStationLines; ++i) {
    const bool lines_end = f.wall_kinship > 0.25 && lost[i] > 0.25 * f.wall_kinship;
    out.push_back(lines_end || std::abs(e.step[i]) > 0.4 * f.level_sigma);
  }
  return out;
}

ToeLine ToLine(const Features& f, const Edge& e, const std::vector<char>& hollow, Side side, const ToeOptions& o) {
  ToeLine out;
  const double sign = o.near_is_left ? 1.0 : -1.0;
  const std::vector<char> stands =
      side == Side::kFar ? Stands(f, e, o.finder) : std::vector<char>(bore::kStationLines, 1);
  out.u_mm.assign(bore::kStationLines, kNan);
  for (int i = 0; i < bore::kStationLines; ++i) {
    const auto k = static_cast<std::size_t>(i);
    const bool seen = f.seen(static_cast<int>(std::lround(e.row[k])), i) != 0;
    const bool good = seen && (stands[k] || hollow[k]);
    out.visible.push_back(good ? 1 : 0);
    out.z_mm.push_back(good ? sign * f.ZMm(e.row[k]) : kNan);
    out.reason.push_back({good ? Says::kNone : seen ? Says::kFarToeHidden : Says::kUnseen});
  }
  return out;
}

}  // namespace

Status ToeOptions::Check() const {
  for (const auto& broken : {edge.Check(), hollow.Check(), weld.Check(), finder.Check()})
    if (broken) return broken;
  if (!(camera_distance_mm >= 0)) return BadInput("camera_distance_mm must be zero or more.");
  if (!(radius_mm > 0)) return BadInput("radius_mm must be more than zero.");
  if (!(misalignment_prior_mm >= 0)) return BadInput("misalignment_prior_mm must be zero or more.");
  if (!(far_even_mm > 0 && far_even_mm <= 10)) return BadInput("far_even_mm must be above 0 and at most 10 mm.");
  if (!(pose_scale_u >= 0)) return BadInput("pose_scale_u must be zero or more.");
  return std::nullopt;
}

Result<BeadToes> FindToes(const unroll::Strip& strip, const ToeOptions& options, const JobContext& job) {
  if (const Status bad = options.Check()) return *bad;
  const double reach = std::min(-strip.grid.z_from_mm, strip.grid.ZMm(strip.grid.rows - 1));
  if (strip.image.empty() || reach < 9) return BadInput("the strip must span at least 9 mm on both sides of the weld.");
  job.Report(0, "finding the toes");
  Features f = MakeFeatures(strip, options.near_is_left);
  const WeldBand band = FindWeldBand(f, Evidence(f, options.weld, options.weld.drift), options.weld);
  if (!band.found) return NotFound(Says::kNothingStandsOut);
  const double insert = options.finder.insert_mm;
  const double half = 0.5 * insert + 0.3;
  Paths paths = TraceFirst(f, ToRows(f, band.centre_z_mm), half, options);
  for (int pass = 0; pass < options.finder.passes; ++pass) {
    if (job.Cancelled()) return Cancelled();
    Rebase(f, paths.near, paths.far, options.edge);
    paths = TraceAgain(f, paths, Middle(paths), insert,
                       pass < options.finder.loose_passes
                           ? Leash{options.finder.loose_half_deg, options.finder.loose_within_mm}
                           : Leash{options.finder.tight_half_deg, options.finder.tight_within_mm},
                       options);
    job.Report((pass + 1.0) / options.finder.passes, "finding the toes");
  }
  const HollowToes hollow = FollowHollow(paths.near, paths.far, f, options.edge, options.hollow);
  const ToeLine near =
      ToLine(f, Refine(f, hollow.near_row, Side::kNear, options.edge), hollow.hollow, Side::kNear, options);
  const ToeLine far = ToLine(f,
                             EdgeOfHalves(f, Refine(f, hollow.far_row, Side::kFar, options.edge), hollow.hollow,
                                          options.far_even_mm, options.edge),
                             hollow.hollow, Side::kFar, options);
  BeadToes out;
  out.left = options.near_is_left ? near : far;
  out.right = options.near_is_left ? far : near;
  out.hollow = hollow.hollow;
  out.weld_found = true;
  out.contrast = band.contrast;
  return out;
}

}  // namespace vision::bead
