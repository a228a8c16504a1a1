#pragma once

#include <vector>

#include "vision/reading/look.h"

namespace vision::reading {

/// How high above its own wall what each station line shows as far toe stands, mm, from the looks of a push within 0.8
/// radii: a place h above the wall moves by h d / R along the bore as the distance d grows. The middle one of 2.5 mm of
/// arc to either side. NaN where fewer than two looks within reach show a far toe.
/// @param left The far toe's side.
std::vector<double> StandingHeight(const std::vector<Look>& looks, bool left, double radius_mm);

/// Takes back the far toes of a push where what is seen stands clear of the wall: there it is the outline of the bead
/// or of the unfused insert, and the toe lies hidden behind it.
void TakeBackOutlines(double radius_mm, std::vector<Look>& looks);

}  // namespace vision::reading
