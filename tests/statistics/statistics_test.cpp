#include <gtest/gtest.h>

#include <cmath>

#include "vision/base/range.h"
#include "vision/bore/stations.h"
#include "vision/statistics/around.h"
#include "vision/statistics/harmonics.h"
#include "vision/statistics/quantile.h"

namespace {

using vision::FirstOutside;
using vision::bore::kStationLine_deg;
using vision::bore::kStationLines;
namespace statistics = vision::statistics;

// By hand after the definition of "inverse of the step function, lower" (numpy.quantile, method="lower"; from memory).
TEST(Quantile, IsTheLowerValueOfTheTwoThatItsRankLiesBetween) {
  const std::vector<double> measured{3, 1, 4, 1, 5, 9, 2, 6};
  for (const auto& [share, expected] :
       {std::pair{0.0, 1.0}, {0.25, 1.0}, {0.4, 2.0}, {0.5, 3.0}, {0.75, 5.0}, {0.9, 6.0}, {1.0, 9.0}}) {
    std::vector<double> values = measured;
    EXPECT_EQ(statistics::QuantileInPlace(values, share), expected) << share;
  }
}

TEST(Quantile, OfNothingIsWhatTheCallerSays) {
  std::vector<double> none, three{7, 1, 2};
  EXPECT_EQ(statistics::MedianOr(none, -1.0), -1);
  EXPECT_EQ(statistics::MedianOr(three, -1.0), 2);
}

// Over equal steps of one turn the harmonics are orthogonal: n for the mean, n / 2 for each other one (Fourier).
TEST(Harmonics, AreOrthogonalOverTheStationLines) {
  Eigen::Matrix<double, 7, 7> sum = Eigen::Matrix<double, 7, 7>::Zero();
  for (int i = 0; i < kStationLines; ++i) {
    const auto row = statistics::Harmonics<3>(i * kStationLine_deg);
    sum += row * row.transpose();
  }
  Eigen::Matrix<double, 7, 7> expected = Eigen::Matrix<double, 7, 7>::Identity() * (kStationLines / 2.0);
  expected(0, 0) = kStationLines;
  EXPECT_LT((sum - expected).cwiseAbs().maxCoeff(), 1e-9);
  EXPECT_DOUBLE_EQ(statistics::Harmonics<2>(30)(4), std::sqrt(3) / 2);  // sin of 2 * 30 degrees
}

TEST(MedianAround, ClosesOnItselfAndSaysNothingWhereTooLittleIsKnown) {
  std::vector<double> values(12, 1);
  values[0] = 9, values[11] = 5, values[1] = 7;
  values[5] = values[6] = NAN;
  const auto median = statistics::MedianAround(values, 1, 2);
  EXPECT_EQ(median[0], 7) << "of 5, 9 and 7, across the seam";
  EXPECT_EQ(median[11], 5) << "of 1, 5 and 9";
  EXPECT_EQ(median[3], 1);
  EXPECT_TRUE(std::isnan(median[5]));
  EXPECT_TRUE(std::isnan(median[6]));
}

TEST(FirstOutside, NamesTheFieldItsValueAndItsRangeAndTakesNothingThatIsNoNumber) {
  EXPECT_FALSE(FirstOutside("SomeOptions", {{"a_mm", 1.0, 1, 2}, {"b", 2, 1, 2}}));
  const auto broken = FirstOutside("SomeOptions", {{"a_mm", 1.5, 1, 2}, {"b", 2.5, 1, 2}, {"c", 9, 1, 2}});
  ASSERT_TRUE(broken);
  EXPECT_EQ(broken->message, "SomeOptions::b is 2.5; it must be 1 to 2.");
  EXPECT_TRUE(FirstOutside("SomeOptions", {{"a_mm", std::nan(""), 1, 2}}));
}

}  // namespace
