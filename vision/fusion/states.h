#pragma once

#include <vector>

namespace vision::fusion {

/// The likeliest circular sequence of two states. @param evidence Log-likelihood of "unfused" over "fused" per line.
/// @param change_cost Cost of each change of state. @return 1 = unfused.
std::vector<char> TwoStates(const std::vector<double>& evidence, double change_cost);

}  // namespace vision::fusion
