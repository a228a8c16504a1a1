#include <algorithm>
#include <cassert>
#include <cmath>

#include "vision/base/says.h"
#include "vision/bore/angle.h"
#include "vision/match/change.h"

namespace vision::match {
namespace {

bool Seen(const FlatPicture& picture, WallPlace place) {
  const int column = picture.grid.NearestColumn(place.theta_deg);
  const int row = static_cast<int>(std::lround(picture.grid.Row(place.z_mm)));
  for (int dy = -5; dy <= 5; ++dy)  // a single cell blown out is no hole in the examination
    if (row + dy >= 0 && row + dy < picture.seen.rows && picture.seen(row + dy, column)) return true;
  return false;
}

bool StillSeen(const Pocket& pocket, WallPlace place, double radius_mm, const FateOptions& o) {
  return std::any_of(pocket.still_seen.begin(), pocket.still_seen.end(), [&](const Spot& spot) {
    const double along = bore::ArcMm(bore::Wrap180(place.theta_deg - spot.place.theta_deg), radius_mm);
    return std::abs(along) <= 0.5 * spot.circ_mm + o.beside_mm &&
           std::abs(place.z_mm - spot.place.z_mm) <= 0.5 * spot.axial_mm + o.beside_mm;
  });
}

}  // namespace

std::string NameOf(Fate fate) {
  switch (fate) {
    case Fate::kGone:
      return "gone";
    case Fate::kPartlyGone:
      return "partly_gone";
    case Fate::kRemains:
      return "remains";
    case Fate::kNotExamined:
      break;
  }
  return "not_examined";
}

FateOf FateOfIndication(const Change& change, const FlatPicture& before, const FlatPicture& laid, WallPlace place,
                        double length_mm, const FateOptions& o) {
  assert(!o.Check());
  const double radius = before.grid.radius_mm;
  const int steps = std::max(1, static_cast<int>(std::lround(length_mm)));
  FateOf found;
  bool shows = false;
  for (int k = 0; k < steps; ++k) {
    const double along = steps == 1 ? 0 : length_mm * ((k + 0.5) / steps - 0.5);
    const WallPlace at{bore::Wrap360(place.theta_deg + along / radius * bore::kDegPerRad), place.z_mm};
    const auto pocket = std::find_if(change.pockets.begin(), change.pockets.end(),
                                     [&](const Pocket& p) { return Inside(p, at, radius, o.margin_mm); });
    const double share = steps == 1 ? 1 : length_mm / steps;
    if (pocket == change.pockets.end())
      (Seen(laid, at) ? found.remains_mm : found.unseen_mm) += share;
    else if (StillSeen(*pocket, at, radius, o))
      found.remains_mm += share, shows = true;
    else
      (Seen(laid, at) ? found.gone_mm : found.unseen_mm) += share;
  }
  if (found.remains_mm > 0)
    found.fate = found.gone_mm > 0 ? Fate::kPartlyGone : Fate::kRemains;
  else if (found.unseen_mm == 0)
    found.fate = Fate::kGone;
  if (found.fate == Fate::kGone)
    found.reason = {Says::kGroundAway};
  else if (found.fate == Fate::kNotExamined)
    found.reason = {Says::kPlaceNotSeenAgain};
  else if (shows)
    found.reason = {Says::kStillStandsOut};
  else if (found.fate == Fate::kPartlyGone)
    found.reason = {Says::kPartlyOutside};
  else
    found.reason = {Says::kNotRemoved};
  return found;
}

}  // namespace vision::match
