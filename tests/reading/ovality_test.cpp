#include "vision/reading/ovality.h"

#include <gtest/gtest.h>

#include <cmath>

/// Truth: two measurements of one number, by hand. One of 0.3 mm about nothing and one of 0.15 mm about x give 0.8 x
/// with a variance of 0.018 mm2 (weights 1 to 4).
namespace vision::reading {
namespace {

pose::WallLevels Solved(double cos_mm, double sin_mm, double variance_mm2) {
  pose::WallLevels levels;
  levels.covariance.setIdentity();
  levels.c[6] = cos_mm, levels.c[7] = sin_mm;
  levels.covariance(6, 6) = levels.covariance(7, 7) = variance_mm2;
  return levels;
}

TEST(Ovality, IsWhatTheFramesSayWithoutWhatTheyWereHeldBy) {
  const auto told = OvalityOf(Solved(0.8 * 0.4, 0, 0.018), 0.3);
  ASSERT_TRUE(told);
  EXPECT_NEAR(told->difference_mm, 1.6, 1e-9);  // walls 0.4 mm in, above and below; 0.4 mm out at the sides
  EXPECT_NEAR(told->u_mm, 0.6, 1e-9);
  EXPECT_NEAR(told->widest_deg, 90, 1e-9);
  const auto turned = OvalityOf(Solved(0, -0.8 * 0.4, 0.018), 0.3);  // narrowest at 135 degrees
  ASSERT_TRUE(turned);
  EXPECT_NEAR(turned->widest_deg, 45, 1e-9);
}

TEST(Ovality, IsNotToldWhereFramesSayLessThanTheyWereHeldBy) {
  const double frames = 0.35 * 0.35, held = 0.3 * 0.3;
  EXPECT_FALSE(OvalityOf(Solved(0.1, 0, frames * held / (frames + held)), 0.3));
}

TEST(Ovality, ThatIsNotToldApartIsABound) {
  EXPECT_EQ(EnglishOf(SentenceOf({0.2, 0.15, 10})).find("The bore is round as far as the run-in tells"), 0U);
  EXPECT_NE(EnglishOf(SentenceOf({0.2, 0.15, 10})).find("less than 0.50 mm"), std::string::npos)
      << EnglishOf(SentenceOf({0.2, 0.15, 10}));
  EXPECT_EQ(EnglishOf(SentenceOf({1.5, 0.15, 10})).find("The bore is oval: its diameters differ by 1.50 mm"), 0U)
      << EnglishOf(SentenceOf({1.5, 0.15, 10}));
}

}  // namespace
}  // namespace vision::reading
