#include "vision/study/repeat.h"

#include <gmock/gmock.h>

#include <cmath>
#include <numbers>
#include <random>

namespace vision::study {
namespace {

using testing::HasSubstr;

constexpr int kLines = 720;

/// A closed curve with a shape of its own, read with noise of a known size by somebody with an offset of his own.
RepeatedReading Made(const std::string& who, double turn_deg, double noise, double offset, unsigned seed,
                     bool relative = false) {
  std::mt19937 random(seed);
  std::normal_distribution<double> draw(0, 1);
  RepeatedReading reading{who + std::to_string(seed), who, relative, {"width_mm"}, {{}}};
  for (int i = 0; i < kLines; ++i) {
    const double t = (0.5 * i - turn_deg) * std::numbers::pi / 180;
    const double shape = 5.5 + 0.4 * std::sin(t) + 0.25 * std::cos(3 * t) + 0.2 * std::sin(7 * t);
    reading.traces[0].value.push_back(shape + offset + noise * draw(random));
    reading.traces[0].u.push_back(0.01);
  }
  return reading;
}

// Statistics: five readings a line, 720 lines, noise 0.05: the pooled deviation is known to 1 / sqrt(2 * 4 * 720) = 1.3
// %.
TEST(StudyRepeats, FindsTheNoiseThatWasPutIn) {
  const auto report = StudyRepeats({Made("X", 0, 0.05, 0, 1), Made("X", 0, 0.05, 0, 2), Made("X", 0, 0.05, 0, 3),
                                    Made("X", 0, 0.05, 0, 4), Made("X", 0, 0.05, 0, 5)});
  ASSERT_TRUE(report.ok());
  const auto& width = report.value().quantities.at(0);
  EXPECT_EQ(width.lines, kLines);
  EXPECT_NEAR(width.pooled, 0.05, 0.05 * 0.05);
  EXPECT_GT(width.p95, width.median);
  EXPECT_NEAR(width.Expanded(), 2 * width.pooled, 1e-12);
  EXPECT_TRUE(width.study.empty());
  EXPECT_THAT(width.notes, testing::Contains(HasSubstr("two or more operators")));
}

TEST(StudyRepeats, LaysTurnedReadingsOnEachOther) {
  const auto turned = StudyRepeats({Made("X", 0, 0.02, 0, 1), Made("X", 4.5, 0.02, 0, 2)});
  ASSERT_TRUE(turned.ok());
  EXPECT_NEAR(turned.value().alignments[1].shift_deg, 4.5, 0.5);
  EXPECT_LT(turned.value().quantities[0].pooled, 0.025);
  const auto relative = StudyRepeats({Made("X", 0, 0.02, 0, 1), Made("X", 211, 0.02, 0, 2, true)});
  ASSERT_TRUE(relative.ok());
  EXPECT_NEAR(relative.value().alignments[1].shift_deg, 211 - 360, 0.5);
  EXPECT_LT(relative.value().quantities[0].pooled, 0.025);
}

TEST(StudyRepeats, DoesNotAlignWithoutShape) {
  auto flat = [](unsigned seed, bool relative) {
    auto reading = Made("X", 0, 0.05, 0, seed, relative);
    std::mt19937 random(seed);
    std::normal_distribution<double> draw(5, 0.05);
    for (auto& value : reading.traces[0].value) value = draw(random);
    return reading;
  };
  const auto known = StudyRepeats({flat(1, false), flat(2, false)});
  ASSERT_TRUE(known.ok());
  EXPECT_FALSE(known.value().alignments[1].used);
  EXPECT_EQ(known.value().alignments[1].shift_deg, 0);
  const auto unknown = StudyRepeats({flat(1, false), flat(2, true)});
  ASSERT_FALSE(unknown.ok());
  EXPECT_THAT(unknown.error().message, HasSubstr("up_theta_deg"));
}

// Two operators 0.2 apart (as a standard deviation of two: 0.2 / sqrt 2 = 0.141), noise 0.05.
TEST(StudyRepeats, TellsOperatorsFromNoise) {
  std::vector<RepeatedReading> readings;
  for (unsigned k = 0; k < 3; ++k) readings.push_back(Made("X", 0, 0.05, 0, 10 + k));
  for (unsigned k = 0; k < 3; ++k) readings.push_back(Made("Y", 0, 0.05, 0.2, 20 + k));
  for (std::size_t i = 0; i < 3; ++i) readings[1].traces[0].value[i] = std::nan("");
  RepeatOptions still;
  still.align_within_deg = 0;
  const auto report = StudyRepeats(readings, still);
  ASSERT_TRUE(report.ok());
  const auto& width = report.value().quantities.at(0);
  ASSERT_EQ(width.study.size(), 1u);
  EXPECT_EQ(width.study[0].parts, 23);
  EXPECT_THAT(width.notes, testing::Contains(HasSubstr("1 of 24 half-degree lines were left out")));
  EXPECT_NEAR(width.study[0].Quoted().operators, 0.141, 0.03);
  EXPECT_NEAR(width.study[0].Quoted().repeatability, 0.05, 0.01);
  EXPECT_NEAR(width.Expanded(), 2 * width.study[0].Quoted().gauge, 1e-12);
}

// What all readings have in common does not show in their spread: the stated uncertainty then counts.
TEST(StudyRepeats, NeverBelowWhatTheReadingsState) {
  auto a = Made("X", 0, 0.001, 0, 1), b = Made("X", 0, 0.001, 0, 2);
  for (auto* reading : {&a, &b}) reading->traces[0].u.assign(kLines, 0.07);
  EXPECT_NEAR(StudyRepeats({a, b}).value().quantities[0].Expanded(), 0.14, 1e-9);
}

TEST(StudyRepeats, RefusesWhatIsNotARepetition) {
  EXPECT_THAT(StudyRepeats({Made("X", 0, 0.01, 0, 1)}).error().message, HasSubstr("at least 2 readings"));
  auto other = Made("X", 0, 0.01, 0, 2);
  other.quantities = {"crown_height_mm"};
  EXPECT_FALSE(StudyRepeats({Made("X", 0, 0.01, 0, 1), other}).ok());
}

}  // namespace
}  // namespace vision::study
