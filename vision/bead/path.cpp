#include "vision/bead/path.h"

#include <algorithm>
#include <cstdint>
#include <limits>
#include <numeric>

namespace vision::bead {
namespace {

// Least of sum[q] + step[|q - r|] over the reach, for every row; of equals the smallest q. The offset is the outer
// loop, ascending, so that the inner one runs over rows in memory's order without a branch.
void BestAncestors(const std::vector<float>& sum, const std::vector<float>& step, std::vector<float>* best,
                   std::vector<std::int32_t>* arg) {
  const int rows = static_cast<int>(sum.size()), reach = static_cast<int>(step.size()) - 1;
  std::fill(best->begin(), best->end(), std::numeric_limits<float>::max());
  for (int d = -reach; d <= reach; ++d) {
    const float cost = step[static_cast<std::size_t>(std::abs(d))];
    const int from = std::max(0, -d), to = std::min(rows, rows - d);
    const float* all = sum.data();
    float* least = best->data();
    std::int32_t* which = arg->data();
    for (int r = from; r < to; ++r) {
      const float s = all[r + d] + cost;
      const bool better = s < least[r];
      least[r] = better ? s : least[r];
      which[r] = better ? r + d : which[r];
    }
  }
}

// One sweep of dynamic programming over the columns first..first+n-1 (wrapping), then back along the best ancestors.
// @param cost Columns x rows: transposed, so that a column lies in one piece.
std::vector<int> OpenPath(const cv::Mat1f& cost, int first, int n, const std::vector<float>& step, int start_row) {
  const int rows = cost.cols;
  cv::Mat1s from(n, rows, static_cast<short>(0));
  std::vector<float> sum(static_cast<std::size_t>(rows)), best(sum.size());
  std::vector<std::int32_t> arg(sum.size());
  for (int r = 0; r < rows; ++r) {
    const bool allowed = start_row < 0 || r == start_row;
    sum[static_cast<std::size_t>(r)] = allowed ? cost(first % cost.rows, r) : 4 * kForbidden;
  }
  for (int k = 1; k < n; ++k) {
    std::iota(arg.begin(), arg.end(), 0);
    BestAncestors(sum, step, &best, &arg);
    const float* own = cost[(first + k) % cost.rows];
    short* ancestors = from[k];
    for (int r = 0; r < rows; ++r) {
      sum[static_cast<std::size_t>(r)] = best[static_cast<std::size_t>(r)] + own[r];
      ancestors[r] = static_cast<short>(arg[static_cast<std::size_t>(r)]);
    }
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
  cv::Mat1f by_column;
  cv::transpose(cost, by_column);
  // Twice round with free ends: in the middle the ends are forgotten. The row found there is where the circle is
  // closed.
  const std::vector<int> twice = OpenPath(by_column, 0, 2 * n, step, -1);
  const int row = twice[static_cast<std::size_t>(n)];
  // n + 1 columns from column 0 back to column 0, starting and ending in that row.
  const std::vector<int> closed = OpenPath(by_column, 0, n + 1, step, row);
  return {closed.begin(), closed.end() - 1};
}

}  // namespace vision::bead
