#pragma once

#include <algorithm>
#include <cassert>
#include <vector>

#include "vision/base/median.h"

namespace vision::statistics {

/// The value of rank floor(share * (n - 1)) from below: one that was measured, none in between. Reorders `values`,
/// which must not be empty nor hold NaN. @param share In [0, 1].
template <class T>
T QuantileInPlace(std::vector<T>& values, double share) {
  assert(!values.empty() && share >= 0 && share <= 1);
  const auto at = values.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
  std::nth_element(values.begin(), at, values.end());
  return *at;
}

/// As MedianInPlace; `otherwise` where there is no value.
template <class T>
T MedianOr(std::vector<T>& values, T otherwise) {
  return values.empty() ? otherwise : MedianInPlace(values);
}

}  // namespace vision::statistics
