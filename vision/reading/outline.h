#pragma once

#include <vector>

#include "vision/base/result.h"
#include "vision/reading/look.h"

namespace vision::reading {

/// What stands clear of the wall hides the far toe. Source: chosen on made-up pushes, where a field says no other.
struct StandsClearOptions {
  double reach_share = 0.8;         ///< Of the radius: from farther off a crown's outline hides most toes.
  double least_apart_share = 0.12;  ///< Of the radius, between two looks that are compared.
  double arc_mm = 2.5;              ///< To either side, of the middle one of the heights.
  double beside_mm = 1.5;           ///< Of arc: lines so close to one that stands clear are taken with it.
  /// Of 1162 fused lines of two independent pushes 95 % stood below 0.63 mm, of 36 with the insert's far edge hidden
  /// the middle one 1.08 mm. Trials: those pushes.
  double clear_mm = 0.8;

  [[nodiscard]] Status Check() const;
};

/// How high above its own wall what each station line shows as far toe stands, mm, from the looks of a push within
/// `reach_share`: a place h above the wall moves by h d / R along the bore as the distance d grows. The middle one of
/// `arc_mm` to either side. NaN where fewer than two looks within reach show a far toe.
/// @param left The far toe's side.
std::vector<double> StandingHeight(const std::vector<Look>& looks, bool left, double radius_mm,
                                   const StandsClearOptions& o = {});

/// Takes back the far toes of a push where what is seen stands clear of the wall: there it is the outline of the bead
/// or of the unfused insert, and the toe lies hidden behind it.
void TakeBackOutlines(double radius_mm, std::vector<Look>& looks, const StandsClearOptions& o = {});

}  // namespace vision::reading
