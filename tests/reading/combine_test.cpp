#include "vision/reading/combine.h"

#include <gtest/gtest.h>

#include <cmath>

#include "fixtures/scene/options.h"
#include "vision/base/says.h"
#include "vision/bore/angle.h"
#include "vision/reading/state.h"

namespace vision::reading {
namespace {

constexpr double kPrior_mm = 0.35, kRadius_mm = 80;

Look Looking(bool plus_z, double distance_mm, double left_z, double right_z) {
  Look look;
  look.facing = plus_z ? pose::Facing::kPlusZ : pose::Facing::kMinusZ;
  look.pose.bore_from_cam = fixtures::scene::PoseLooking(plus_z, 0, 0, plus_z ? -distance_mm : distance_mm, 0, 0, 0);
  const double step = kPrior_mm * distance_mm / kRadius_mm;  // what the far toe owes to an unknown step
  const auto toe = [](double z, double u) {
    return bead::ToeLine{std::vector<double>(720, z), std::vector<double>(720, u), std::vector<char>(720, 1),
                         std::vector<Reason>(720)};
  };
  look.toes.left = toe(left_z, plus_z ? 0.1 : std::hypot(0.1, step));
  look.toes.right = toe(right_z, plus_z ? std::hypot(0.1, step) : 0.1);
  look.edge = {std::vector<double>(720, kNotMeasured), std::vector<char>(720, 1), std::vector<double>(720, 1)};
  return look;
}

MeasureInput Input() {
  MeasureInput input;
  input.bore = {kRadius_mm, 0};
  return input;
}

/// A recording that could show any line anywhere.
Unresolved AllShown() {
  Unresolved none;
  none.grid = unroll::StripGrid::Over(kRadius_mm, -5, 5);
  none.fails = cv::Mat1b(none.grid.rows, none.grid.columns, uchar{0});
  return none;
}

Reading Combined(const std::vector<Look>& looks) {
  Reading reading;
  reading.bore_radius_mm = kRadius_mm;
  const Told told = TellByLooks(looks, Input());
  State(told, TellEdges(looks, kRadius_mm, told, AllShown()), {}, reading);
  return reading;
}

// By hand: R = 80, toes at -2.5 and +2.5, the b wall 0.4 mm higher than the a wall, so -0.2 and +0.2 about the bore. A
// place h high looks h * d / R further along the sight. Looking along +z from 60 mm: -0.2 * 60 / 80 = -0.15 and +0.15,
// toes at -2.65 and +2.65, 5.3 apart. Against z from 40 mm: +0.1 and -0.1, toes at -2.4 and +2.4, 4.8 apart.
const Look kFromA = Looking(true, 60, -2.65, 2.65);

/// The look against z, laid `off_mm` along z by its own pose, with the registration of its walls on those of kFromA:
/// z_fixed = z_moving - z_mm, on the left -2.65 = (-2.4 + off) - z_mm, on the right 2.65 = (2.4 + off) - z_mm.
Look FromB(double off_mm) {
  Look look = Looking(false, 40, -2.4 + off_mm, 2.4 + off_mm);
  look.to_first.emplace();
  look.to_first->left_z_mm.c[0] = 0.25 + off_mm;
  look.to_first->right_z_mm.c[0] = -0.25 + off_mm;
  return look;
}

TEST(Combine, AStepBetweenTheWallsCancelsInTheWidth) {
  for (const double off_mm : {0.0, 0.6}) {  // whether or not the two poses agree about where z = 0 is
    const auto reading = Combined({kFromA, FromB(off_mm)});
    EXPECT_NEAR(reading.profile.left_toe_z_mm[100], -2.5, 1e-9);
    EXPECT_NEAR(reading.profile.right_toe_z_mm[100], 2.5, 1e-9);
    EXPECT_NEAR(reading.profile.width_mm[100], 5.0, 1e-9);
    // Near toes 0.1 each, with half a tenth from the registration, erring alike by a half; nothing of the step.
    EXPECT_NEAR(reading.profile.width_u_mm[100], std::sqrt(3 * (0.01 + 0.0025)), 1e-6);
  }
}

TEST(Combine, TheOrderOfTheTwoSidesDoesNotMatter) {
  Look first = Looking(false, 40, -2.4, 2.4), second = kFromA;
  second.to_first.emplace();  // now the look along +z is the moving one
  second.to_first->left_z_mm.c[0] = -0.25;
  second.to_first->right_z_mm.c[0] = 0.25;
  const auto reading = Combined({first, second});
  EXPECT_NEAR(reading.profile.left_toe_z_mm[100], -2.5, 1e-9);
  EXPECT_NEAR(reading.profile.right_toe_z_mm[100], 2.5, 1e-9);
}

TEST(Combine, OneViewKeepsTheStepInItsUncertainty) {
  const auto reading = Combined({kFromA});
  EXPECT_NEAR(reading.profile.width_mm[0], 5.3, 1e-9);
  const double far_u = std::hypot(0.1, 0.2625);
  EXPECT_NEAR(reading.profile.width_u_mm[0], std::sqrt(0.01 + far_u * far_u + 2 * 0.25 * 0.1 * far_u), 1e-6);
  EXPECT_LT(0.3, 2 * reading.profile.width_u_mm[0]);  // covers the 0.3 mm it is wrong by
}

TEST(Combine, TwoLooksFromOneSideAreAWeightedMeanNotMoreCertain) {
  Look second = kFromA;
  second.toes.left.z_mm.assign(720, -2.85);
  second.toes.left.u_mm.assign(720, 0.2);  // a quarter of the weight: -2.65 * 0.8 - 2.85 * 0.2 = -2.69
  const auto reading = Combined({kFromA, second});
  EXPECT_NEAR(reading.profile.width_mm[9], 5.34, 1e-9);
  EXPECT_GE(reading.profile.left_toe_u_mm[9], 0.1);  // frames of one side share most of their error
}

TEST(Combine, AHiddenToeLeavesWidthAbsentWithItsReason) {
  Look look = kFromA;
  for (std::size_t i = 700; i < 740; ++i) {
    look.toes.right.visible[i % 720] = 0;
    look.toes.right.z_mm[i % 720] = look.toes.right.u_mm[i % 720] = kNotMeasured;
    look.toes.right.reason[i % 720] = {Says::kFarToeHidden};
  }
  const auto reading = Combined({look});
  int whys = 0;
  for (const auto& why : reading.why)
    if (why.what == "width_mm") {
      ++whys;
      EXPECT_DOUBLE_EQ(why.start_deg, 350);
      EXPECT_DOUBLE_EQ(why.end_deg, 10);
      EXPECT_EQ(why.reason.code, Says::kFarToeHidden);
    }
  EXPECT_EQ(whys, 1);
  EXPECT_TRUE(std::isnan(reading.profile.width_mm[719]));
  EXPECT_TRUE(std::isnan(reading.profile.width_mm[19]));
  EXPECT_FALSE(std::isnan(reading.profile.width_mm[20]));
  EXPECT_FALSE(std::isnan(reading.profile.left_toe_z_mm[0]));  // the toe that is seen is still stated
}

/// Of a head's cameras the one that has the place in its picture says why nothing is stated there.
TEST(Combine, TheLookThatHasThePlaceInItsPictureSaysWhy) {
  std::vector<Look> looks{kFromA, kFromA, kFromA};
  const Says reasons[] = {Says::kUnseen, Says::kToeNotSure, Says::kFarToeHidden};
  for (std::size_t k = 0; k < looks.size(); ++k) {
    auto& strip = looks[k].strip;
    strip.grid = unroll::StripGrid::Over(kRadius_mm, -5, 5);
    strip.source_frame = cv::Mat1s(strip.grid.rows, strip.grid.columns, k == 2 ? short{0} : short{-1});
    auto& toe = looks[k].toes.right;
    for (std::size_t i = 100; i < 120; ++i)
      toe.visible[i] = 0, toe.z_mm[i] = toe.u_mm[i] = kNotMeasured, toe.reason[i] = {reasons[k]};
  }
  const auto reason = [](const Reading& reading) {
    for (const auto& why : reading.why)
      if (why.what == "width_mm") return why.reason.code;
    return Says::kNone;
  };
  EXPECT_EQ(reason(Combined(looks)), reasons[2]);
  looks[2].strip.source_frame.setTo(-1);
  EXPECT_EQ(reason(Combined(looks)), reasons[0]);
}

TEST(Combine, AnUnfusedRunIsStatedWithItsArcAndTheChanceOfIt) {
  Look look = kFromA;
  std::fill_n(look.edge.unfused.begin() + 20, 20, 0.9);
  std::fill_n(look.edge.unfused.begin() + 40, 40, 1e-4);
  const auto reading = Combined({look, FromB(0)});
  EXPECT_EQ(reading.profile.fusion_left[30], Fusion::kUnfused);
  EXPECT_EQ(reading.profile.fusion_left[50], Fusion::kFused);
  EXPECT_EQ(reading.profile.fusion_left[90], Fusion::kNotVisible);
  EXPECT_EQ(reading.profile.fusion_right[30], Fusion::kNotVisible);
  ASSERT_EQ(reading.unfused.size(), 1U);
  EXPECT_EQ(reading.unfused[0].side, "left");
  EXPECT_DOUBLE_EQ(reading.unfused[0].start_deg, 10);
  EXPECT_DOUBLE_EQ(reading.unfused[0].end_deg, 20);
  EXPECT_NEAR(reading.unfused[0].arc_mm, 13.963, 0.001);  // 80 mm * 10 degrees
  EXPECT_NEAR(reading.unfused[0].confidence, 0.9, 1e-9);
}

TEST(Combine, NoHeightIsEverStated) {
  const auto reading = Combined({kFromA, FromB(0)});
  for (const auto* numbers : {&reading.profile.crown_height_mm, &reading.profile.concavity_mm})
    for (const double value : *numbers) ASSERT_TRUE(std::isnan(value));
}

}  // namespace
}  // namespace vision::reading
