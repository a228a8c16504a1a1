#pragma once

#include <string>
#include <vector>

#include "app/book/record.h"

namespace app::book {

/// Reads a purge log with the columns time and oxygen_ppm, and gas and dew_point_c where it has them (any order).
/// @return kBadInput naming the line and what would be right.
vision::Result<std::vector<PurgeRow>> PurgeFromCsv(const std::string& text, const std::string& name);

}  // namespace app::book
