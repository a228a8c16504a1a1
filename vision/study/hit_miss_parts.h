#pragma once

#include <cmath>
#include <vector>

#include "vision/study/hit_miss.h"

/// Shared by the fit and its bounds.
namespace vision::study {

inline double Logit(double p) { return std::log(p / (1 - p)); }
inline double Scaled(double size, SizeScale scale) { return scale == SizeScale::kLog ? std::log(size) : size; }
inline double Unscaled(double s, SizeScale scale) { return scale == SizeScale::kLog ? std::exp(s) : s; }

/// log(1 + exp(x)) without overflow.
inline double SoftPlus(double x) { return x > 0 ? x + std::log1p(std::exp(-x)) : std::log1p(std::exp(x)); }

inline double LogLikelihood(const std::vector<Target>& targets, SizeScale scale, double b0, double b1) {
  double sum = 0;
  for (const auto& target : targets) {
    const double eta = b0 + b1 * Scaled(target.size, scale);
    sum += (target.hit ? eta : 0) - SoftPlus(eta);
  }
  return sum;
}

}  // namespace vision::study
