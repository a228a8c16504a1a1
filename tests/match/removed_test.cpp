#include "vision/match/removed.h"

#include <gmock/gmock.h>

#include <cmath>

#include "vision/bore/angle.h"

namespace vision::match {
namespace {

using testing::HasSubstr;

constexpr double kRadius_mm = 50, kStep_mm = 0.3, kCrown_mm = 1.2, kFloor_mm = 0.6, kRoll_deg = 33;

double Chord(double z) { return kStep_mm * std::clamp((z + 3) / 6, 0.0, 1.0); }
double Bead(double z) { return std::abs(z) < 3 ? kCrown_mm * (1 - std::pow(z / 3, 2)) * (1 - std::pow(z / 3, 2)) : 0; }

/// A pocket about 100 degrees, z = 1, 20 x 14 mm: flat 0.6 mm below the line of the walls in its inner half, rising
/// straight to the rim.
struct Ground {
  double theta_deg = 100, z_mm = 1, circ_mm = 20, axial_mm = 14;
  double Q(double theta, double z) const {
    return std::hypot(bore::ArcMm(bore::Wrap180(theta - theta_deg), kRadius_mm) / (circ_mm / 2),
                      (z - z_mm) / (axial_mm / 2));
  }
  double Height(double theta, double z) const {
    const double h = Chord(z) + Bead(z), q = Q(theta, z);
    return q >= 1 ? h : std::min(h, Chord(z) - kFloor_mm * std::min(1.0, 2 * (1 - q)));
  }
};

relief::Relief Wall(const Ground* ground, double roll_deg, double level_mm, double noise_mm, unsigned seed) {
  auto relief = relief::EmptyRelief(kRadius_mm, -12, 12, 0.2, relief::How::kLightSection);
  cv::RNG random(seed);
  for (int row = 0; row < relief.grid.rows; ++row)
    for (int column = 0; column < relief.grid.columns; ++column) {
      const double theta = bore::Wrap360(relief.grid.ThetaDeg(column) - roll_deg), z = relief.grid.ZMm(row);
      const double h = ground ? ground->Height(theta, z) : Chord(z) + Bead(z);
      relief.h_mm(row, column) = static_cast<float>(h + level_mm + random.gaussian(noise_mm));
      relief.u_mm(row, column) = static_cast<float>(std::hypot(noise_mm, 0.01));
    }
  relief.shared_u_mm = 0.01;
  return relief;
}

Pocket Outline(const Ground& ground) {
  Pocket pocket;
  pocket.middle = {ground.theta_deg, ground.z_mm};
  pocket.circ_mm = ground.circ_mm, pocket.axial_mm = ground.axial_mm;
  for (int k = 0; k < 90; ++k) {
    const double a = 4 * k * bore::kRadPerDeg;
    pocket.outline.push_back({ground.theta_deg + ground.circ_mm / 2 * std::cos(a) / kRadius_mm * bore::kDegPerRad,
                              ground.z_mm + ground.axial_mm / 2 * std::sin(a)});
  }
  return pocket;
}

RingMatch Turned(double roll_deg) {
  RingMatch match;
  match.radius_mm = kRadius_mm;
  match.roll_deg = roll_deg;
  match.residual_mm = 0.05;
  match.trusted = true;
  return match;
}

const WallEnds kWalls{-6, 8, -3, 3};

TEST(DepthsOf, TellsFloorAndRemovalApartWhereABeadStood) {
  const Ground ground;
  const auto before = Wall(nullptr, 0, 0, 0.02, 1), after = Wall(&ground, kRoll_deg, 0.15, 0.02, 2);
  const auto depths = DepthsOf(Outline(ground), &before, &after, Turned(kRoll_deg), kWalls);
  ASSERT_TRUE(depths.ok());
  const auto& d = depths.value();
  ASSERT_TRUE(d.floor) << d.floor_why;
  ASSERT_TRUE(d.removed) << d.removed_why;
  EXPECT_NEAR(d.floor->mm, kFloor_mm, 0.05);
  EXPECT_NEAR(d.removed->mm, kFloor_mm + kCrown_mm, 0.08);  // at z = 0 the bead stood 1.2 mm over the line
  EXPECT_NEAR(d.removed->place.z_mm, 0, 0.6);
  EXPECT_NEAR(d.removed->place.theta_deg, 100, 5);
  for (const auto& depth : {*d.floor, *d.removed}) {
    EXPECT_GT(depth.u_mm, 0.01);
    EXPECT_LT(depth.u_mm, 0.1);
  }
  EXPECT_LE(std::abs(d.floor->mm - kFloor_mm), 2 * d.floor->u_mm);
}

TEST(DepthsOf, StateNothingWithoutHeights) {
  const Ground ground;
  const auto after = Wall(&ground, 0, 0, 0.02, 2);
  const auto none = DepthsOf(Outline(ground), nullptr, nullptr, Turned(0), kWalls).value();
  EXPECT_FALSE(none.floor || none.removed);
  EXPECT_THAT(none.floor_why, HasSubstr("not measurable"));
  EXPECT_THAT(none.removed_why, HasSubstr("not measurable"));
  const auto half = DepthsOf(Outline(ground), nullptr, &after, Turned(0), kWalls).value();
  EXPECT_TRUE(half.floor);
  EXPECT_FALSE(half.removed);
  EXPECT_THAT(half.removed_why, HasSubstr("the earlier one has no heights"));
}

TEST(DepthsOf, APocketMostlyWithoutHeightsOrWithoutWallBesideIsNotStated) {
  const Ground ground;
  const auto before = Wall(nullptr, 0, 0, 0.02, 1);
  auto holed = Wall(&ground, 0, 0, 0.02, 2), bare = Wall(&ground, 0, 0, 0.02, 2);
  for (int row = 0; row < holed.grid.rows; ++row)
    for (int column = 0; column < holed.grid.columns; ++column) {
      const float nan = std::numeric_limits<float>::quiet_NaN();
      if (ground.Q(holed.grid.ThetaDeg(column), holed.grid.ZMm(row)) < 0.7) holed.h_mm(row, column) = nan;
      if (bare.grid.ZMm(row) > 8) bare.h_mm(row, column) = nan;
    }
  const auto shy = DepthsOf(Outline(ground), &before, &holed, Turned(0), kWalls).value();
  EXPECT_FALSE(shy.floor || shy.removed);
  EXPECT_THAT(shy.floor_why, HasSubstr("% of the pocket carries a height"));
  const auto alone = DepthsOf(Outline(ground), &before, &bare, Turned(0), kWalls).value();
  EXPECT_FALSE(alone.floor || alone.removed);
  EXPECT_THAT(alone.floor_why, HasSubstr("too little bare wall"));
}

TEST(DepthsOf, OptionsAreChecked) {
  const Ground ground;
  DepthOptions options;
  options.window_mm = 0;
  EXPECT_FALSE(DepthsOf(Outline(ground), nullptr, nullptr, Turned(0), kWalls, options).ok());
  options = {};
  options.wall_to_mm = 0.1;
  EXPECT_FALSE(DepthsOf(Outline(ground), nullptr, nullptr, Turned(0), kWalls, options).ok());
}

}  // namespace
}  // namespace vision::match
