#pragma once

#include <algorithm>
#include <cassert>
#include <vector>

namespace vision {

/// The middle value, of an even number the upper of the two. Reorders `values`, which must not be empty nor hold NaN.
template <class T>
T MedianInPlace(std::vector<T>& values) {
  assert(!values.empty());
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

template <class T>
T Median(std::vector<T> values) {
  return MedianInPlace(values);
}

}  // namespace vision
