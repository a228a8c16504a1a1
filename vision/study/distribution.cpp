#include "vision/study/distribution.h"

#include <cmath>
#include <numbers>
#include <unsupported/Eigen/SpecialFunctions>
#include <vector>

namespace vision::study {
namespace {

double NormalBelow(double x) { return 0.5 * std::erfc(-x / std::numbers::sqrt2); }

/// Root of a function that rises from below zero to above it in [low, high].
template <class F>
double Rising(F f, double low, double high) {
  for (int i = 0; i < 200 && high - low > 1e-14 * (1 + std::abs(high)); ++i) {
    const double middle = 0.5 * (low + high);
    (f(middle) < 0 ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

}  // namespace

double NormalQuantile(double p) {
  return Rising([p](double x) { return NormalBelow(x) - p; }, -40, 40);
}

double ChiSquareAbove(double x, double freedom) {
  return x <= 0 ? 1.0 : Eigen::numext::igammac(0.5 * freedom, 0.5 * x);
}

double FAbove(double f, double freedom_above, double freedom_below) {
  if (f <= 0) return 1;
  return Eigen::numext::betainc(0.5 * freedom_below, 0.5 * freedom_above,
                                freedom_below / (freedom_below + freedom_above * f));
}

RangeConstants RangeOfNormals(int n) {
  constexpr double kEnd = 8, kStep = 0.04;
  const int steps = static_cast<int>(2 * kEnd / kStep);
  std::vector<double> below;
  for (int i = 0; i <= steps; ++i) below.push_back(NormalBelow(-kEnd + i * kStep));
  double mean = 0, square = 0;
  for (int i = 0; i <= steps; ++i) {
    const auto x = below[static_cast<std::size_t>(i)];
    mean += kStep * (1 - std::pow(x, n) - std::pow(1 - x, n));
    for (int j = i; j <= steps; ++j) {  // P(least <= x, greatest > y) for x < y
      const auto y = below[static_cast<std::size_t>(j)];
      const double both = 1 - std::pow(y, n) - std::pow(1 - x, n) + std::pow(y - x, n);
      square += 2 * kStep * kStep * both * (i == j ? 0.5 : 1.0);
    }
  }
  return {mean, std::sqrt(square)};
}

double ShareUpperBound(int found, int tried, double confidence) {
  if (found >= tried) return 1;
  const double a = found + 1.0, b = tried - found;
  return Rising([=](double p) { return Eigen::numext::betainc(a, b, p) - confidence; }, 0, 1);
}

double CountUpperBound(int count, double confidence) {
  return Rising([=](double mean) { return Eigen::numext::igamma(count + 1.0, mean) - confidence; }, 0,
                20.0 + 3.0 * count);
}

}  // namespace vision::study
