#include "vision/study/distribution.h"

#include <gmock/gmock.h>

#include <cmath>

namespace vision::study {
namespace {

// scipy 1.10: stats.norm.ppf, chi2.sf, f.sf, beta.ppf(.95, k + 1, n - k), chi2.ppf(.95, 2 (k + 1)) / 2.
TEST(Distribution, AgreesWithAnotherLibrary) {
  EXPECT_NEAR(NormalQuantile(0.95), 1.6448536269514722, 1e-9);
  EXPECT_NEAR(NormalQuantile(0.001), -3.090232306167813, 1e-9);
  EXPECT_NEAR(ChiSquareAbove(3.2, 1), 0.07363827012030258, 1e-9);
  EXPECT_NEAR(ChiSquareAbove(11.0, 8), 0.20169919870252867, 1e-9);
  EXPECT_NEAR(FAbove(0.434, 18, 60), 0.9740208028890078, 1e-9);
  EXPECT_NEAR(FAbove(2.5, 3, 7), 0.14350945627893927, 1e-9);
  EXPECT_NEAR(ShareUpperBound(3, 40, 0.95), 0.18258685001590122, 1e-9);
  EXPECT_NEAR(CountUpperBound(4, 0.95), 9.153519026637573, 1e-9);
  EXPECT_NEAR(CountUpperBound(0, 0.95), 2.9957322735539895, 1e-9);
}

// The gauge study's printed factors, AIAG Measurement Systems Analysis: K1 = 1 / d2 for 2 and 3 trials; K2 and K3 =
// 1 / d2* for 2 and 3 operators and for 10 parts (from memory, four digits).
TEST(RangeOfNormals, GivesThePrintedFactors) {
  EXPECT_NEAR(1 / RangeOfNormals(2).d2, 0.8862, 5e-5);
  EXPECT_NEAR(1 / RangeOfNormals(3).d2, 0.5908, 5e-5);
  EXPECT_NEAR(1 / RangeOfNormals(2).d2_star, 0.7071, 5e-5);
  EXPECT_NEAR(1 / RangeOfNormals(3).d2_star, 0.5231, 5e-5);
  EXPECT_NEAR(1 / RangeOfNormals(10).d2_star, 0.3146, 5e-5);
}

// "29 of 29": the fewest hits without a miss that show 90 % detection with 95 % confidence (0.9^29 = 0.047).
TEST(ShareUpperBound, TwentyNineOfTwentyNineShowNinetyPercent) {
  EXPECT_LT(ShareUpperBound(0, 29, 0.95), 0.1);
  EXPECT_GT(ShareUpperBound(0, 28, 0.95), 0.1);
  EXPECT_EQ(ShareUpperBound(5, 5, 0.95), 1);
}

}  // namespace
}  // namespace vision::study
