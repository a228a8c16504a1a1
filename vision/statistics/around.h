#pragma once

#include <vector>

namespace vision::statistics {

/// Running median round the circle that `values` close to, `half` values each way; NaN are left out.
/// @param least Values that must be there; NaN where fewer are.
std::vector<double> MedianAround(const std::vector<double>& values, int half, int least);

}  // namespace vision::statistics
