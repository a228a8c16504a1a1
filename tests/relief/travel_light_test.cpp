#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "vision/relief/travel_samples.h"
#include "vision/relief/travel_shade.h"

/// The light that heights by travel are told from.
namespace vision::relief {
namespace {

/// Codes 10, 64, 128, 188 of 255 by IEC 61966-2-1, equations 5 and 6, worked out in Python.
TEST(LinearLight, FollowsTheDisplayCurveOfTheStandard) {
  cv::Mat3b picture(1, 3);
  picture(0, 0) = {200, 10, 10}, picture(0, 1) = {0, 64, 128}, picture(0, 2) = {0, 255, 188};
  cv::Mat1f blown;
  const cv::Mat1f light = LinearLight(picture, &blown);
  EXPECT_NEAR(light(0, 0), 0.00303527, 1e-7);  // blue does not count
  EXPECT_NEAR(light(0, 1), (0.05126946 + 0.21586050) / 2, 1e-7);
  EXPECT_NEAR(light(0, 2), (1 + 0.50288646) / 2, 1e-7);
  EXPECT_EQ(blown(0, 1), 0);
  EXPECT_EQ(blown(0, 2), 1);
}

TEST(LightAt, LiesBetweenTwoSamplesAndNowhereElse) {
  const std::vector<double> along{-1, -0.5, 0};
  EXPECT_NEAR(LightAt(along, {1, 3, 7}, -0.375), 4, 1e-6);
  EXPECT_TRUE(std::isnan(LightAt(along, {1, 3, 7}, -1.01)));
  EXPECT_TRUE(std::isnan(LightAt(along, {1, 3, 7}, 0.01)));
  EXPECT_TRUE(std::isnan(LightAt(along, {1, NAN, 7}, -0.9)));
}

Stand OneLamp(const Eigen::Vector3d& eye, const Eigen::Vector3d& lamp) { return {eye, {lamp}, {-lamp.normalized()}}; }

/// Lambert's cosine and the inverse square: matt metal lit at 60 degrees from twice as far has an eighth of the light.
TEST(ShadeAt, OfMattMetalFollowsLambert) {
  const Eigen::Vector3d normal(0, 0, 1), eye(0, 0, 30);
  const Gloss matt{0, 0.2};
  const double straight = ShadeAt({0, 0, 0}, normal, OneLamp(eye, {0, 0, 10}), matt, 0, 0);
  const double aside = ShadeAt({0, 0, 0}, normal, OneLamp(eye, {20 * std::sqrt(0.75), 0, 20 * 0.5}), matt, 0, 0);
  EXPECT_NEAR(straight, 1 / std::numbers::pi / 100, 1e-12);
  EXPECT_NEAR(straight / aside, 8, 1e-9);
}

/// Helmholtz: with lamp and eye exchanged the metal gives the same share of the light that reaches it.
TEST(ShadeAt, LampAndEyeMayBeExchanged) {
  const Eigen::Vector3d normal(0, 0, 1), one(6, 2, 8), other(-3, 5, 9);
  const Gloss gloss{0.7, 0.3};
  const auto share = [&](const Eigen::Vector3d& eye, const Eigen::Vector3d& lamp) {
    return ShadeAt({0, 0, 0}, normal, OneLamp(eye, lamp), gloss, 0, 0) * lamp.squaredNorm() /
           lamp.normalized().dot(normal);
  };
  EXPECT_NEAR(share(one, other), share(other, one), 1e-12);
}

/// ((1 + cos) / 2)^spread: half the light at right angles for spread 1, a quarter for 2.
TEST(LobesAt, FallWithTheAngleFromTheLampsAxis) {
  const Stand stand{{0, 0, 0}, {{0, 0, 0}}, {{0, 0, 1}}};
  EXPECT_NEAR(LobesAt({0, 0, 5}, stand, 2)[0], 1, 1e-12);
  EXPECT_NEAR(LobesAt({5, 0, 0}, stand, 1)[0], 0.5, 1e-12);
  EXPECT_NEAR(LobesAt({5, 0, 0}, stand, 2)[0], 0.25, 1e-12);
}

}  // namespace
}  // namespace vision::relief
