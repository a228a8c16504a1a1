#include "vision/evidence/along_ring.h"

#include <gmock/gmock.h>

#include <cmath>
#include <vector>

#include "vision/evidence/evidence.h"

namespace vision::evidence {
namespace {

constexpr int kFew = 3;  ///< Bins, in the tests by hand.

/// Chance of the step, as the header tells it, for bins that all lie within reach of each other.
double Step(int from, int to, double bin_mm, const AlongRingOptions& o) {
  const int reach = static_cast<int>(std::lround(o.reach_mm / bin_mm));
  double all = 0;
  for (int k = -reach; k <= reach; ++k) all += std::exp(-std::abs(k) * bin_mm / o.wander_mm);
  const auto chance = [&](int k) {
    return (1 - o.jump) * std::exp(-std::abs(k) * bin_mm / o.wander_mm) / all + o.jump / (2 * reach + 1);
  };
  double sum = 0;
  for (int k = 0; k < kFew; ++k) sum += chance(k - from);
  return chance(to - from) / sum;
}

/// Every way round the ring weighed by its steps and its lines' chances, summed by place: no recursion.
cv::Mat1d AllWays(const cv::Mat1f& chance, double bin_mm, const AlongRingOptions& o) {
  cv::Mat1d out(chance.size(), 0.0);
  const int ways = static_cast<int>(std::pow(kFew, chance.rows));
  for (int way = 0; way < ways; ++way) {
    std::vector<int> at;
    for (int rest = way; static_cast<int>(at.size()) < chance.rows; rest /= kFew) at.push_back(rest % kFew);
    double weight = 1;
    for (std::size_t k = 0; k < at.size(); ++k)
      weight *=
          static_cast<double>(chance(static_cast<int>(k), at[k])) * Step(at[k], at[(k + 1) % at.size()], bin_mm, o);
    for (std::size_t k = 0; k < at.size(); ++k) out(static_cast<int>(k), at[k]) += weight;
  }
  for (int line = 0; line < out.rows; ++line) out.row(line) /= cv::sum(out.row(line))[0];
  return out;
}

// One line is sure, which cuts the ring open: there forward and backward is exact.
TEST(AlongRing, IsTheSumOverAllWaysRound) {
  const cv::Mat1f chance =
      (cv::Mat1f(5, kFew) << 0.6, 0.3, 0.1, 0.45, 0.1, 0.45, 1, 0, 0, 0.2, 0.5, 0.3, 0.4, 0.4, 0.2);
  const AlongRingOptions all{.wander_mm = 0.5, .jump = 0.02, .weight = 1};
  const cv::Mat1f ring = AlongRing(chance, std::vector<double>(5, 0.0), 0.4, all);
  const cv::Mat1d ways = AllWays(chance, 0.4, all);
  for (int line = 0; line < chance.rows; ++line)
    for (int bin = 0; bin < kFew; ++bin)
      EXPECT_NEAR(static_cast<double>(ring(line, bin)), ways(line, bin), 2e-4) << line << " " << bin;
}

cv::Mat1f At(int bin) {
  cv::Mat1f chance(kLines, kBins, 0.0F);
  chance.col(bin).setTo(1);
  return chance;
}

TEST(AlongRing, ALineWithTwoPlacesTakesItsNeighboursAndAcrossTheSeamToo) {
  cv::Mat1f chance = At(60);
  for (const int line : {0, 1, 719, 300}) chance(line, 60) = 0.4F, chance(line, 90) = 0.6F;
  const cv::Mat1f ring = AlongRing(chance, std::vector<double>(kLines, 0.0), kBin_mm);
  for (const int line : {0, 719, 300}) EXPECT_GT(ring(line, 60), 0.6F) << line;
  EXPECT_NEAR(cv::sum(ring.row(300))[0], 1, 1e-5);
}

TEST(AlongRing, HiddenNeighboursTellNothing) {
  std::vector<double> hidden(kLines, 1.0);
  hidden[300] = 0;
  cv::Mat1f told[2] = {At(60), At(90)};
  for (auto& chance : told) {
    chance.row(300).setTo(0);
    chance(300, 60) = 0.4F, chance(300, 90) = 0.6F;
    chance = AlongRing(chance, hidden, kBin_mm);
  }
  EXPECT_NEAR(static_cast<double>(told[0](300, 60)), static_cast<double>(told[1](300, 60)), 1e-5);
  EXPECT_GT(told[0](300, 90), told[0](300, 60));
}

TEST(AlongRing, AStepThatAllLinesBesideItTellStays) {
  cv::Mat1f chance = At(60);
  chance.rowRange(200, 400).setTo(0), chance.rowRange(200, 400).col(70).setTo(1);
  const cv::Mat1f ring = AlongRing(chance, std::vector<double>(kLines, 0.0), kBin_mm);
  for (const int line : {195, 404}) EXPECT_GT(ring(line, 60), 0.7F) << line;
  for (const int line : {205, 394}) EXPECT_GT(ring(line, 70), 0.7F) << line;
}

TEST(AlongRingOptions, NameTheFieldThatCannotBe) {
  const auto message = [](AlongRingOptions o) { return o.Check() ? o.Check()->message : std::string(); };
  EXPECT_EQ(message({}), "");
  EXPECT_THAT(message({.wander_mm = 0}), testing::HasSubstr("wander_mm"));
  EXPECT_THAT(message({.jump = 1}), testing::HasSubstr("jump"));
  EXPECT_THAT(message({.reach_mm = 13}), testing::HasSubstr("reach_mm"));
  EXPECT_THAT(message({.weight = std::nan("")}), testing::HasSubstr("weight"));
}

}  // namespace
}  // namespace vision::evidence
