#include "vision/match/around.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace vision::match {
namespace {

/// Shifts that go as 0.4 + 0.3 cos - 0.2 sin 2 along z and 0.1 - 0.25 sin around.
std::vector<AroundSample> Samples(int count) {
  std::vector<AroundSample> samples;
  for (int i = 0; i < count; ++i) {
    const double theta_deg = 360.0 * i / count, t = theta_deg * std::numbers::pi / 180;
    samples.push_back({theta_deg, 0.1 - 0.25 * std::sin(t), 0.4 + 0.3 * std::cos(t) - 0.2 * std::sin(2 * t), 0.9});
  }
  return samples;
}

/// Every sixth patch found another scratch, 3 mm off: as if it were not there.
TEST(FitAround, FindsTheShiftsThatTheSamplesWereMadeOf) {
  auto samples = Samples(48);
  for (std::size_t i = 0; i < samples.size(); i += 6) samples[i].z_mm += 3, samples[i].arc_mm -= 2;
  AroundBore arc, z;
  std::vector<AroundSample> kept;
  ASSERT_TRUE(FitAround(samples, &arc, &z, &kept));
  EXPECT_EQ(kept.size(), 40u);
  for (const AroundSample& sample : Samples(17)) {
    EXPECT_NEAR(arc.At(sample.theta_deg), sample.arc_mm, 0.01) << sample.theta_deg;
    EXPECT_NEAR(z.At(sample.theta_deg), sample.z_mm, 0.01) << sample.theta_deg;
  }
}

TEST(FitAround, ASmoothShiftOverHalfTheRingDoesNotSwingInTheOther) {
  auto samples = Samples(48);
  samples.resize(24);
  for (AroundSample& sample : samples) sample.z_mm = 0.5, sample.arc_mm = 0;
  AroundBore arc, z;
  std::vector<AroundSample> kept;
  ASSERT_TRUE(FitAround(samples, &arc, &z, &kept));
  for (double theta_deg = 180; theta_deg < 360; theta_deg += 15) EXPECT_NEAR(z.At(theta_deg), 0.5, 0.05) << theta_deg;
}

TEST(FitAround, TooFewThatAgreeAreNoFit) {
  AroundBore arc, z;
  std::vector<AroundSample> kept;
  EXPECT_FALSE(FitAround(Samples(7), &arc, &z, &kept));
  auto scattered = Samples(12);
  for (std::size_t i = 0; i < scattered.size(); ++i) scattered[i].z_mm = static_cast<double>(i * i % 7) * 2;
  EXPECT_FALSE(FitAround(scattered, &arc, &z, &kept));
}

}  // namespace
}  // namespace vision::match
