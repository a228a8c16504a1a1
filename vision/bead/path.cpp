#include "vision/bead/path.h"

#include <algorithm>
#include <limits>

namespace vision::bead {
namespace {

// One sweep of dynamic programming over the columns first..first+n-1 (wrapping), then back along the best ancestors.
std::vector<int> OpenPath(const cv::Mat1f& cost, int first, int n, const std::vector<float>& step, int start_row) {
  const int rows = cost.rows, reach = static_cast<int>(step.size()) - 1;
  cv::Mat1s from(n, rows, static_cast<short>(0));
  std::vector<float> sum(static_cast<std::size_t>(rows)), next(sum.size());
  for (int r = 0; r < rows; ++r) {
    const bool allowed = start_row < 0 || r == start_row;
    sum[static_cast<std::size_t>(r)] = allowed ? cost(r, first % cost.cols) : 4 * kForbidden;
  }
  for (int k = 1; k < n; ++k) {
    const int c = (first + k) % cost.cols;
    for (int r = 0; r < rows; ++r) {
      float best = std::numeric_limits<float>::max();
      int arg = r;
      for (int q = std::max(0, r - reach); q <= std::min(rows - 1, r + reach); ++q) {
        const float s = sum[static_cast<std::size_t>(q)] + step[static_cast<std::size_t>(std::abs(q - r))];
        if (s < best) best = s, arg = q;
      }
      next[static_cast<std::size_t>(r)] = best + cost(r, c);
      from(k, r) = static_cast<short>(arg);
    }
    std::swap(sum, next);
  }
  std::vector<int> path(static_cast<std::size_t>(n));
  int r = start_row >= 0 ? start_row : static_cast<int>(std::min_element(sum.begin(), sum.end()) - sum.begin());
  for (int k = n - 1; k >= 0; --k) {
    path[static_cast<std::size_t>(k)] = r;
    r = from(k, r);
  }
  return path;
}

}  // namespace

std::vector<int> ClosedPath(const cv::Mat1f& cost, double step_cost, int max_step) {
  std::vector<float> step;
  for (int d = 0; d <= max_step; ++d)
    step.push_back(static_cast<float>(step_cost * std::min(1.0 * d * d, 2.0 + 0.7 * d)));
  const int n = cost.cols;
  // Twice round with free ends: in the middle the ends are forgotten. The row found there is where the circle is
  // closed.
  const std::vector<int> twice = OpenPath(cost, 0, 2 * n, step, -1);
  const int row = twice[static_cast<std::size_t>(n)];
  // n + 1 columns from column 0 back to column 0, starting and ending in that row.
  const std::vector<int> closed = OpenPath(cost, 0, n + 1, step, row);
  return {closed.begin(), closed.end() - 1};
}

}  // namespace vision::bead
