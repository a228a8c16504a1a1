#include "vision/reading/flat.h"

#include <gtest/gtest.h>

#include "vision/reading/combine.h"

/// By hand: a look that sees toes at -2.1 and 2.9 has the weld's middle at 0.4 of its own z.
namespace vision::reading {
namespace {

Look OffItsWeld() {
  Look look;
  const auto toe = [](double z_mm) {
    return bead::ToeLine{std::vector<double>(720, z_mm), std::vector<double>(720, 0.1), std::vector<char>(720, 1),
                         std::vector<Reason>(720)};
  };
  look.toes.left = toe(-2.1), look.toes.right = toe(2.9);
  look.edge = {std::vector<double>(720, kNotMeasured), std::vector<char>(720, 1), std::vector<double>(720, 1)};
  look.strip.grid = unroll::StripGrid::Over(80, -8, 8);
  const cv::Size size(look.strip.grid.columns, look.strip.grid.rows);
  look.strip.image = cv::Mat3b(size, cv::Vec3b(80, 80, 80));
  look.strip.valid = cv::Mat1b(size, uchar{255}), look.strip.clipped = cv::Mat1b(size, uchar{0});
  look.strip.source_frame = cv::Mat1s(size, short{0});
  look.strip.source_px = cv::Mat2f(size, cv::Vec2f(1, 1));
  look.strip.resolution_z_mm = look.strip.resolution_arc_mm = cv::Mat1f(size, 0.2F);
  return look;
}

TEST(PutInJoint, WhatIsDrawnHasTheOriginOfWhatIsStated) {
  std::vector<Look> looks{OffItsWeld()};
  MeasureInput input;
  input.bore = {80, 0};
  const Told told = TellByLooks(looks, input);
  EXPECT_NEAR(told.lines[7].toe_z_mm.a.value(), -2.5, 1e-9);
  EXPECT_NEAR(JointFromLook(looks[0], told), -0.4, 1e-9);
  auto flat = LayFlat(looks);
  ASSERT_TRUE(flat.ok());
  const double toe_row = flat.value().merged.grid.Row(-2.1);  // where the look saw it
  LightLook light;
  light.look = looks[0], light.section.relief.grid = looks[0].strip.grid;
  PutInJoint(told, looks, flat.value(), &light);
  EXPECT_NEAR(flat.value().merged.grid.Row(-2.5), toe_row, 1e-9);
  EXPECT_NEAR(flat.value().strips[0].grid.Row(-2.5), toe_row, 1e-9);
  EXPECT_NEAR(light.section.relief.grid.Row(-2.5), toe_row, 1e-9);
  EXPECT_NEAR(flat.value().first_grid.Row(-2.1), toe_row, 1e-9);
}

/// A higher wall looks farther along the sight, a lower one less far: with a step of 0.4 mm seen from 60 mm in a bore
/// of 80 mm radius either toe is 0.15 mm off, outward. Their middle is the weld's, so nothing is moved.
TEST(JointFromLook, TheStepBetweenTheWallsMovesNothing) {
  Look look = OffItsWeld();
  look.toes.left.z_mm.assign(720, -2.65), look.toes.right.z_mm.assign(720, 2.65);
  Told told;
  told.lines.resize(720);
  for (ToldLine& line : told.lines) line.toe_z_mm = {Stated<double>::Of(-2.5, 0.1), Stated<double>::Of(2.5, 0.1)};
  EXPECT_NEAR(JointFromLook(look, told), 0, 1e-9);
}

}  // namespace
}  // namespace vision::reading
