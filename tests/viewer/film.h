#pragma once

#include <filesystem>
#include <vector>

#include "vision/scan/sort.h"

namespace viewer_test {

/// What a made-up film shows, in seconds.
struct Part {
  double from_s, to_s;
  vision::scan::Shows shows;
};

/// Writes film.avi (10 frames a second, 960 x 720, motion JPEG) spliced from the demo's push and from pictures made
/// here, and joint.json, the demo's with this film as its only recording. Text stands in every picture.
/// @return What was put where.
std::vector<Part> WriteFilm(const std::filesystem::path& folder);

}  // namespace viewer_test
