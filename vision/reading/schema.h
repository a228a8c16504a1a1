#pragma once

#include <string>

#include "vision/base/result.h"

namespace vision::reading {

/// Checks `text` against vision/reading/reading.schema.json (built into the program).
/// @return nullopt when it fits; else kBadInput naming `name`, the place in the file and what is wrong.
Status CheckAgainstSchema(const std::string& text, const std::string& name);

}  // namespace vision::reading
