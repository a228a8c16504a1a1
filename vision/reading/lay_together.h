#pragma once

#include <vector>

#include "vision/reading/look.h"
#include "vision/reading/reading.h"

namespace vision::reading {

/// Source: not noted, so taken as chosen; where a field says none.
struct LayTogetherOptions {
  /// Looks of a group that a further one is held against, those from about as far first; >= 1. Each takes 0.1 s.
  int most_tried = 3;
};

/// One alignment after the other: where `moving` lies in the first, of moving in between and between in the first. Both
/// shifts are a few mm, so each is taken at the same angle.
match::Alignment Chained(const match::Alignment& moving_in_between, const match::Alignment& between_in_first);

/// Lays every look on the first by the drawing of the wall: directly, or over looks taken from about as far, whose
/// pictures are more alike. Looks that hang together with the first in neither way are dropped with a note; where most
/// hang together without it, the first is dropped, and the nearest of them takes its place.
void LayTogether(std::vector<Look>& looks, Reading& reading, const LayTogetherOptions& options = {});

}  // namespace vision::reading
