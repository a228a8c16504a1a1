#pragma once

#include <filesystem>
#include <vector>

namespace app::viewer {

/// Joint files that lie as this one does: beside it, and under its name in the folders beside its own; sorted by path,
/// this one among them. Told by their first lines; whether one can be opened is seen when it is.
std::vector<std::filesystem::path> JointsBeside(const std::filesystem::path& joint_file);

}  // namespace app::viewer
