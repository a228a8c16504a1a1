#include "vision/reading/toe_of_looks.h"

#include <gtest/gtest.h>

#include <cmath>

#include "fixtures/scene/options.h"
#include "vision/reading/combine.h"

namespace vision::reading {
namespace {

constexpr double kRadius_mm = 50;

bead::ToeLine ToeAt(double z_mm) {
  return {std::vector<double>(720, z_mm), std::vector<double>(720, 0.15), std::vector<char>(720, 1),
          std::vector<Reason>(720)};
}

/// A look of a push along +z (the near toe is the left one) or against it.
Look Pushed(double distance_mm, double left_z_mm, double right_z_mm, bool plus_z = true) {
  Look look;
  look.facing = plus_z ? pose::Facing::kPlusZ : pose::Facing::kMinusZ;
  look.pose.bore_from_cam = fixtures::scene::PoseLooking(plus_z, 0, 0, plus_z ? -distance_mm : distance_mm, 0, 0, 0);
  look.levels.emplace();
  look.toes.left = ToeAt(left_z_mm);
  look.toes.right = ToeAt(right_z_mm);
  look.toes.hollow.assign(720, 0);
  return look;
}

/// Near toe at -2.5 as seen from 30 mm (0.6 R), drifting by 0.01 mm a millimetre; far toe at 2.5 seen from 20 mm.
std::vector<Look> Drifting() {
  return {Pushed(20, -2.6, 2.5), Pushed(30, -2.5, 2.6), Pushed(40, -2.4, 3.1), Pushed(50, -2.3, 3.6),
          Pushed(90, -3.9, 5.0)};
}

Sighting At100(const std::vector<Look>& looks, bool left) {
  return ToesAround(looks, left, BetweenLooksOf(looks, kRadius_mm))[100];
}

TEST(Sighting, ANearToeThatDriftsWithTheDistanceIsReadAtSixTenthsOfTheRadius) {
  EXPECT_NEAR(At100(Drifting(), true).z_mm, -2.5, 1e-9);
  EXPECT_NEAR(At100(Drifting(), true).u_mm, 0.15, 1e-9) << "they lie on a line: nothing is added";
}

TEST(Sighting, ALookThatTookAnotherEdgeIsLeftOut) {
  auto looks = Drifting();
  looks[2].toes.left = ToeAt(-1.2);
  EXPECT_NEAR(At100(looks, true).z_mm, -2.5, 1e-9);
}

TEST(Sighting, TheFarToeIsThatOfTheNearestLooksThatAgree) {
  EXPECT_NEAR(At100(Drifting(), false).z_mm, 2.55, 1e-9);
  auto looks = Drifting();
  looks[1].toes.right = ToeAt(4.0);
  EXPECT_NEAR(At100(looks, false).z_mm, 2.5, 1e-9);
}

TEST(Sighting, FromFartherOffTheFarToeIsKnownLess) {
  const double near_u = At100({Pushed(20, -2.5, 2.5), Pushed(30, -2.5, 2.5), Pushed(40, -2.5, 2.5)}, false).u_mm;
  const double far_u = At100({Pushed(70, -2.5, 2.5), Pushed(80, -2.5, 2.5), Pushed(90, -2.5, 2.5)}, false).u_mm;
  EXPECT_LT(near_u, 0.17);
  EXPECT_GT(far_u, 0.5);
}

TEST(Sighting, AToeIsNearWhereALookFromItsOwnSideShowsIt) {
  EXPECT_TRUE(At100(Drifting(), true).near);
  EXPECT_FALSE(At100(Drifting(), false).near);
  auto looks = Drifting();
  looks.push_back(Pushed(20, -2.5, 2.5, false));
  EXPECT_TRUE(At100(looks, false).near);
}

/// Variance of a difference of two correlated values (GUM, JCGM 100:2008, 5.2.2).
TEST(WidthU, ToesThatErrAlikeMakeAWidthLessSureThanTheirSumOfSquares) {
  const Sighting near{-2.5, 0.3, true}, far{2.5, 0.4, false}, other_near{2.5, 0.4, true};
  EXPECT_NEAR(WidthU(near, far, {0, 0}), 0.5, 1e-12);
  EXPECT_NEAR(WidthU(near, far, {0, 0.25}), std::sqrt(0.25 + 2 * 0.25 * 0.12), 1e-12);
  EXPECT_NEAR(WidthU(near, other_near, {0.5, 0.25}), std::sqrt(0.25 + 2 * 0.5 * 0.12), 1e-12);
  EXPECT_NEAR(WidthU(near, other_near, {1, 0}), 0.7, 1e-12);
  EXPECT_FALSE(WidthOptions{}.Check());
  EXPECT_TRUE((WidthOptions{1.1, 0}).Check());
}

TEST(Sighting, OfAHollowRootTheMiddleOneCountsAndNothingDrifts) {
  auto looks = Drifting();
  for (Look& look : looks) look.toes.hollow.assign(720, 1);
  EXPECT_NEAR(At100(looks, true).z_mm, -2.45, 1e-9);  // of -2.6, -2.5, -2.4, -2.3; the fifth stands too far off
}

TEST(Sighting, TwoHollowLooksThatLieApartStateHowFar) {
  std::vector<Look> looks{Pushed(20, -2.0, 2.5), Pushed(30, -3.0, 2.5)};
  for (Look& look : looks) look.toes.hollow.assign(720, 1);
  EXPECT_NEAR(At100(looks, true).z_mm, -2.5, 1e-9);
  EXPECT_NEAR(At100(looks, true).u_mm, std::hypot(0.15, 0.5), 1e-9);  // deviation of the mean of two, 1 mm apart
}

TEST(Sighting, OneLineAloneIsEvenedWithItsNeighbours) {
  auto looks = Drifting();
  for (Look& look : looks) look.toes.left.z_mm[100] += 0.3;
  // R = 50: a line every 0.44 mm, so half a millimetre is one line to either side.
  EXPECT_NEAR(At100(looks, true).z_mm, -2.5 + 0.1, 1e-9);
}

}  // namespace
}  // namespace vision::reading
