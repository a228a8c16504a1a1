#pragma once

#include <filesystem>

namespace viewer_test {

/// Twelve pictures of the printed board (9 x 6 inner corners, 10 mm) as the demo's camera would take them: an
/// equidistant lens, r = f a, written out here and not taken from the program.
/// @return Whether all were written.
bool WriteBoardPictures(const std::filesystem::path& folder);

}  // namespace viewer_test
