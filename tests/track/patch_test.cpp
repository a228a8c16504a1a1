#include "vision/track/patch.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

namespace vision::track {
namespace {

/// A drawing by formula, shifted by (x, y) cells, gained and lifted, with white noise.
cv::Mat1f Drawn(double x, double y, double gain, double lift, double noise, unsigned seed) {
  cv::Mat1f picture(80, 80);
  std::mt19937 random(seed);
  std::normal_distribution<double> white(0, noise);
  for (int v = 0; v < 80; ++v)
    for (int u = 0; u < 80; ++u) {
      const double a = u - x, b = v - y;
      const double drawing =
          std::sin(0.31 * a + 0.12 * b) + std::sin(0.17 * b - 0.23 * a + 1) + std::cos(0.42 * b + 0.05 * a);
      picture(v, u) = static_cast<float>(gain * 0.1 * drawing + lift + white(random));
    }
  return picture;
}

const cv::Rect kPatch(28, 28, 24, 24);

TEST(MatchPatch, FindsAShiftBetweenCellsWhateverGainAndBrightness) {
  const auto match = MatchPatch(Drawn(0, 0, 1, 0, 0, 1), Drawn(3.37, -2.41, 0.6, 0.2, 0, 1), kPatch, 6, 0.7, 1);
  ASSERT_TRUE(match);
  EXPECT_NEAR(match->shift.x(), 3.37, 0.03);  // bilinear sampling of the drawing leaves this much
  EXPECT_NEAR(match->shift.y(), -2.41, 0.03);
  EXPECT_GT(match->correlation, 0.98);
}

TEST(MatchPatch, WhatItCannotMatchIsNone) {
  EXPECT_FALSE(MatchPatch(Drawn(0, 0, 1, 0, 0, 1), Drawn(8.5, 0, 1, 0, 0, 1), kPatch, 6, 0.9, 1)) << "out of reach";
  EXPECT_FALSE(MatchPatch(Drawn(0, 0, 1, 0, 0, 1), Drawn(6.3, 0, 1, 0, 0, 1), kPatch, 6, 0.7, 1))
      << "best at the edge of the reach: beyond may be better";
  EXPECT_FALSE(MatchPatch(Drawn(0, 0, 1, 0, 0, 1), Drawn(0, 0, 0, 0, 0.1, 2), kPatch, 6, 0.7, 1)) << "noise alone";
}

/// 300 seeded draws of white noise on the moving picture; the scatter of the shift against what is stated.
TEST(MatchPatch, StatedCovarianceAgreesWithMonteCarlo) {
  const cv::Mat1f fixed = Drawn(0, 0, 1, 0, 0, 1);
  double scatter = 0, stated = 0, mean = 0;
  constexpr int kDraws = 300;
  std::vector<double> found;
  for (unsigned seed = 1; seed <= kDraws; ++seed) {
    const auto match = MatchPatch(fixed, Drawn(2, 1, 1, 0, 0.02, seed), kPatch, 5, 0.7, 1);
    ASSERT_TRUE(match);
    found.push_back(match->shift.x());
    mean += match->shift.x() / kDraws;
    stated += match->covariance(0, 0) / kDraws;
  }
  for (const double x : found) scatter += (x - mean) * (x - mean) / (kDraws - 1);
  EXPECT_NEAR(mean, 2, 0.02);
  EXPECT_NEAR(std::sqrt(scatter / stated), 1, 0.2);  // 4 % of that is the number of draws
}

}  // namespace
}  // namespace vision::track
