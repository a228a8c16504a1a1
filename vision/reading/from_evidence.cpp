#include "vision/reading/from_evidence.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "vision/base/says.h"
#include "vision/bore/sides.h"
#include "vision/bore/stations.h"

namespace vision::reading {
namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

std::size_t At(int line) { return static_cast<std::size_t>(line); }

/// What the step between the walls may do to a far toe seen from here, mm (standard uncertainty).
double ParallaxMm(const bead::ToeOptions& geometry) {
  return geometry.misalignment_prior_mm * geometry.camera_distance_mm / geometry.radius_mm;
}

struct Verdict {
  double u_mm = kNan;
  Reason why;  ///< Empty = stated.
};

Verdict Judge(const evidence::StripEvidence& said, const evidence::ToeEvidence& toe, bool near, int line,
              bool in_picture, const bead::ToeOptions& geometry, const StatingOptions& o) {
  const std::size_t i = At(line);
  if (!in_picture) return {kNan, {Says::kUnseen}};
  if (said.CoveredAt(toe.z_mm[i], line) > o.trust.covered_above) return {kNan, {Says::kCovered}};
  if (!(toe.hidden[i] < o.trust.hidden_below[near ? 0 : 1]))
    return {kNan, {near ? Says::kToeNotInSight : Says::kFarToeHidden}};
  const double u_mm = near ? toe.u_mm[i] : std::hypot(toe.u_mm[i], o.hidden_far_mm * toe.hidden[i]);
  if (!(u_mm <= (near ? o.coarsest_u_mm : o.coarsest_far_u_mm))) return {kNan, {Says::kToeNotSure}};
  const double parallax = near ? 0.0 : ParallaxMm(geometry);
  return {std::hypot(std::hypot(u_mm, geometry.pose_scale_u * toe.z_mm[i]), parallax), {}};
}

std::vector<Verdict> JudgeAll(const evidence::StripEvidence& said, const std::vector<char>& in_picture, bool near,
                              const bead::ToeOptions& geometry, const StatingOptions& options) {
  std::vector<Verdict> verdicts;
  for (int k = 0; k < bore::kStationLines; ++k)
    verdicts.push_back(Judge(said, near ? said.near : said.far, near, k, in_picture[At(k)] != 0, geometry, options));
  return verdicts;
}

std::vector<char> Likely(const std::vector<Verdict>& verdicts) {
  std::vector<char> likely;
  for (const Verdict& verdict : verdicts) likely.push_back(verdict.why.empty() ? 1 : 0);
  return likely;
}

/// Does the picture reach over the place of a toe, to either side of it?
bool Reached(const unroll::Strip& strip, double z_mm, int line) {
  const int column = strip.grid.NearestColumn(line * bore::kStationLine_deg);
  const int row = static_cast<int>(std::lround(strip.grid.Row(z_mm)));
  return row >= 3 && row + 3 < strip.grid.rows && strip.source_frame(row - 3, column) >= 0 &&
         strip.source_frame(row + 3, column) >= 0;
}

/// @param none Why no line of this toe is stated; empty = each as judged.
bead::ToeLine LineFrom(const evidence::ToeEvidence& toe, const std::vector<Verdict>& verdicts,
                       const unroll::Strip& strip, const Reason& none) {
  bead::ToeLine line;
  for (int k = 0; k < bore::kStationLines; ++k) {
    Reason why = verdicts[At(k)].why;
    if (why.empty()) why = none;
    if (why.empty() && !Reached(strip, toe.z_mm[At(k)], k)) why = {Says::kToeOutsidePicture};
    const bool stated = why.empty();
    line.visible.push_back(stated ? 1 : 0);
    line.z_mm.push_back(stated ? toe.z_mm[At(k)] : kNan);
    line.u_mm.push_back(stated ? verdicts[At(k)].u_mm : kNan);
    line.reason.push_back(why);
  }
  return line;
}

/// Of the lines that are set in `of`, how many in `flags` there are to each.
double ShareOf(const std::vector<char>& flags, const std::vector<char>& of) {
  const auto count = [](const std::vector<char>& all) { return std::count(all.begin(), all.end(), char{1}); };
  return static_cast<double>(count(flags)) / std::max<double>(1, static_cast<double>(count(of)));
}

}  // namespace

bool InPicture(const unroll::Strip& strip, int line) {
  if (strip.source_frame.empty()) return false;
  const int column = strip.grid.NearestColumn(line * bore::kStationLine_deg);
  for (double z = -2; z <= 2; z += 0.5) {
    const int row = static_cast<int>(std::lround(strip.grid.Row(z)));
    if (row >= 0 && row < strip.grid.rows && strip.source_frame(row, column) >= 0) return true;
  }
  return false;
}

Status StatingOptions::Check() const {
  if (!(coarsest_u_mm > 0)) return BadInput("StatingOptions::coarsest_u_mm must be above 0 mm.");
  if (!(coarsest_far_u_mm > 0)) return BadInput("StatingOptions::coarsest_far_u_mm must be above 0 mm.");
  if (!(least_far_share >= 0 && least_far_share <= 1))
    return BadInput("StatingOptions::least_far_share must be 0 to 1.");
  if (!(hidden_far_mm >= 0)) return BadInput("StatingOptions::hidden_far_mm must be zero mm or more.");
  if (!(least_share > 0 && least_share <= 1))
    return BadInput("StatingOptions::least_share must be above 0 and at most 1.");
  return trust.Check();
}

Result<bead::BeadToes> ToesFrom(const evidence::StripEvidence& said, const unroll::Strip& strip,
                                const bead::ToeOptions& geometry, const StatingOptions& options) {
  if (auto broken = options.Check()) return *broken;
  if (auto broken = geometry.Check()) return *broken;
  std::vector<char> in_picture;
  for (int line = 0; line < bore::kStationLines; ++line) in_picture.push_back(InPicture(strip, line) ? 1 : 0);
  const auto near_judged = JudgeAll(said, in_picture, true, geometry, options),
             far_judged = JudgeAll(said, in_picture, false, geometry, options);
  const std::vector<char> near_likely = Likely(near_judged);
  if (ShareOf(near_likely, in_picture) < options.least_share) return NotFound(Says::kNothingStandsOut);
  const bool far_shows = ShareOf(Likely(far_judged), near_likely) >= options.least_far_share;
  const bead::ToeLine near = LineFrom(said.near, near_judged, strip, {}),
                      far =
                          LineFrom(said.far, far_judged, strip, far_shows ? Reason() : Reason{Says::kFarToeOnFewLines});
  bead::BeadToes toes;
  const bore::Piece near_piece = said.near_is_left ? bore::Piece::kA : bore::Piece::kB;
  auto by_piece = bore::NearFar{near, far}.ByPiece(near_piece);
  toes.left = std::move(by_piece.a), toes.right = std::move(by_piece.b);
  for (const double chance : said.hollow) toes.hollow.push_back(chance > 0.5 ? 1 : 0);
  toes.weld_found = true;
  toes.contrast = ShareOf(near_likely, in_picture);
  return toes;
}

}  // namespace vision::reading
