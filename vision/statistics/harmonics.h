#pragma once

#include <Eigen/Core>
#include <cmath>
#include <numbers>

namespace vision::statistics {

/// What a smooth function round the bore is a sum of: 1, cos t, sin t, cos 2t, sin 2t ... up to `kHighest` turns.
template <int kHighest>
Eigen::Matrix<double, 2 * kHighest + 1, 1> Harmonics(double theta_deg) {
  Eigen::Matrix<double, 2 * kHighest + 1, 1> row;
  row(0) = 1;
  for (int k = 1; k <= kHighest; ++k) {
    row(2 * k - 1) = std::cos(k * theta_deg * (std::numbers::pi / 180));
    row(2 * k) = std::sin(k * theta_deg * (std::numbers::pi / 180));
  }
  return row;
}

}  // namespace vision::statistics
