#include <gmock/gmock.h>

#include <opencv2/imgcodecs.hpp>

#include "tests/pose/known_frames.h"
#include "tests/recording/temporary_folder.h"
#include "vision/reading/look.h"
#include "vision/reading/measure.h"
#include "vision/reading/push.h"

namespace vision::reading {
namespace {

using testing::Contains;
using testing::HasSubstr;
using testing::Not;

/// The demo's frame changed by hand, measured from its true place.
class Righted : public recording::TemporaryFolder {
 protected:
  Reading Read(const cv::Mat& picture, bool mirrored) const {
    const auto known = Frame();
    const auto file = folder_ / "frame.png";
    cv::imwrite(file.string(), picture);
    MeasureInput input;
    input.bore = {77.1, 0.015};
    input.insert_width_mm = 4.2;
    FrameInput frame;
    frame.file = file, frame.lens = known.setting.lens, frame.facing = known.setting.facing;
    frame.up_theta_deg = known.setting.up_theta_deg, frame.known_pose = known.truth, frame.mirrored = mirrored;
    input.recordings.push_back({"root", "root", {frame}, std::nullopt});
    return Measure(input).value().reading;
  }
  static pose::KnownFrame Frame() { return pose::FramesOf(ROOTSCROLL_SOURCE_DIR "/fixtures/demo").front(); }
};

TEST_F(Righted, AMirroredPictureSaidToBeOneGivesTheSameNumbers) {
  const cv::Mat picture = Frame().picture;
  cv::Mat mirrored;
  cv::flip(picture, mirrored, 1);
  const auto straight = Read(picture, false), back = Read(mirrored, true), wrong = Read(mirrored, false);
  ASSERT_TRUE(straight.weld_found);
  int same = 0, stated = 0, as_wrong = 0;
  for (std::size_t i = 0; i < straight.profile.left_toe_z_mm.size(); ++i) {
    if (!(straight.profile.left_toe_z_mm[i] == straight.profile.left_toe_z_mm[i])) continue;
    ++stated;
    same += straight.profile.left_toe_z_mm[i] == back.profile.left_toe_z_mm[i];
    as_wrong += straight.profile.left_toe_z_mm[i] == wrong.profile.left_toe_z_mm[i];
  }
  EXPECT_GT(stated, 300);
  EXPECT_EQ(same, stated);
  EXPECT_LT(as_wrong, stated / 4);
  EXPECT_THAT(EnglishOf(back.notes), testing::HasSubstr("mirror images"));
  EXPECT_THAT(EnglishOf(straight.notes), Not(HasSubstr("mirror images")));
}

TEST_F(Righted, AnInterlacedPictureIsToldAndReadFromOneOfItsTwoMoments) {
  const cv::Mat picture = Frame().picture;
  cv::Mat comb = picture.clone();
  constexpr int kShift = 6;
  for (int y = 1; y < comb.rows; y += 2)
    picture.row(y).colRange(0, comb.cols - kShift).copyTo(comb.row(y).colRange(kShift, comb.cols));
  EXPECT_THAT(EnglishOf(Read(picture, false).notes), Not(HasSubstr("interlaced")));
  EXPECT_THAT(EnglishOf(Read(comb, false).notes), testing::HasSubstr("1 frames are interlaced"));
}

// By hand: of 1, 9, 3, 9, 5, 9 (even lines one moment, odd lines another) the even ones stay, and between them lies
// their mean.
TEST_F(Righted, DecodingTurnsAMirroredPictureBackAndKeepsEverySecondLineOfAnInterlacedOne) {
  cv::Mat3b comb(64, 64);
  for (int y = 0; y < comb.rows; ++y)
    for (int x = 0; x < comb.cols; ++x) comb(y, x) = cv::Vec3b::all(static_cast<uchar>(y % 2 == 0 ? y + x : 200));
  Waiting waiting;
  waiting.frame = recording::Frame{comb.clone(), "comb", 0, std::nullopt};
  waiting.setting.mirrored = true;
  ASSERT_FALSE(Decode(waiting));
  EXPECT_TRUE(waiting.interlaced);
  const cv::Mat3b& righted = waiting.frame->image;
  EXPECT_EQ(righted(10, 5)[0], 10 + 58);  // mirrored: 63 - 5
  EXPECT_EQ(righted(11, 5)[0], 11 + 58);
  ASSERT_FALSE(Decode(waiting));
  EXPECT_EQ(waiting.frame->image(10, 5)[0], 10 + 58) << "turned back once only";
}

TEST_F(Righted, BurnedInTextIsMasked) {
  FrameInput frame;
  frame.lens = Frame().setting.lens;
  frame.covered_px = {{10, 20, 100, 30}, {frame.lens.width_px - 5, 0, 50, 50}};
  const auto setting = SettingOf(frame);
  ASSERT_TRUE(setting.ok());
  EXPECT_EQ(cv::countNonZero(setting.value().mask), 100 * 30 + 5 * 50);
  EXPECT_EQ(setting.value().mask(25, 15), 255);
}

}  // namespace
}  // namespace vision::reading
