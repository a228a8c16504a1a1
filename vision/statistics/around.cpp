#include "vision/statistics/around.h"

#include <cmath>
#include <limits>

#include "vision/base/median.h"

namespace vision::statistics {

std::vector<double> MedianAround(const std::vector<double>& values, int half, int least) {
  const int n = static_cast<int>(values.size());
  std::vector<double> out(values.size(), std::numeric_limits<double>::quiet_NaN()), window;
  for (int i = 0; i < n; ++i) {
    window.clear();
    for (int k = -half; k <= half; ++k) {
      const double value = values[static_cast<std::size_t>(((i + k) % n + n) % n)];
      if (std::isfinite(value)) window.push_back(value);
    }
    if (!window.empty() && static_cast<int>(window.size()) >= least)
      out[static_cast<std::size_t>(i)] = MedianInPlace(window);
  }
  return out;
}

}  // namespace vision::statistics
