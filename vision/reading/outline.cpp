#include "vision/reading/outline.h"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "vision/base/median.h"
#include "vision/base/range.h"
#include "vision/bead/features.h"
#include "vision/bore/angle.h"
#include "vision/bore/stations.h"

namespace vision::reading {
namespace {

int LinesOf(double arc_mm, double radius_mm) {
  return static_cast<int>(std::lround(arc_mm / bore::ArcMm(bore::kStationLine_deg, radius_mm)));
}

/// Height at one line from the two nearest looks within reach that are far enough apart.
double HeightAt(const std::vector<const Look*>& nearest_first, bool left, std::size_t line, double radius_mm,
                const StandsClearOptions& o) {
  const auto toe = [&](const Look& look) -> const bead::ToeLine& { return left ? look.toes.left : look.toes.right; };
  const Look* nearest = nullptr;
  for (const Look* look : nearest_first) {
    if (!toe(*look).visible[line]) continue;
    if (!nearest) {
      if (!look->toes.hollow.empty() && look->toes.hollow[line]) return 0;  // its far half faces the camera
      nearest = look;
      continue;
    }
    const double apart_mm = look->distance_mm() - nearest->distance_mm();
    if (apart_mm < o.least_apart_share * radius_mm) continue;
    const double along = look->looks == pose::Looks::kMinusZ ? -1 : 1;
    const double moved_mm = along * (toe(*look).z_mm[line] - toe(*nearest).z_mm[line]);
    const double wall_mm = look->levels->Height(0.5 * static_cast<double>(line), left);
    return moved_mm * radius_mm / apart_mm - wall_mm;
  }
  return kNotMeasured;
}

/// Lines whose far toe stands clear of the wall, and those so close that their own was taken for the same toe.
std::vector<char> Hidden(const std::vector<double>& height_mm, double radius_mm, const StandsClearOptions& o) {
  const int half = LinesOf(o.beside_mm, radius_mm);
  std::vector<char> hidden;
  for (int i = 0; i < bore::kStationLines; ++i)
    hidden.push_back(
        !bead::Around(height_mm, i, half, [&](std::size_t j) { return height_mm[j] > o.clear_mm; }).empty());
  return hidden;
}

}  // namespace

std::vector<double> StandingHeight(const std::vector<Look>& looks, bool left, double radius_mm,
                                   const StandsClearOptions& o) {
  assert(!o.Check());
  std::vector<const Look*> near;
  for (const Look& look : looks)
    if (look.levels && look.near_is_left() != left && look.distance_mm() <= o.reach_share * radius_mm)
      near.push_back(&look);
  std::sort(near.begin(), near.end(), [](auto* a, auto* b) { return a->distance_mm() < b->distance_mm(); });
  std::vector<double> single, middle;
  for (std::size_t i = 0; i < bore::kStationLines; ++i) single.push_back(HeightAt(near, left, i, radius_mm, o));
  const int half = LinesOf(o.arc_mm, radius_mm);
  for (int i = 0; i < bore::kStationLines; ++i) {
    auto around = bead::Around(single, i, half, [&](std::size_t j) { return std::isfinite(single[j]); });
    middle.push_back(around.empty() ? kNotMeasured : MedianInPlace(around));
  }
  return middle;
}

void TakeBackOutlines(double radius_mm, std::vector<Look>& looks, const StandsClearOptions& o) {
  for (const bool left : {true, false}) {
    const auto hidden = Hidden(StandingHeight(looks, left, radius_mm, o), radius_mm, o);
    for (Look& look : looks) {
      if (!look.levels || look.near_is_left() == left) continue;
      bead::ToeLine& toe = left ? look.toes.left : look.toes.right;
      for (std::size_t i = 0; i < hidden.size(); ++i) {
        if (hidden[i])
          toe.TakeBack(i, "what is seen there stands clear of the wall: the far toe lies hidden behind it");
      }
    }
  }
}

Status StandsClearOptions::Check() const {
  return FirstOutside("StandsClearOptions", {{"reach_share", reach_share, 0, 10},
                                             {"least_apart_share", least_apart_share, 0, 10},
                                             {"arc_mm", arc_mm, 0, 50},
                                             {"beside_mm", beside_mm, 0, 50},
                                             {"clear_mm", clear_mm, 0, 10}});
}

}  // namespace vision::reading
