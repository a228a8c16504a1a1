#pragma once

namespace vision::study {

/// The number below which a standard normal lies with probability p, p in (0, 1). By bisection of std::erfc.
double NormalQuantile(double p);

/// Probability that chi-square with `freedom` degrees is above x.
double ChiSquareAbove(double x, double freedom);

/// Probability that F with the given degrees of freedom is above f.
double FAbove(double f, double freedom_above, double freedom_below);

/// Mean of the range of n standard normal draws (d2) and the root of its mean square (d2*, one subgroup).
/// Integrals of order statistics: Tippett, Biometrika 17 (1925) 364; d2* after Duncan.
struct RangeConstants {
  double d2 = 0, d2_star = 0;
};
RangeConstants RangeOfNormals(int n);

/// Upper bound, with the given confidence, on the share of which `found` of `tried` were seen (Clopper and Pearson,
/// Biometrika 26 (1934) 404, one-sided).
double ShareUpperBound(int found, int tried, double confidence);

/// Upper bound, with the given confidence, on the mean of a Poisson count of which `count` was seen (Garwood,
/// Biometrika 28 (1936) 437, one-sided).
double CountUpperBound(int count, double confidence);

}  // namespace vision::study
