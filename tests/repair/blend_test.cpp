#include "app/repair/blend.h"

#include <gtest/gtest.h>

#include <cmath>

namespace app::repair {
namespace {

Pocket PocketOf(double depth_mm, double taper, double flat_axial_mm = 4, double flat_around_mm = 10) {
  Pocket pocket;
  pocket.theta_deg = 136.2;
  pocket.depth = {depth_mm, 0.1};
  pocket.flat_axial_mm = flat_axial_mm, pocket.flat_around_mm = flat_around_mm;
  pocket.taper = taper;
  return pocket;
}

Surroundings Nps6() {
  Surroundings around;
  around.bore_radius_mm = 73.165;
  around.distance_to_open_end_mm = 900;
  return around;
}

// Worked by hand: 1 mm deep about a flat of 4 mm, 3:1 needs 10 mm along the pipe (18.4 degrees), 4:1 needs 12 mm
// (14.0).
TEST(Blend, FootprintAndSlopeOfTwoTapers) {
  const auto three = PlanBlend(PocketOf(1, 3), Nps6(), SampleEquipment()).value();
  const auto four = PlanBlend(PocketOf(1, 4), Nps6(), SampleEquipment()).value();
  EXPECT_DOUBLE_EQ(three.footprint_axial_mm, 10);
  EXPECT_DOUBLE_EQ(four.footprint_axial_mm, 12);
  EXPECT_NEAR(three.slope_deg, 18.4, 0.05);
  EXPECT_NEAR(four.slope_deg, 14.0, 0.05);
}

TEST(Blend, VolumeAgreesWithASumOverCells) {
  const Pocket pocket = PocketOf(1.2, 4, 5, 12);
  const double radius = 30, half_z = pocket.footprint_axial_mm() / 2, half_s = pocket.footprint_around_mm() / 2;
  double sum = 0;
  const double cell = 0.01;
  for (double z = -half_z + cell / 2; z < half_z; z += cell)
    for (double s = -half_s + cell / 2; s < half_s; s += cell) {
      const double out = std::max(std::abs(z) - 2.5, std::abs(s) - 6.0);
      const double h = out <= 0 ? 1.2 : std::max(0.0, 1.2 - out / 4);
      sum += ((radius + h) * (radius + h) - radius * radius) / 2 / radius * cell * cell;
    }
  Surroundings around = Nps6();
  around.bore_radius_mm = radius;
  EXPECT_NEAR(PlanBlend(pocket, around, SampleEquipment()).value().volume_mm3 / sum, 1, 1e-4);
}

TEST(Blend, AWidePocketTakesSeveralPlacementsThatMeet) {
  const Pocket pocket = PocketOf(1, 4, 4, 120);  // 128 mm on 73.165 mm: 100.2 degrees, 45 a placement
  const auto plan = PlanBlend(pocket, Nps6(), SampleEquipment()).value();
  ASSERT_EQ(plan.placements.size(), 3u);
  EXPECT_NEAR(plan.sweep_deg, 100.24, 0.01);
  EXPECT_NEAR(plan.placements[0].start_deg, 136.2 - 100.24 / 2, 0.01);
  EXPECT_NEAR(plan.placements[2].start_deg + plan.placements[2].sweep_deg, 136.2 + 100.24 / 2, 0.01);
  for (const auto& placement : plan.placements) EXPECT_LE(placement.sweep_deg, 45);
}

TEST(Blend, SaysWhatTheEquipmentCannotReach) {
  Surroundings around = Nps6();
  around.distance_to_open_end_mm = 5000, around.elbows = 2, around.bore_radius_mm = 20;
  const auto plan = PlanBlend(PocketOf(1, 3), around, SampleEquipment()).value();
  EXPECT_FALSE(plan.equipment_fits);
  EXPECT_EQ(plan.why_not.size(), 3u);
  EXPECT_TRUE(PlanBlend(PocketOf(1, 3), Nps6(), SampleEquipment()).value().equipment_fits);
}

TEST(Blend, ATaperThatDoesNotFitIsRefusedWithBothLengths) {
  Surroundings around = Nps6();
  around.room_axial_mm = 9;
  const auto plan = PlanBlend(PocketOf(1, 3), around, SampleEquipment());
  ASSERT_FALSE(plan.ok());
  EXPECT_NE(plan.error().message.find("10.0 mm"), std::string::npos);
  EXPECT_NE(plan.error().message.find("9.0 mm"), std::string::npos);
  EXPECT_FALSE(PlanBlend(PocketOf(1, 0), Nps6(), SampleEquipment()).ok());
}

// By hand: bore 20.00, wall 5.00, floor 4.00, u 0.05, 0.05 and 0.05: 21 - 2 * 0.0866 = 20.827 mm.
TEST(Blend, LargestStoneRadiusKeepsTheFloor) {
  EXPECT_NEAR(*LargestStoneRadius({20, 0.05}, {5, 0.05}, 4, 0.05), 20.827, 5e-4);
  EXPECT_FALSE(LargestStoneRadius({20, 0.05}, {4.1, 0.05}, 4, 0.05).has_value());
}

TEST(Equipment, SampleIsMarkedInventedAndHasFortyFiveDegrees) {
  const auto sample = SampleEquipment();
  EXPECT_TRUE(sample.invented_sample);
  EXPECT_DOUBLE_EQ(sample.largest_sweep_deg, 45);
  EXPECT_FALSE(ReadEquipment("{\"format\":\"rootscroll.equipment/1\"}", "own.json").ok());
}

}  // namespace
}  // namespace app::repair
