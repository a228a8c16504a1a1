#include "vision/reading/combine.h"

#include <algorithm>
#include <cmath>

#include "vision/base/says.h"
#include "vision/bore/angle.h"
#include "vision/bore/stations.h"
#include "vision/reading/edges.h"
#include "vision/reading/explain.h"
#include "vision/reading/from_evidence.h"
#include "vision/reading/push.h"

namespace vision::reading {
namespace {

/// The largest relative uncertainty of what a look takes for the scale.
double ScaleU(const std::vector<Look>& looks, const bore::Bore& bore) {
  double scale_u = bore.radius_u_mm / bore.radius_mm;
  for (const Look& look : looks) scale_u = std::max(scale_u, look.pose.offset_u_mm() / bore.radius_mm);
  return scale_u;
}

/// Mean of both toes where both are seen: what the joint's z = 0 is put at.
double MiddleOf(const std::vector<Sighting>& left, const std::vector<Sighting>& right) {
  double sum = 0;
  int count = 0;
  for (std::size_t i = 0; i < left.size(); ++i)
    if (left[i].stated() && right[i].stated()) sum += 0.5 * (left[i].z_mm + right[i].z_mm), ++count;
  return count == 0 ? 0 : sum / count;
}

/// Why a toe is not stated on this line, as the first look says that has the place in its picture; where none has it,
/// as the first that says anything.
Reason ReasonAt(const std::vector<Look>& looks, bool left, std::size_t line) {
  Reason first;
  for (const Look& look : looks) {
    const auto& toe = left ? look.toes.left : look.toes.right;
    if (line >= toe.reason.size() || toe.reason[line].empty()) continue;
    if (InPicture(look.strip, static_cast<int>(line))) return toe.reason[line];
    if (first.empty()) first = toe.reason[line];
  }
  return first.empty() ? Reason{Says::kToeNotInSight} : first;
}

Stated<double> ToeFrom(const std::vector<Look>& looks, const Sighting& toe, bool left, std::size_t line,
                       double middle_mm) {
  if (!toe.stated()) return Stated<double>::Not(ReasonAt(looks, left, line));
  return Stated<double>::Of(toe.z_mm - middle_mm, std::hypot(toe.u_mm, RoundnessU()));
}

Stated<double> WidthFrom(const Sighting& left, const Sighting& right, double scale_u, const ToldLine& toes) {
  if (!left.stated()) return Stated<double>::Not(toes.toe_z_mm.a.why());
  if (!right.stated()) return Stated<double>::Not(toes.toe_z_mm.b.why());
  const double width_mm = right.z_mm - left.z_mm;
  return Stated<double>::Of(width_mm, std::hypot(WidthU(left, right), scale_u * width_mm));
}

/// The step between the walls as a push shows it by parallax; none without a push.
const pose::WallLevels* LevelsOf(const std::vector<Look>& looks) {
  const auto pushed =
      std::find_if(looks.begin(), looks.end(), [](const Look& look) { return look.levels.has_value(); });
  return pushed == looks.end() ? nullptr : &*pushed->levels;
}

ToldLine LineFrom(const std::vector<Look>& looks, const pose::WallLevels* levels, const Sighting& left,
                  const Sighting& right, std::size_t i, double middle_mm, double scale_u) {
  const double theta_deg = bore::kStationLine_deg * static_cast<double>(i);
  ToldLine line;
  line.toe_z_mm = {ToeFrom(looks, left, true, i, middle_mm), ToeFrom(looks, right, false, i, middle_mm)};
  line.width_mm = WidthFrom(left, right, scale_u, line);
  line.misalignment_mm = levels ? Stated<double>::Of(levels->Step(theta_deg), StepU(*levels, theta_deg))
                                : Stated<double>::Not({Says::kSingleView});
  line.crown = line.concavity = Stated<RootHeight>::Not({levels ? Says::kNotByTravel : Says::kSingleView});
  return line;
}

/// Why an edge that no look tells is not visible.
Reason HiddenReason(const std::vector<Look>& looks, bool left) {
  const bool near_seen =
      std::any_of(looks.begin(), looks.end(), [left](const Look& look) { return look.near_is_left() == left; });
  return {near_seen ? Says::kPictureDoesNotTell : Says::kEdgeBehindBead};
}

EdgeTold TellEdge(const std::vector<Look>& looks, bore::Piece piece, double radius_mm, const Told& told,
                  const Unresolved& unresolved) {
  const bool left = piece == bore::Piece::kA;
  const EdgeStates seen = EdgeOf(looks, left, radius_mm);
  const Reason hidden = HiddenReason(looks, left);
  const std::vector<double> z_mm = ZOf(told, piece);
  EdgeTold edge{seen.state, seen.unfused, std::vector<Reason>(seen.state.size())};
  for (std::size_t i = 0; i < seen.state.size(); ++i) {
    const bool lost = seen.state[i] == Fusion::kFused && unresolved.At(i, z_mm[i]);  // what is seen unfused stays so
    if (lost) edge.state[i] = Fusion::kNotVisible;
    if (edge.state[i] == Fusion::kNotVisible) edge.why[i] = lost ? unresolved.why : hidden;
  }
  return edge;
}

}  // namespace

double RoundnessU() { return pose::PoseOptions().ring_wander_mm / std::sqrt(2.0); }

Status WidthOptions::Check() const {
  for (const double alike : {both_near, near_and_far})
    if (!(alike >= 0 && alike <= 1)) return BadInput("WidthOptions: how alike toes err must be 0 to 1.");
  return std::nullopt;
}

double WidthU(const Sighting& left, const Sighting& right, const WidthOptions& options) {
  const double alike = left.near && right.near ? options.both_near : options.near_and_far;
  return std::sqrt(left.u_mm * left.u_mm + right.u_mm * right.u_mm + 2 * alike * left.u_mm * right.u_mm);
}

Told TellByLooks(const std::vector<Look>& looks, const MeasureInput& input) {
  const BetweenLooks together = BetweenLooksOf(looks, input.bore.radius_mm);
  const auto left = ToesAround(looks, true, together), right = ToesAround(looks, false, together);
  const double middle_mm = MiddleOf(left, right), scale_u = ScaleU(looks, input.bore);
  Told told;
  const pose::WallLevels* levels = LevelsOf(looks);
  told.push_from_joint_mm = middle_mm, told.step_by_travel = levels != nullptr;
  for (std::size_t i = 0; i < bore::kStationLines; ++i)
    told.lines.push_back(LineFrom(looks, levels, left[i], right[i], i, middle_mm, scale_u));
  return told;
}

EdgesTold TellEdges(const std::vector<Look>& looks, double radius_mm, const Told& told, const Unresolved& unresolved) {
  return bore::OfEachPiece([&](bore::Piece piece) { return TellEdge(looks, piece, radius_mm, told, unresolved); });
}

std::vector<double> ZOf(const Told& told, bore::Piece piece) {
  std::vector<double> z_mm;
  for (const ToldLine& line : told.lines) z_mm.push_back(OrNan(line.toe_z_mm[piece]));
  return z_mm;
}

double JointFromLook(const Look& look, const Told& told) {
  double sum = 0;
  int count = 0;
  for (const bore::Piece piece : bore::kBothPieces) {
    const bead::ToeLine& toe = piece == bore::Piece::kA ? look.toes.left : look.toes.right;
    for (std::size_t i = 0; i < told.lines.size(); ++i) {
      const auto& stated = told.lines[i].toe_z_mm[piece];
      if (toe.visible[i] && stated.told()) sum += stated.value() - toe.z_mm[i], ++count;
    }
  }
  return count > 0 ? sum / count : 0;
}

Coverage CoverageOf(const unroll::Strip& merged, const Profile& profile, double zone_mm) {
  Coverage coverage;
  const auto& grid = merged.grid;
  for (std::size_t i = 0; i < profile.theta_deg.size(); ++i) {
    coverage.left += 0.5 * (profile.fusion_left[i] != Fusion::kNotVisible);
    coverage.right += 0.5 * (profile.fusion_right[i] != Fusion::kNotVisible);
    const int column = grid.NearestColumn(profile.theta_deg[i]);
    const double half = 2.5;
    const int from = std::max(0, static_cast<int>(grid.Row(-zone_mm - half))),
              to = std::min(grid.rows - 1, static_cast<int>(grid.Row(zone_mm + half)));
    int seen = 0;
    for (int row = from; row <= to; ++row) seen += merged.valid(row, column) != 0;
    coverage.zone += 0.5 * (seen >= 0.9 * (to - from + 1));
  }
  return coverage;
}

}  // namespace vision::reading
