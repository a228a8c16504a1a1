#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstring>
#include <opencv2/core.hpp>

#include "fixtures/scene/noise.h"
#include "tests/scene/small_scene.h"

namespace fixtures::scene {
namespace {

bool SameBytes(const cv::Mat& a, const cv::Mat& b) {
  return a.size() == b.size() && std::memcmp(a.data, b.data, a.total() * a.elemSize()) == 0;
}

TEST(Render, SameSeedGivesTheSameBytes) {
  EXPECT_TRUE(SameBytes(RenderFirst(SmallScenario("unfused_mixed", 5)).bgr,
                        RenderFirst(SmallScenario("unfused_mixed", 5)).bgr));
}

TEST(Render, AnotherSeedGivesAnotherPicture) {
  auto scenario = SmallScenario("unfused_mixed", 5);
  const Frame first = RenderFirst(scenario);
  scenario.scene.seed = 6;  // the same sizes and place, other wander, grain and noise
  EXPECT_FALSE(SameBytes(first.bgr, RenderFirst(scenario).bgr));
}

TEST(Render, OneThreadAndEightGiveTheSameBytes) {
  const auto scenario = SmallScenario("half_melted", 7);
  const int before = cv::getNumThreads();
  cv::setNumThreads(1);
  const Frame one = RenderFirst(scenario, 1);
  cv::setNumThreads(8);
  const Frame eight = RenderFirst(scenario, 8);
  cv::setNumThreads(before);
  EXPECT_TRUE(SameBytes(one.bgr, eight.bgr));
}

TEST(Render, EveryLensGivesAWallAndADarkFarEnd) {
  for (const std::string lens : {"equidistant", "kannala_brandt", "pinhole", "omni"}) {
    const Frame frame = RenderFirst(SmallScenario("fused", 3, lens));
    const double middle = cv::mean(frame.bgr(cv::Rect(156, 116, 8, 8)))[1];
    const double wall = cv::mean(frame.bgr(cv::Rect(80, 116, 8, 8)))[1];
    EXPECT_GT(wall, 2 * middle) << lens;
    EXPECT_GT(wall, 40) << lens;
  }
}

TEST(Render, TheGainPutsTheWallOnTarget) {
  auto scenario = SmallScenario("bare", 4);
  scenario.scene.sensor.blur_px = scenario.scene.sensor.bloom = scenario.scene.sensor.vignette = 0;
  scenario.scene.sensor.target = 0.2;
  const Frame frame = RenderFirst(scenario);
  std::vector<double> linear;  // back through IEC 61966-2-1 by hand
  const auto& lens = scenario.views.front().lens;
  for (int v = 0; v < 240; ++v)
    for (int u = 0; u < 320; ++u) {
      if (!lens.Sees({u, v})) continue;
      double sum = 0;
      for (int c = 0; c < 3; ++c) sum += std::pow((frame.bgr(v, u)[c] / 255.0 + 0.055) / 1.055, 2.4) / 3;
      linear.push_back(sum);
    }
  std::nth_element(linear.begin(), linear.begin() + static_cast<std::ptrdiff_t>(linear.size() * 4 / 5), linear.end());
  EXPECT_NEAR(linear[linear.size() * 4 / 5], 0.203, 0.006);  // target plus the black level of 0.003
}

/// Flat light of known level through the sensor: mean and standard deviation against the stated noise model
/// sigma^2 = shot^2 * level + read^2, carried through the slope of the display curve (worked here by hand).
TEST(Expose, NoiseHasTheStatedStandardDeviation) {
  View view;
  view.lens = TypicalLens("equidistant", 400, 400).value();
  SensorOptions sensor;
  sensor.gain = 1;
  sensor.vignette = sensor.bloom = sensor.blur_px = 0;
  sensor.shot_noise = 0.03;
  sensor.read_noise = 0.004;
  constexpr double kLevel = 0.25;
  const Radiance light{cv::Mat3f(400, 400, cv::Vec3f::all(0.25F)), cv::Mat1f(400, 400, -1.0F)};
  const Frame frame = Expose(light, view, sensor, 9);
  cv::Scalar mean, deviation;
  cv::meanStdDev(frame.bgr, mean, deviation);
  const double sigma = std::sqrt(0.03 * 0.03 * kLevel + 0.004 * 0.004);
  const double slope = 255 * 1.055 / 2.4 * std::pow(kLevel + 0.003, 1 / 2.4 - 1);
  const double rounding = 1.0 / 12;
  for (int c = 0; c < 3; ++c) {
    EXPECT_NEAR(mean[c], 255 * (1.055 * std::pow(kLevel + 0.003, 1 / 2.4) - 0.055), 0.15);
    EXPECT_NEAR(deviation[c], std::sqrt(slope * sigma * slope * sigma + rounding), 0.1);
  }
}

TEST(Noise, NormalDrawsHaveTheMomentsOfANormal) {
  double sum = 0, square = 0, fourth = 0;
  constexpr int kDraws = 200000;
  for (int i = 0; i < kDraws; ++i) {
    const double x = static_cast<double>(Normal(1, i, 17));
    sum += x, square += x * x, fourth += x * x * x * x;
  }
  EXPECT_NEAR(sum / kDraws, 0, 5 / std::sqrt(kDraws));
  EXPECT_NEAR(square / kDraws, 1, 5 * std::sqrt(2.0 / kDraws));
  EXPECT_NEAR(fourth / kDraws, 3, 5 * std::sqrt(96.0 / kDraws));
}

TEST(Noise, ValueNoiseClosesAroundTheBore) {
  for (double y : {0.1, 3.7, -8.2}) EXPECT_FLOAT_EQ(ValueNoise(3, 0.4, y, 50), ValueNoise(3, 50.4, y, 50));
}

TEST(Options, BrokenFieldsAreNamed) {
  SceneOptions options;
  EXPECT_NE(options.Check()->message.find("radius_mm"), std::string::npos);
  options.radius_mm = 40;
  EXPECT_FALSE(options.Check());
  options.bead.width_mm = std::nan("");
  EXPECT_NE(options.Check()->message.find("bead.width_mm"), std::string::npos);
  ScenarioOptions scenario;
  scenario.kind = "molten";
  EXPECT_NE(scenario.Check()->message.find("molten"), std::string::npos);
  scenario.kind = "fused";
  scenario.travel_mm = 0;
  EXPECT_NE(scenario.Check()->message.find("travel_mm"), std::string::npos);
}

TEST(Options, APushTravelsAsFarAsAskedAndStandsAsideAndLeansAsMuch) {
  ScenarioOptions asked;
  asked.frames = 5;
  asked.travel_mm = 37;
  asked.aside = 0.3;
  asked.tilt_deg = 8;
  const auto scenario = MakeScenario(asked);
  ASSERT_TRUE(scenario.ok());
  const auto& first = scenario.value().views.front().bore_from_cam;
  const auto& last = scenario.value().views.back().bore_from_cam;
  EXPECT_NEAR(last.translation_mm.z() - first.translation_mm.z(), 37, 1e-9);
  EXPECT_NEAR(last.translation_mm.head<2>().norm(), 0.3 * scenario.value().scene.radius_mm, 0.25);  // sways by 0.15
  EXPECT_NEAR(last.tilt_deg(), 8, 0.3);
}

}  // namespace
}  // namespace fixtures::scene
