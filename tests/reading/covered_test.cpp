#include "vision/reading/covered.h"

#include <gmock/gmock.h>

#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>

#include "tests/pose/known_frames.h"
#include "tests/recording/temporary_folder.h"
#include "vision/base/says.h"
#include "vision/reading/measure.h"

namespace vision::reading {
namespace {

/// A look on a strip of 20 x 720 cells (1 mm x 0.5 degree), all of it seen, nothing covered.
Look Plain() {
  Look look;
  look.strip.grid = unroll::StripGrid::Over(50, -10, 10, 1.0);
  const cv::Size size(look.strip.grid.columns, look.strip.grid.rows);
  look.strip.valid = cv::Mat1b(size, 255);
  look.said.covered = cv::Mat1f::zeros(evidence::kBins, evidence::kLines);
  return look;
}

TEST(Covered, CellsThatTheReaderCallsCoveredAreNoLongerSeenWhereTheyLie) {
  for (const bool near_is_left : {true, false}) {
    Look look = Plain();
    look.said.near_is_left = near_is_left;
    // 100 to 110 degrees, from 2 to 5 mm on the near side's own count: bins by the maps' definition (evidence.h).
    for (int line = 200; line < 220; ++line)
      for (int bin = 0; bin < evidence::kBins; ++bin) {
        const double z = evidence::kFirstBin_mm + bin * evidence::kBin_mm;
        if (z >= 2 && z <= 5) look.said.covered(bin, line) = 0.9F;
      }
    const cv::Mat1b before = look.strip.valid;
    TakeOutCovered(look);
    EXPECT_EQ(cv::countNonZero(before), before.total());  // a copy of the strip elsewhere is left alone
    for (const double theta_deg : {99.0, 105.0, 111.0})
      for (const double z_mm : {-3.5, 0.0, 3.5}) {
        const int row = static_cast<int>(std::lround(look.strip.grid.Row(z_mm)));
        const bool covered = theta_deg == 105 && z_mm == (near_is_left ? 3.5 : -3.5);
        EXPECT_EQ(look.strip.valid(row, look.strip.grid.NearestColumn(theta_deg)) == 0, covered)
            << theta_deg << " " << z_mm << " " << near_is_left;
      }
  }
}

/// The demo's frame (truth beside it) with a hose painted over a sector of the picture.
class AHose : public recording::TemporaryFolder {
 protected:
  Measured Read(bool with_hose, bool without) const {
    const std::filesystem::path demo = ROOTSCROLL_SOURCE_DIR "/fixtures/demo";
    const auto known = pose::FramesOf(demo).front();
    cv::Mat picture = cv::imread((demo / "from_a.jpg").string());
    const cv::Point middle(picture.cols / 2, picture.rows / 2), end(picture.cols - 60, middle.y + 40);
    cv::line(picture, middle, end, cv::Scalar(30, 28, 34), 60, cv::LINE_AA);
    cv::line(picture, middle - cv::Point(0, 14), end - cv::Point(0, 14), cv::Scalar(70, 66, 74), 12, cv::LINE_AA);
    cv::imwrite((folder_ / "hose.png").string(), picture);
    MeasureInput input;
    input.bore = {77.1, 0.015};
    input.insert_width_mm = 4.2;
    FrameInput frame;
    frame.lens = known.setting.lens, frame.facing = known.setting.facing,
    frame.up_theta_deg = known.setting.up_theta_deg;
    frame.known_pose = known.truth;
    RecordingInput recording{"root", "root", {}, std::nullopt};
    for (const auto& file : {folder_ / "hose.png", demo / "from_a.jpg"}) {
      frame.file = file;
      if (file.filename() == "hose.png" ? with_hose : without) recording.frames.push_back(frame);
    }
    input.recordings.push_back(recording);
    return Measure(input).value();
  }
};

int NotSeen(const Measured& measured) {
  const auto& strip = measured.reading.strip;
  for (const auto& picture : measured.pictures)
    if (picture.name == strip.mask_file)
      return static_cast<int>(picture.image.total()) - cv::countNonZero(picture.image);
  return -1;
}

int Covered(const Reading& reading) {
  double degrees = 0;
  for (const auto& why : reading.why)
    if (why.what == "width_mm" && why.reason.code == Says::kCovered) degrees += why.end_deg - why.start_deg;
  return static_cast<int>(degrees);
}

TEST_F(AHose, HidesItsPartAndASecondFrameThatSeesPastItFillsIt) {
  const auto hose = Read(true, false), clear = Read(false, true), both = Read(true, true);
  const double cells = hose.reading.strip.columns * static_cast<double>(hose.reading.strip.rows);
  EXPECT_GT(NotSeen(hose) - NotSeen(clear), 0.02 * cells);  // 60 px across a ring of some 2000 px: 3 %
  EXPECT_LT(NotSeen(hose) - NotSeen(clear), 0.12 * cells);
  EXPECT_GE(Covered(hose.reading), 4);
  EXPECT_EQ(Covered(clear.reading), 0);
  EXPECT_LT(NotSeen(both) - NotSeen(clear), 0.005 * cells);
}

}  // namespace
}  // namespace vision::reading
