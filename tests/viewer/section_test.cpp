#include "app/viewer/section.h"

#include <gmock/gmock.h>

#include <QSignalSpy>
#include <cmath>

#include "app/viewer/section_view.h"
#include "tests/reading/told.h"
#include "tests/viewer/support.h"
#include "vision/base/says.h"
#include "vision/reading/heights.h"
#include "vision/reading/measure.h"

namespace app::viewer {
namespace {

using testing::HasSubstr;

/// Walls at 0 and 0.6, toes at +-2.5, a parabola of 1.2 mm over the chord between them: by formula.
double Height(double z) {
  if (z <= -2.5) return 0;
  if (z >= 2.5) return 0.6;
  return 0.6 * (z + 2.5) / 5 + 1.2 * (1 - z * z / 6.25);
}

/// The made-up joint with such a weld all round, without heights from 100 to 110 degrees.
std::filesystem::path WriteJointWithHeights(const std::filesystem::path& folder) {
  const auto file = viewer_test::WriteMadeUpJoint(folder);
  auto reading = viewer_test::MadeUpReading(2400, 300);
  auto relief = vision::relief::EmptyRelief(reading.bore_radius_mm, -8, 8, 0.1, vision::relief::How::kLightSection);
  for (int c = 0; c < relief.grid.columns; ++c)
    for (int row = 0; row < relief.grid.rows; ++row) {
      if (relief.grid.ThetaDeg(c) >= 100 && relief.grid.ThetaDeg(c) < 110) continue;
      relief.h_mm(row, c) = static_cast<float>(Height(relief.grid.ZMm(row)));
      relief.u_mm(row, c) = 0.02F;
    }
  const auto profile = reading.profile;
  reading.unfused.clear(), reading.why.clear();
  std::vector<vision::Sentence> notes;
  const auto told = vision::reading::WithRelief(vision::reading::ToldOf(profile), relief, {}, notes);
  vision::reading::State(told, vision::reading::EdgesOf(profile), {}, reading);
  vision::reading::Measured measured{reading, {}};
  vision::reading::AddReliefPictures(relief, measured);
  measured.pictures.push_back({"strip.png", cv::Mat(300, 2400, CV_8UC3, cv::Scalar(90, 90, 90))});
  measured.pictures.push_back({"strip_seen.png", cv::Mat(300, 2400, CV_8U, cv::Scalar(255))});
  EXPECT_FALSE(vision::reading::WriteMeasured(measured, folder / "measured"));
  return file;
}

class OpenWithHeights : public testing::Test {
 protected:
  void SetUp() override {
    QSignalSpy opened(&desk_, &Desk::opened_joint);
    desk_.Open(WriteJointWithHeights(folder_.path()));
    ASSERT_TRUE(opened.wait(10000));
    ASSERT_TRUE(desk_.opened().heights);
  }
  viewer_test::TemporaryFolder folder_;
  Desk desk_;
};

TEST_F(OpenWithHeights, TheDrawnSurfaceStandsOverItsChordAsTheReadingSays) {
  const auto section = SectionAt(desk_.edited(), desk_.opened().heights, 200);
  ASSERT_EQ(section.surface.size(), 1u);
  ASSERT_TRUE(section.has_chord());
  EXPECT_NEAR(section.wall_left_h, 0, 0.02);
  EXPECT_NEAR(section.wall_right_h, 0.6, 0.02);
  double over = 0;
  for (const auto& cell : section.surface[0]) {
    EXPECT_NEAR(cell.h_mm, Height(cell.z_mm), 0.002);
    const double t = (cell.z_mm - section.toe_left_z) / (section.toe_right_z - section.toe_left_z);
    if (t > 0 && t < 1)
      over = std::max(over, cell.h_mm - section.wall_left_h - t * (section.wall_right_h - section.wall_left_h));
  }
  EXPECT_NEAR(over, 1.2, 0.03);
  EXPECT_NEAR(section.crown, 1.2, 0.03);
  EXPECT_TRUE(section.why.empty());
  EXPECT_TRUE(section.why_no_crown.empty());
}

TEST_F(OpenWithHeights, WhereNothingWasMeasuredItSaysWhy) {
  const auto section = SectionAt(desk_.edited(), desk_.opened().heights, 105);
  EXPECT_TRUE(section.surface.empty());
  EXPECT_FALSE(std::isfinite(section.crown));
  EXPECT_EQ(section.why.code, vision::Says::kNoHeightHere);
  SectionView view(desk_);
  EXPECT_THAT(view.Sentence(section).toStdString(),
              HasSubstr("not measurable from this recording: no height was measured"));
}

TEST_F(OpenWithHeights, AToeMovedByHandMovesTheChordsEnd) {
  notes::HandToe toe;
  auto notes = desk_.notes();
  toe.side = "right", toe.points = {{190, 3.4}, {210, 3.4}};
  notes.toes.push_back(toe);
  desk_.SetNotes(notes);
  EXPECT_NEAR(SectionAt(desk_.edited(), desk_.opened().heights, 200).toe_right_z, 3.4, 1e-6);
}

TEST(Section, OfOneViewSaysOnceThatHeightIsNotMeasurable) {
  const auto reading = viewer_test::MadeUpReading(2400, 300);
  const auto section = SectionAt(reading, std::nullopt, 200);
  EXPECT_TRUE(section.surface.empty());
  EXPECT_FALSE(section.has_chord());
  Desk desk;
  const std::string text = SectionView(desk).Sentence(section).toStdString();
  EXPECT_EQ(text, "Profile: single view: height not measurable from this recording");
}

}  // namespace
}  // namespace app::viewer
