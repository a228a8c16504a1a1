#include "vision/reading/heights.h"

#include <gmock/gmock.h>

#include <cmath>

#include "../recording/temporary_folder.h"
#include "fixtures/scene/options.h"
#include "tests/reading/told.h"
#include "vision/reading/light_look.h"

namespace vision::reading {
namespace {

/// Walls at 0 and 0.4, toes at -3 and 3 (a straight rise between the walls plus a parabola of 1 mm).
relief::Relief Weld() {
  relief::Relief relief = relief::EmptyRelief(77, -8, 8, 0.2, relief::How::kLightSection);
  for (int row = 0; row < relief.grid.rows; ++row)
    for (int c = 0; c < relief.grid.columns; ++c) {
      const double z = relief.grid.ZMm(row), t = std::min(1.0, std::max(0.0, (z + 3) / 6));
      relief.h_mm(row, c) = static_cast<float>(0.4 * t + 4 * t * (1 - t));
      relief.u_mm(row, c) = 0.02F;
    }
  relief.shared_u_mm = 0.01;
  return relief;
}

Measured Seen() {
  Measured measured;
  auto& p = measured.reading.profile;
  p.Resize(720);
  measured.reading.bore_radius_mm = 77;
  for (std::size_t i = 0; i < 720; ++i) {
    p.fusion_left[i] = p.fusion_right[i] = Fusion::kFused;
    p.left_toe_z_mm[i] = -3;
    p.right_toe_z_mm[i] = 3 + 0.4 * 0.5;  // a wall 0.4 mm higher, seen from half a radius away, looks that much further
    p.width_mm[i] = 6.2;
    p.left_toe_u_mm[i] = p.right_toe_u_mm[i] = 0.1;
    p.width_u_mm[i] = 0.25;
  }
  return measured;
}

void Apply(const relief::Relief& relief, const ToesSeen& seen, Reading& reading) {
  const Told told = WithRelief(ToldOf(reading.profile), relief, seen, reading.notes);
  State(told, EdgesOf(reading.profile), {}, reading);
}

TEST(WithRelief, GivesHeightsAndTakesTheWallsStepOutOfTheWidth) {
  Measured measured = Seen();
  Apply(Weld(), {0.5}, measured.reading);
  const auto& p = measured.reading.profile;
  EXPECT_EQ(measured.reading.height_by, "light_section");
  EXPECT_TRUE(measured.reading.why.empty());
  EXPECT_NEAR(p.crown_height_mm[100], 1, 0.02);
  EXPECT_NEAR(p.misalignment_mm[100], 0.4, 0.01);
  EXPECT_NEAR(p.width_mm[100], 6.0, 0.15);
  EXPECT_LE(std::abs(p.width_mm[100] - 6.0), 2 * p.width_u_mm[100]);
}

TEST(WithRelief, ALineThatIsNotTheToeIsNotBelievedAnywhere) {
  Measured measured = Seen();
  for (std::size_t i = 0; i < 720; ++i) {
    // what was followed stands 2.4 mm outside, and on a third of the ring only 0.4 mm, where it would look likely
    measured.reading.profile.right_toe_z_mm[i] += i % 3 ? 2.4 : 0.4;
    measured.reading.profile.width_mm[i] = 8.6;
  }
  Apply(Weld(), {0.5}, measured.reading);
  const auto& p = measured.reading.profile;
  for (std::size_t i = 0; i < 720; i += 7) {
    EXPECT_TRUE(std::isnan(p.right_toe_z_mm[i])) << i;
    EXPECT_TRUE(std::isnan(p.width_mm[i])) << i;
    EXPECT_NEAR(p.crown_height_mm[i], 1, 0.03) << i;
  }
  EXPECT_THAT(measured.reading.why, testing::Contains(testing::Field(&Why::what, "width_mm")));
}

TEST(WithRelief, WhereNeitherPictureNorSurfaceTellsAToeThereIsNoWidth) {
  Measured measured = Seen();
  relief::Relief flat = Weld();
  for (int row = 0; row < flat.grid.rows; ++row)
    for (int c = 0; c < flat.grid.columns; ++c) flat.h_mm(row, c) = 0;
  for (std::size_t i = 0; i < 720; ++i) measured.reading.profile.right_toe_z_mm[i] = NAN;
  Apply(flat, {0.5}, measured.reading);
  EXPECT_TRUE(std::isnan(measured.reading.profile.width_mm[100]));
  EXPECT_TRUE(std::isnan(measured.reading.profile.crown_height_mm[100]));
  EXPECT_THAT(measured.reading.why, testing::Contains(testing::Field(&Why::what, "width_mm")));
}

class ReliefPictures : public recording::TemporaryFolder {};

TEST_F(ReliefPictures, AreReadBackAsTheyWereWritten) {
  Measured measured = Seen();
  relief::Relief relief = Weld();
  relief.h_mm(5, 7) = relief.u_mm(5, 7) = NAN;
  AddReliefPictures(relief, measured);
  ASSERT_FALSE(WritePictures(measured, folder_));
  const auto back = ReadRelief(measured.reading, folder_);
  ASSERT_TRUE(back.ok()) << back.error().message;
  EXPECT_FALSE(back.value().Check());
  EXPECT_TRUE(std::isnan(back.value().h_mm(5, 7)));
  EXPECT_NEAR(back.value().h_mm(40, 100), relief.h_mm(40, 100), 0.00051);
  EXPECT_NEAR(back.value().u_mm(40, 100), 0.02, 1e-6);
  EXPECT_DOUBLE_EQ(back.value().grid.z_from_mm, -8);
  measured.reading.relief->rows = 3;
  const auto wrong = ReadRelief(measured.reading, folder_);
  ASSERT_FALSE(wrong.ok());
  EXPECT_THAT(wrong.error().message, testing::HasSubstr("differs in size"));
}

/// A plane of light is read only where the camera hardly leans; the place aside and the turn about the axis do not
/// count.
TEST(LightLook, ACameraThatLeansTooFarGivesNoHeights) {
  const auto leaning = [](double pitch_deg) {
    return fixtures::scene::PoseLooking(true, 12, -8, -60, pitch_deg, 0, 77);
  };
  EXPECT_FALSE(LeansTooFar({leaning(0), leaning(4.4), leaning(-4.4)}, 4.5));
  const auto fault = LeansTooFar({leaning(0), leaning(-6)}, 4.5);
  ASSERT_TRUE(fault);
  EXPECT_THAT(EnglishOf(*fault), testing::HasSubstr("leans by 6.0 degrees"));
}

}  // namespace
}  // namespace vision::reading
