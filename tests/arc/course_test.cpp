#include "vision/arc/course.h"

#include <gmock/gmock.h>

#include <cmath>
#include <numbers>

#include "fixtures/scene/noise.h"
#include "fixtures/scene/weld_run.h"
#include "vision/bore/angle.h"

namespace vision::arc {
namespace {

using testing::HasSubstr;

constexpr double kRadius = 26;

/// A torch path made by the scene maker, told as samples: place with noise, light 1 while on and fading after.
std::vector<Sample> SamplesOf(const fixtures::scene::WeldRun& run, double per_second, double noise_mm) {
  std::vector<Sample> samples;
  for (long i = 0; i < static_cast<long>(run.duration_s() * per_second); ++i) {
    const double t = static_cast<double>(i) / per_second;
    const auto moment = run.At(t);
    const double level = moment.on ? std::sqrt(moment.power) : moment.since_off < 6 ? std::exp(-moment.since_off) : 0;
    const double off_mm = noise_mm * static_cast<double>(fixtures::scene::Normal(9, i));
    samples.push_back(
        {t, i, level > 0.02, bore::Wrap360(moment.theta_deg + off_mm / kRadius * bore::kDegPerRad), level, 0});
  }
  return samples;
}

fixtures::scene::WeldRunOptions PassOf(std::uint64_t seed, double sweep_deg, int dwells, int interrupts) {
  fixtures::scene::WeldRunOptions options;
  options.seed = seed;
  options.radius_mm = kRadius;
  options.sweep_deg = sweep_deg;
  options.dwells = dwells;
  options.interrupts = interrupts;
  return options;
}

TEST(Course, TellsWayStartEndSpeedAndOverlapOfAPath) {
  for (const std::uint64_t seed : {3U, 4U, 5U, 6U}) {
    const fixtures::scene::WeldRun run(PassOf(seed, 375, 0, 0));
    const auto course = Tell(SamplesOf(run, 10, 0.1), kRadius);
    ASSERT_TRUE(course.ok()) << course.error().message;
    EXPECT_EQ(course.value().clockwise, run.clockwise());
    ASSERT_EQ(course.value().burns.size(), 1U);
    EXPECT_NEAR(course.value().burns[0].from_s, run.start_s(), 0.2);
    EXPECT_NEAR(course.value().burns[0].to_s, run.end_s(), 0.2);
    EXPECT_NEAR(course.value().swept_deg, 375, 1.5);
    EXPECT_NEAR(course.value().overlap_deg, 15, 1.5);
    EXPECT_TRUE(course.value().stops.empty());
    const double travelled_mm = bore::ArcMm(375, kRadius), time_s = run.end_s() - run.start_s() - 0.9;
    EXPECT_NEAR(course.value().mean_speed_mm_min, 60 * travelled_mm / time_s, 0.03 * 60 * travelled_mm / time_s);
  }
}

TEST(Course, FindsEveryStopOfASecondAndNoOther) {
  for (std::uint64_t seed = 20; seed < 32; ++seed) {
    const fixtures::scene::WeldRun run(PassOf(seed, 200, 2, 1));
    const auto course = Tell(SamplesOf(run, 10, 0.1), kRadius);
    ASSERT_TRUE(course.ok());
    ASSERT_EQ(course.value().stops.size(), run.stops().size()) << "seed " << seed;
    for (std::size_t i = 0; i < run.stops().size(); ++i) {
      const auto &told = course.value().stops[i], &true_one = Stop{run.stops()[i].from_s, run.stops()[i].to_s,
                                                                   run.stops()[i].theta_deg, run.stops()[i].arc_on};
      EXPECT_EQ(told.arc_on, true_one.arc_on);
      EXPECT_NEAR(told.from_s, true_one.from_s, 0.6);
      EXPECT_NEAR(told.to_s, true_one.to_s, 0.6);
      EXPECT_NEAR(told.theta_deg - true_one.theta_deg, std::round((told.theta_deg - true_one.theta_deg) / 360) * 360,
                  2);
    }
  }
}

TEST(Course, AStopShorterThanAskedIsNotTold) {
  const fixtures::scene::WeldRun run(PassOf(20, 200, 2, 1));
  CourseOptions options;
  options.shortest_stop_s = 5;
  const auto course = Tell(SamplesOf(run, 10, 0.1), kRadius, options);
  ASSERT_TRUE(course.ok());
  EXPECT_TRUE(course.value().stops.empty());
}

TEST(Course, EachPlaceKnowsWhenItWasWeldedLast) {
  const fixtures::scene::WeldRun run(PassOf(7, 375, 0, 0));
  const auto course = Tell(SamplesOf(run, 10, 0.1), kRadius);
  ASSERT_TRUE(course.ok());
  for (double t = run.start_s() + 2; t < run.end_s() - 1; t += 7) {
    const auto moment = run.At(t);
    double again = t;  // where the weld laps over, the later pass counts
    for (double later = t + 5; later < run.end_s(); later += 0.02)
      if (std::abs(bore::Wrap180(run.At(later).theta_deg - moment.theta_deg)) < 0.05) again = later;
    EXPECT_NEAR(WeldedAt(course.value(), moment.theta_deg), again, 0.5);
  }
}

TEST(Course, WhereTheArcNeverWasThereIsNoTime) {
  const fixtures::scene::WeldRun run(PassOf(7, 90, 0, 0));
  const auto course = Tell(SamplesOf(run, 10, 0.1), kRadius);
  ASSERT_TRUE(course.ok());
  const double middle = run.At(0.5 * (run.start_s() + run.end_s())).theta_deg;
  EXPECT_TRUE(std::isfinite(WeldedAt(course.value(), middle)));
  EXPECT_TRUE(std::isnan(WeldedAt(course.value(), middle + 180)));
}

TEST(Course, SpeedIsInsideItsUncertainty) {
  int inside = 0, all = 0;
  for (std::uint64_t seed = 40; seed < 46; ++seed) {
    const fixtures::scene::WeldRun run(PassOf(seed, 200, 1, 0));
    const auto course = Tell(SamplesOf(run, 10, 0.15), kRadius);
    ASSERT_TRUE(course.ok());
    for (const auto& m : course.value().moments) {
      ++all;
      inside += std::abs(m.speed_mm_min - run.At(m.time_s).speed_mm_min) <= 2 * m.speed_u_mm_min;
    }
  }
  EXPECT_GT(inside, 0.9 * all);
  EXPECT_GT(all, 1000);
}

TEST(FollowPool, StaysWithTheDimmerLightThatTravelsNotTheBrighterThatLiesAndFades) {
  std::vector<Seen> seen;
  const auto place = [](double theta_deg, double level) { return LightPlace{theta_deg, level, 10, 0, true}; };
  for (long i = 0; i < 60; ++i) {
    const double pool_deg = bore::Wrap360(350 + 0.5 * static_cast<double>(i));  // 2.3 mm/s
    Seen one{0.1 * static_cast<double>(i), i, {place(pool_deg, 0.1)}};
    if (i % 10 >= 4 && i % 10 < 7) one.places.insert(one.places.begin(), place(bore::Wrap360(pool_deg + 90), 0.4));
    seen.push_back(one);
  }
  const auto samples = FollowPool(seen, kRadius);
  ASSERT_EQ(samples.size(), seen.size());
  for (std::size_t i = 0; i < samples.size(); ++i) {
    EXPECT_TRUE(samples[i].glows);
    EXPECT_NEAR(bore::Wrap180(samples[i].theta_deg - 350 - 0.5 * static_cast<double>(i)), 0, 1e-9) << i;
  }
}

TEST(Course, AGlintThatStaysAndSpatterThatJumpsAreNoArc) {
  std::vector<Sample> glint, spatter;
  for (long i = 0; i < 200; ++i) {
    const double t = 0.1 * static_cast<double>(i);
    glint.push_back({t, i, true, 200 + 0.2 * static_cast<double>(fixtures::scene::Normal(3, i)), 0.2, 0});
    spatter.push_back({t, i, true, bore::Wrap360(97.0 * static_cast<double>(i / 3)), 0.2, 0});
  }
  for (const auto& samples : {glint, spatter}) {
    const auto course = Tell(samples, kRadius);
    ASSERT_FALSE(course.ok());
    EXPECT_EQ(course.error().code, ErrorCode::kNotFound);
    EXPECT_THAT(course.error().message, HasSubstr("not measurable"));
  }
}

TEST(Course, AGlintElsewhereAfterTheArcIsOutIsNotWelding) {
  const fixtures::scene::WeldRun run(PassOf(7, 90, 0, 0));
  auto samples = SamplesOf(run, 10, 0.1);
  for (auto& sample : samples)
    if (sample.time_s > run.end_s())
      sample.theta_deg = bore::Wrap360(run.WeldedFrom(1e9) - 100), sample.level = 0.8, sample.glows = true;
  const auto course = Tell(samples, kRadius);
  ASSERT_TRUE(course.ok());
  ASSERT_EQ(course.value().burns.size(), 1U);
  EXPECT_NEAR(course.value().burns[0].to_s, run.end_s(), 0.2);
  EXPECT_NEAR(course.value().swept_deg, 90, 1.5);
  ASSERT_EQ(course.value().unsteady.size(), 1U);
}

TEST(Course, WhereSomethingElseShoneNoStopIsClaimed) {
  const fixtures::scene::WeldRun run(PassOf(7, 200, 0, 0));
  auto samples = SamplesOf(run, 10, 0.1);
  const double middle = 0.5 * (run.start_s() + run.end_s());
  for (auto& sample : samples)  // for four seconds a light that swings 20 mm to and fro
    if (std::abs(sample.time_s - middle) < 2)
      sample.theta_deg = bore::Wrap360(sample.theta_deg + 45 * std::sin(2 * std::numbers::pi * sample.time_s));
  const auto course = Tell(samples, kRadius);
  ASSERT_TRUE(course.ok());
  EXPECT_GE(course.value().unsteady.size(), 1U);
  EXPECT_TRUE(course.value().stops.empty());
}

TEST(Course, WithoutAnArcThereIsNone) {
  std::vector<Sample> dark;
  for (long i = 0; i < 100; ++i) dark.push_back({0.1 * static_cast<double>(i), i, false, 0, 0.01, 0});
  const auto course = Tell(dark, kRadius);
  ASSERT_FALSE(course.ok());
  EXPECT_EQ(course.error().code, ErrorCode::kNotFound);
  EXPECT_THAT(course.error().message, HasSubstr("no arc found"));
}

}  // namespace
}  // namespace vision::arc
