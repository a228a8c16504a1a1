#include <gtest/gtest.h>

#include <cmath>

#include "vision/study/hit_miss_parts.h"

/// The parts that a probability of detection is made of, against closed forms.
namespace vision::study {
namespace {

/// log(1 + exp(-40)) and ln 9 with 17 digits from Python's math.
TEST(SoftPlus, NeitherOverflowsNorLosesWhatIsSmall) {
  EXPECT_NEAR(SoftPlus(0), std::log(2.0), 1e-15);
  EXPECT_NEAR(SoftPlus(-40) / 4.248354255291589e-18, 1, 1e-12);
  EXPECT_EQ(SoftPlus(800), 800);
  EXPECT_NEAR(SoftPlus(3) - SoftPlus(-3), 3, 1e-14);
  EXPECT_NEAR(Logit(0.9), 2.1972245773362196, 1e-15);
}

PodFit Fit(SizeScale scale, double b0, double b1) {
  PodFit fit;
  fit.options.scale = scale, fit.b0 = b0, fit.b1 = b1;
  fit.covariance << 0.04, 0, 0, 0.01;
  return fit;
}

/// On the log scale the odds are a power of the size: s^2 / e^4 here.
TEST(PodFit, OddsOnTheLogScaleAreAPowerOfTheSize) {
  const PodFit fit = Fit(SizeScale::kLog, -4, 2);
  for (const double size : {0.5, 1.0, std::exp(2.0), 20.0}) {
    const double odds = size * size / std::exp(4.0);
    EXPECT_NEAR(fit.Probability(size), odds / (1 + odds), 1e-14) << size;
  }
  EXPECT_NEAR(Fit(SizeScale::kLinear, -4, 2).Probability(2), 0.5, 1e-15);
}

/// The larger root of (2 s - 4 - ln 9)^2 = 1.6448536^2 (0.04 + 0.01 s^2), solved in Python.
TEST(WaldBound, IsWhereTheBandMeetsTheDetectionAskedFor) {
  const auto bound = WaldBound(Fit(SizeScale::kLinear, -4, 2), 0.9);
  ASSERT_TRUE(bound);
  EXPECT_NEAR(*bound, 3.4247868563255275, 1e-9);
  EXPECT_FALSE(WaldBound(Fit(SizeScale::kLinear, -4, 0.1), 0.9)) << "a slope that may be none has no bound";
}

/// Two targets by hand: ln p(hit) + ln(1 - p(missed)).
TEST(LogLikelihood, IsTheSumOfTheTargets) {
  const double hit = 1 / (1 + std::exp(-1.0)), missed = 1 / (1 + std::exp(2.0));
  EXPECT_NEAR(LogLikelihood({{2.5, true}, {1, false}}, SizeScale::kLinear, -4, 2), std::log(hit) + std::log1p(-missed),
              1e-14);
}

}  // namespace
}  // namespace vision::study
