#include "vision/reading/toe_of_looks.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <optional>

#include "vision/base/range.h"
#include "vision/bead/features.h"
#include "vision/bore/angle.h"
#include "vision/bore/stations.h"

namespace vision::reading {
namespace {

/// A look's toe at one line, in common coordinates.
struct Seen {
  double distance_mm, z_mm, u_mm;
  bool hollow;
};

/// A toe's place in common coordinates: the look's own disagreement taken out, and what the wall's height did to it.
double CommonZ(const Look& look, bool left, std::size_t line, const BetweenLooks& together) {
  const double theta_deg = 0.5 * static_cast<double>(line);
  double z = (left ? look.toes.left : look.toes.right).z_mm[line];
  z += together.MeanDisagreement(theta_deg) - (look.to_first ? look.to_first->Z(theta_deg) : 0);
  const double height =
      look.levels ? look.levels->Height(theta_deg, left) : (left ? -0.5 : 0.5) * together.StepMm(theta_deg);
  const double along = look.facing == pose::Facing::kMinusZ ? -1 : 1;
  return z - along * height * look.distance_mm() / together.radius_mm;
}

/// The looks that show a toe at a line on their near (or far) side, nearest first; of a push or the others.
std::vector<Seen> SeenBy(const std::vector<Look>& looks, bool left, bool near, bool push, std::size_t line,
                         const BetweenLooks& together) {
  std::vector<Seen> seen;
  for (const Look& look : looks) {
    const auto& toe = left ? look.toes.left : look.toes.right;
    if (look.levels.has_value() != push || (look.near_is_left() == left) != near || !toe.visible[line]) continue;
    const bool hollow = !look.toes.hollow.empty() && look.toes.hollow[line];
    seen.push_back({look.distance_mm(), CommonZ(look, left, line, together), toe.u_mm[line], hollow});
  }
  std::sort(seen.begin(), seen.end(), [](const Seen& a, const Seen& b) { return a.distance_mm < b.distance_mm; });
  return seen;
}

/// z at a distance on the least-squares line through what the looks saw, and how far they scatter about it.
struct Line {
  double z_mm = 0, scatter_mm = 0;
  std::size_t worst = 0;
  double worst_mm = 0;
};

Line LineThrough(const std::vector<Seen>& seen, double at_mm, bool level) {
  const auto n = static_cast<double>(seen.size());
  double sum_d = 0, sum_z = 0, dd = 0, dz = 0, squares = 0;
  for (const Seen& s : seen) sum_d += s.distance_mm, sum_z += s.z_mm;
  for (const Seen& s : seen) {
    dd += (s.distance_mm - sum_d / n) * (s.distance_mm - sum_d / n);
    dz += (s.distance_mm - sum_d / n) * (s.z_mm - sum_z / n);
  }
  const double slope = level || !(dd > 0) ? 0 : dz / dd;
  const auto at = [&](double d) { return sum_z / n + slope * (d - sum_d / n); };
  Line line{at(at_mm), 0, 0, 0};
  for (std::size_t k = 0; k < seen.size(); ++k) {
    const double off = std::abs(seen[k].z_mm - at(seen[k].distance_mm));
    squares += off * off;
    if (off > line.worst_mm) line.worst_mm = off, line.worst = k;
  }
  const double freedom = n - (level ? 1 : 2);
  line.scatter_mm = freedom > 0 ? std::sqrt(squares / freedom / n) : 0;
  return line;
}

/// Averaging takes little from the best look's u: most of it is the width of the edge itself, which all looks share.
Sighting Stated(const Line& line, const std::vector<Seen>& seen) {
  double least_u = seen.front().u_mm;
  for (const Seen& s : seen) least_u = std::min(least_u, s.u_mm);
  return {line.z_mm, std::hypot(least_u, line.scatter_mm)};
}

/// Where the root is hollow no glossy flank faces the lamp and nothing drifts: the middle one of the looks close by.
Sighting HollowNearToe(const std::vector<Seen>& seen, double radius_mm, const SightingOptions& o) {
  const double farthest_mm = std::max(o.close_share * radius_mm, seen.front().distance_mm);
  std::vector<Seen> close, agreeing;
  std::vector<double> z;
  for (const Seen& s : seen)
    if (s.hollow && s.distance_mm <= farthest_mm) close.push_back(s), z.push_back(s.z_mm);
  std::sort(z.begin(), z.end());
  const double middle = 0.5 * (z[(z.size() - 1) / 2] + z[z.size() / 2]);
  for (const Seen& s : close)
    if (std::abs(s.z_mm - middle) < o.astray_mm) agreeing.push_back(s);
  const auto& told_by = agreeing.empty() ? close : agreeing;  // two that lie apart: their scatter is the uncertainty
  Sighting out = Stated(LineThrough(told_by, 0, true), told_by);
  out.z_mm = middle;
  return out;
}

Sighting NearToe(std::vector<Seen> seen, double radius_mm, const SightingOptions& o) {
  if (seen.front().hollow) return HollowNearToe(seen, radius_mm, o);
  const double farthest_mm = std::max(o.close_share * radius_mm, seen.front().distance_mm);
  std::erase_if(seen, [&](const Seen& s) { return s.distance_mm > farthest_mm; });
  for (;;) {
    const double span_mm = seen.back().distance_mm - seen.front().distance_mm;
    const bool level = seen.size() < 3 || span_mm < o.least_span_share * radius_mm;
    const double at_mm = std::max(o.read_share * radius_mm, seen.front().distance_mm);
    const Line line = LineThrough(seen, at_mm, level);
    if (seen.size() < 3 || line.worst_mm < o.astray_mm) return Stated(line, seen);
    seen.erase(seen.begin() + static_cast<std::ptrdiff_t>(line.worst));
  }
}

Sighting FarToe(std::vector<Seen> seen, double radius_mm, const SightingOptions& o) {
  const Seen nearest = seen.front();
  std::erase_if(seen, [&](const Seen& s) {
    return s.distance_mm > std::max(o.read_share * radius_mm, nearest.distance_mm + o.beside_share * radius_mm) ||
           std::abs(s.z_mm - nearest.z_mm) > o.astray_mm;
  });
  Sighting toe = Stated(LineThrough(seen, nearest.distance_mm, true), seen);
  toe.u_mm = std::hypot(toe.u_mm, o.outline_mm * std::pow(nearest.distance_mm / radius_mm, 2));
  return toe;
}

/// Weighted mean over looks that stand alone. They share most of their error, so the best one's u is kept.
Sighting MeanOf(const std::vector<Seen>& seen, double registration_u_mm) {
  double sum = 0, weight_sum = 0, least_u = std::numeric_limits<double>::infinity();
  for (const Seen& s : seen) {
    const double weight = 1 / (s.u_mm * s.u_mm);
    sum += weight * s.z_mm, weight_sum += weight;
    least_u = std::min(least_u, s.u_mm);
  }
  return {sum / weight_sum, std::hypot(least_u, registration_u_mm)};
}

Sighting ToeAt(const std::vector<Look>& looks, bool left, std::size_t line, const BetweenLooks& together) {
  for (const bool near : {true, false}) {
    const auto pushed = SeenBy(looks, left, near, true, line, together);
    auto alone = SeenBy(looks, left, near, false, line, together);
    if (!pushed.empty()) {
      Sighting toe = near ? NearToe(pushed, together.radius_mm, together.options)
                          : FarToe(pushed, together.radius_mm, together.options);
      toe.near = near;
      if (alone.empty()) return toe;
      alone.push_back({0, toe.z_mm, toe.u_mm, false});
    }
    if (alone.empty()) continue;
    Sighting toe = MeanOf(alone, together.RegistrationU());
    toe.near = near;
    return toe;
  }
  return {};
}

/// Each toe of a push becomes the mean over the arc close by: neighbouring lines' noise is mostly their own.
std::vector<Sighting> Evened(const std::vector<Sighting>& toes, int half) {
  std::vector<Sighting> out = toes;
  for (int i = 0; i < bore::kStationLines; ++i) {
    if (!toes[static_cast<std::size_t>(i)].stated()) continue;
    double sum = 0;
    const auto around = bead::Around(toes, i, half, [&](std::size_t j) { return toes[j].stated(); });
    for (const Sighting& toe : around) sum += toe.z_mm;
    out[static_cast<std::size_t>(i)].z_mm = sum / static_cast<double>(around.size());
  }
  return out;
}

}  // namespace

double BetweenLooks::MeanDisagreement(double theta_deg) const {
  double sum = 0;
  for (const auto& one : disagreements) sum += one.At(theta_deg);
  return disagreements.empty() ? 0 : sum / static_cast<double>(disagreements.size() + 1);
}

double BetweenLooks::StepMm(double theta_deg) const {
  return opposed ? opposed->Step(theta_deg) * radius_mm / opposed_sum_mm : 0;
}

double BetweenLooks::RegistrationU() const { return opposed ? std::max(0.05, opposed->residual_mm / 2) : 0; }

BetweenLooks BetweenLooksOf(const std::vector<Look>& looks, double radius_mm) {
  BetweenLooks together;
  together.radius_mm = radius_mm;
  for (const Look& look : looks) {
    if (!look.to_first) continue;
    match::AroundBore mean;
    for (std::size_t i = 0; i < mean.c.size(); ++i)
      mean.c[i] = 0.5 * (look.to_first->left_z_mm.c[i] + look.to_first->right_z_mm.c[i]);
    together.disagreements.push_back(mean);
  }
  for (const Look& look : looks)
    if (look.to_first && look.near_is_left() != looks.front().near_is_left()) {
      together.opposed = &*look.to_first;
      together.opposed_sum_mm = look.distance_mm() + looks.front().distance_mm();
      if (!looks.front().near_is_left()) together.opposed_sum_mm *= -1;  // the first looks along -z: signs swap
      break;
    }
  return together;
}

std::vector<Sighting> ToesAround(const std::vector<Look>& looks, bool left, const BetweenLooks& together) {
  assert(!together.options.Check());
  std::vector<Sighting> toes;
  for (std::size_t i = 0; i < bore::kStationLines; ++i) toes.push_back(ToeAt(looks, left, i, together));
  const bool pushed = std::any_of(looks.begin(), looks.end(), [](const Look& look) { return look.levels.has_value(); });
  const double line_mm = bore::ArcMm(bore::kStationLine_deg, together.radius_mm);
  return pushed ? Evened(toes, static_cast<int>(std::lround(together.options.even_mm / line_mm))) : toes;
}

Status SightingOptions::Check() const {
  return FirstOutside("SightingOptions", {{"close_share", close_share, 0, 10},
                                          {"read_share", read_share, 0, 10},
                                          {"beside_share", beside_share, 0, 10},
                                          {"least_span_share", least_span_share, 0, 10},
                                          {"astray_mm", astray_mm, 0, 10},
                                          {"outline_mm", outline_mm, 0, 10},
                                          {"even_mm", even_mm, 0, 50}});
}

}  // namespace vision::reading
