#include "vision/reading/bound.h"

#include <gmock/gmock.h>

#include <cmath>

#include "vision/reading/measure.h"

namespace vision::reading {
namespace {

/// Crown 1 mm and concavity 0.3 mm all round; known to 0.05 mm (k = 1), and from 350 to 10 degrees to 0.2 mm.
Reading ByLight() {
  Reading reading;
  auto& p = reading.profile;
  p.Resize(720);
  for (std::size_t i = 0; i < 720; ++i) {
    const double u = p.theta_deg[i] < 10 || p.theta_deg[i] >= 350 ? 0.2 : 0.05;
    p.crown_height_mm[i] = p.crown_over_left_mm[i] = p.crown_over_right_mm[i] = 1;
    p.concavity_mm[i] = p.concavity_under_left_mm[i] = p.concavity_under_right_mm[i] = 0.3;
    p.crown_height_u_mm[i] = p.concavity_u_mm[i] = u;
    p.misalignment_mm[i] = p.misalignment_u_mm[i] = 0.1;
  }
  reading.height_by = "light_section";
  return reading;
}

TEST(HoldStepToPixel, TakesAStepByParallaxBackWhereThePictureIsTooCoarse) {
  Reading reading = ByLight();
  reading.strip.resolution_mm = 0.44;
  HoldStepToPixel(reading);
  EXPECT_EQ(reading.profile.misalignment_mm[7], 0.1);
  EXPECT_TRUE(reading.why.empty());
  reading.strip.resolution_mm = 0.46;
  reading.profile.misalignment_mm[3] = NAN;  // not stated before: nothing to take back, nothing to say
  HoldStepToPixel(reading);
  EXPECT_TRUE(std::isnan(reading.profile.misalignment_mm[7]) && std::isnan(reading.profile.misalignment_u_mm[7]));
  EXPECT_EQ(reading.profile.crown_height_mm[7], 1);
  ASSERT_EQ(reading.why.size(), 1u);
  EXPECT_EQ(reading.why[0].what, "misalignment_mm");
  EXPECT_DOUBLE_EQ(reading.why[0].start_deg, 2);
  EXPECT_DOUBLE_EQ(reading.why[0].end_deg, 1.5);
  EXPECT_THAT(reading.why[0].reason, testing::HasSubstr("0.45 mm"));
}

TEST(HoldToBound, TakesBackOnlyWhatIsLessCertainAndSaysWhere) {
  Reading reading = ByLight();
  HoldToBound({0.3, 0.5}, reading);
  const auto& p = reading.profile;
  EXPECT_TRUE(std::isnan(p.crown_height_mm[719]) && std::isnan(p.crown_height_mm[0]));
  EXPECT_TRUE(std::isnan(p.crown_over_left_mm[19]) && std::isnan(p.crown_over_right_mm[19]));
  EXPECT_TRUE(std::isnan(p.crown_height_u_mm[5]));
  EXPECT_EQ(p.crown_height_mm[20], 1);
  EXPECT_EQ(p.concavity_mm[0], 0.3) << "2 * 0.2 mm is below 0.5 mm";
  EXPECT_EQ(p.misalignment_mm[0], 0.1);
  EXPECT_EQ(reading.height_by, "light_section");
  ASSERT_EQ(reading.why.size(), 1u);
  EXPECT_EQ(reading.why[0].what, "crown_height_mm");
  EXPECT_DOUBLE_EQ(reading.why[0].start_deg, 350);
  EXPECT_DOUBLE_EQ(reading.why[0].end_deg, 10);
  EXPECT_THAT(reading.why[0].reason, testing::HasSubstr("0.30 mm"));
}

TEST(HoldToBound, ABoundJustReachedIsNotBelowIt) {
  Reading reading = ByLight();
  HoldToBound({0.1, 0.1}, reading);
  EXPECT_TRUE(std::isnan(reading.profile.crown_height_mm[300])) << "2 * 0.05 mm is not below 0.1 mm";
  EXPECT_TRUE(std::isnan(reading.profile.concavity_under_left_mm[300]));
  EXPECT_FALSE(reading.height_by) << "no height is left";
  ASSERT_EQ(reading.why.size(), 2u);
  EXPECT_DOUBLE_EQ(reading.why[1].end_deg, 360);
}

TEST(HoldToBound, WithoutABoundEverythingStays) {
  Reading reading = ByLight();
  HoldToBound({}, reading);
  EXPECT_EQ(reading.profile.crown_height_mm[0], 1);
  EXPECT_TRUE(reading.why.empty());
  Reading none;
  none.profile.Resize(720);
  HoldToBound({0.1, 0.1}, none);
  EXPECT_TRUE(none.why.empty()) << "what was never measured has its reason already";
}

TEST(MaxExpandedUncertainty, MustBeAboveZero) {
  MeasureOptions options;
  EXPECT_FALSE(options.Check());
  options.max_expanded_uncertainty_mm.concavity_mm = 0;
  ASSERT_TRUE(options.Check());
  EXPECT_THAT(options.Check()->message, testing::HasSubstr("concavity_mm must be > 0"));
  options.max_expanded_uncertainty_mm = {std::nan(""), 1};
  EXPECT_TRUE(options.Check());
}

}  // namespace
}  // namespace vision::reading
