#pragma once

#include <string>
#include <vector>

#include "vision/reading/reading.h"

namespace vision::reading {

/// What a search was for, as in Searched.
struct SearchName {
  std::string kind, side, size;
};

/// Puts what each station line was searched for together to arcs.
/// @param smallest_mm One per line; NaN = not searched. @param why One per line: why not, where not.
Searched SearchedFrom(const SearchName& name, const std::vector<double>& smallest_mm, const std::vector<Reason>& why);

}  // namespace vision::reading
