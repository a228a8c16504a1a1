#include "app/joint/study_limits.h"

#include <gtest/gtest.h>

#include <cmath>

namespace app::joint {
namespace {

StudyLimit At(const std::map<std::string, StudyLimit>& limits, const std::string& quantity) {
  const auto found = limits.find(quantity);
  return found == limits.end() ? StudyLimit{NAN, ""} : found->second;
}

Joint Pipe(double outside_mm, double wall_mm) {
  Joint joint;
  joint.pipe.outside_diameter = Sized{outside_mm, 0.1, "test"};
  joint.pipe.wall = Sized{wall_mm, 0.1, "test"};
  joint.pipe.inside_diameter = {outside_mm - 2 * wall_mm, 0.1, "test"};
  return joint;
}

// MIL-STD-2035A(SH), Table I: concavity 1/16 in on pipe of 2 in and larger, 1/32 in below; 4.2.3, Table III: offset 25
// % of a wall up to 1/4 in.
TEST(StudyLimits, OfTheNavalCriterion) {
  const auto set = LoadCriteria("MIL-STD-2035A Class 1", ".").value();
  const auto large = StudyLimits(set, Pipe(168.3, 6.0), NAN);
  EXPECT_DOUBLE_EQ(At(large, "concavity_mm").value_mm, 1.59);
  EXPECT_DOUBLE_EQ(At(large, "crown_height_mm").value_mm, 2.38);
  EXPECT_DOUBLE_EQ(At(large, "misalignment_mm").value_mm, 1.5);
  EXPECT_NE(At(large, "concavity_mm").text.find("MIL-STD-2035A Class 1"), std::string::npos);
  EXPECT_EQ(large.count("width_mm"), 0u);
  EXPECT_DOUBLE_EQ(At(StudyLimits(set, Pipe(48.3, 3.68), NAN), "concavity_mm").value_mm, 0.79);
}

// ISO 5817:2014 C, 504: min(1 + 0.6 b, 4) for t > 3: 3.4 for b = 4 (golden row t 3.91).
TEST(StudyLimits, ThatDependOnTheWidthNeedIt) {
  const auto set = LoadCriteria("ISO 5817:2014 C", ".");
  ASSERT_TRUE(set.ok()) << set.error().message;
  EXPECT_NEAR(At(StudyLimits(set.value(), Pipe(114.3, 3.91), 4.0), "crown_height_mm").value_mm, 3.4, 1e-9);
  EXPECT_EQ(StudyLimits(set.value(), Pipe(114.3, 3.91), NAN).count("crown_height_mm"), 0u);
}

// A quarter of the limits of the tests above; gauge study practice (AIAG): a quarter is the worst share that is fit.
TEST(BoundsFor, AQuarterOfTheLimitIsWhatAHeightMustBeKnownTo) {
  const auto naval = LoadCriteria("MIL-STD-2035A Class 1", ".").value();
  EXPECT_DOUBLE_EQ(BoundsFor(naval, Pipe(168.3, 6.0)).concavity_mm, 0.3975);
  EXPECT_DOUBLE_EQ(BoundsFor(naval, Pipe(168.3, 6.0)).crown_height_mm, 0.595);
  EXPECT_DOUBLE_EQ(BoundsFor(naval, Pipe(48.3, 3.68)).concavity_mm, 0.1975);
  const auto iso = LoadCriteria("ISO 5817:2014 C", ".").value();
  Joint joint = Pipe(114.3, 3.91);
  joint.insert.width_mm = 4.0;
  EXPECT_NEAR(BoundsFor(iso, joint).crown_height_mm, 3.4 / 4, 1e-9);
  joint.insert.width_mm.reset();
  EXPECT_NEAR(BoundsFor(iso, joint).crown_height_mm, 1.0 / 4, 1e-9) << "no width known: the smallest the limit can be";
  EXPECT_TRUE(std::isinf(BoundsFor(LoadCriteria("API 1104 (annotated)", ".").value(), joint).crown_height_mm));
}

}  // namespace
}  // namespace app::joint
