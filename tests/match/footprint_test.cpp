#include "vision/match/footprint.h"

#include <gmock/gmock.h>

#include <cmath>
#include <limits>

#include "tests/match/ground_wall.h"

namespace vision::match {
namespace {

using test::Ground, test::Outline, test::Turned, test::Wall, test::kRoll_deg, test::kWalls;
using testing::HasSubstr;

/// What the pictures saw of it: both ends short, the middle beside the true one.
Pocket Short(const Ground& ground) {
  Pocket pocket = Outline(ground);
  pocket.circ_mm -= 4, pocket.axial_mm -= 1.5;
  pocket.middle.theta_deg += 1, pocket.middle.z_mm += 0.5;
  return pocket;
}

/// The pocket is 20 mm around and 14 mm along, about 100 degrees and z = 1, by its making.
TEST(FootprintOf, FollowsTheFlanksToTheirEnds) {
  const Ground ground;
  const auto before = Wall(nullptr, 0, 0, 0.02, 1), after = Wall(&ground, kRoll_deg, 0.15, 0.02, 2);
  const auto found = FootprintOf(Short(ground), &before, &after, Turned(kRoll_deg), kWalls);
  ASSERT_TRUE(found.footprint) << found.why;
  const auto& f = *found.footprint;
  EXPECT_NEAR(f.circ_mm, 20, 0.4);
  EXPECT_NEAR(f.axial_mm, 14, 0.4);
  EXPECT_LE(std::abs(f.circ_mm - 20), 2 * f.circ_u_mm);
  EXPECT_LE(std::abs(f.axial_mm - 14), 2 * f.axial_u_mm);
  EXPECT_LT(f.axial_u_mm, 0.6);
  EXPECT_NEAR(f.middle.theta_deg, 100, 0.4);
  EXPECT_NEAR(f.middle.z_mm, 1, 0.3);
}

TEST(FootprintOf, ItsUncertaintyHoldsAgainstMonteCarlo) {
  const Ground ground;
  int inside = 0, all = 0;
  for (unsigned seed = 1; seed <= 20; ++seed) {
    const auto before = Wall(nullptr, 0, 0, 0.04, 2 * seed), after = Wall(&ground, 0, 0, 0.04, 2 * seed + 1);
    const auto found = FootprintOf(Short(ground), &before, &after, Turned(0), kWalls);
    if (!found.footprint) continue;  // noise hides an end now and then
    inside += std::abs(found.footprint->axial_mm - 14) <= 2 * found.footprint->axial_u_mm, ++all;
  }
  EXPECT_GE(all, 15);
  EXPECT_GE(inside, all - 2) << all;
}

TEST(FootprintOf, StatesNothingThatIsNotThere) {
  const Ground ground;
  const auto before = Wall(nullptr, 0, 0, 0.02, 1);
  auto after = Wall(&ground, 0, 0, 0.02, 2);
  EXPECT_THAT(FootprintOf(Short(ground), nullptr, &after, Turned(0), kWalls).why, HasSubstr("not both"));
  EXPECT_THAT(FootprintOf(Short(ground), &before, nullptr, Turned(0), kWalls).why, HasSubstr("not both"));
  WallEnds unknown = kWalls;
  unknown.toes_known = false;
  EXPECT_THAT(FootprintOf(Short(ground), &before, &after, Turned(0), unknown).why, HasSubstr("toes"));
  for (int row = 0; row < after.grid.rows; ++row)  // what lies past z = 6 was not seen: a flank has no end
    if (after.grid.ZMm(row) > 6) after.h_mm.row(row) = std::numeric_limits<float>::quiet_NaN();
  const auto cut_off = FootprintOf(Short(ground), &before, &after, Turned(0), kWalls);
  EXPECT_FALSE(cut_off.footprint);
  EXPECT_THAT(cut_off.why, HasSubstr("does not run out"));
  const auto untouched = Wall(nullptr, 0, 0, 0.02, 3);
  EXPECT_FALSE(FootprintOf(Short(ground), &before, &untouched, Turned(0), kWalls).footprint);
}

}  // namespace
}  // namespace vision::match
