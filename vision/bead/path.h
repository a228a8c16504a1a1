#pragma once

#include <opencv2/core.hpp>
#include <vector>

namespace vision::bead {

/// The cheapest closed path through a cost picture, one row per column, that ends in the row where it started.
/// @param cost Rows x columns; an entry >= kForbidden may not be used.
/// @param step_cost Cost per row of change from one column to the next (quadratic: step_cost * rows^2), at most
/// max_step.
constexpr float kForbidden = 1e6f;  ///< Mathematics: stands for infinity.
std::vector<int> ClosedPath(const cv::Mat1f& cost, double step_cost, int max_step);

}  // namespace vision::bead
