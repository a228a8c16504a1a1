#pragma once

#include <string>
#include <vector>

#include "vision/base/result.h"

namespace app::cli {

/// Refuses a name that a command or option had in an earlier version, naming the one it has now.
/// @param words The command line without the program's own name.
/// @return nullopt where every name stands.
vision::Status RefuseOldName(const std::vector<std::string>& words);

}  // namespace app::cli
