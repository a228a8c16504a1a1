#pragma once

#include <vector>

#include "vision/study/hit_miss.h"
#include "vision/study/table.h"

namespace vision::study {

/// Targets from two columns of a table. A hit is 1, yes, true, hit or found; a miss 0, no, false, miss or missed.
/// @param size_column Empty = the first of size_mm, size, x that is there. @param hit_column Empty = the first of hit,
/// y.
Result<std::vector<Target>> TargetsFrom(const Table& table, const std::string& size_column,
                                        const std::string& hit_column);

}  // namespace vision::study
