#include <gmock/gmock.h>

#include <algorithm>
#include <opencv2/imgproc.hpp>
#include <opencv2/videoio.hpp>
#include <stop_token>

#include "tests/recording/temporary_folder.h"
#include "vision/recording/frame_source.h"

namespace vision::recording {
namespace {

using testing::HasSubstr;

const std::filesystem::path kPush = ROOTSCROLL_SOURCE_DIR "/fixtures/demo/push.avi";

class Video : public TemporaryFolder {
 protected:
  /// Twelve grey frames with one line each; frames 2 and 9 are sharp, the others blurred.
  std::filesystem::path Twelve() const {
    const auto file = folder_ / "twelve.avi";
    cv::VideoWriter video(file.string(), cv::VideoWriter::fourcc('M', 'J', 'P', 'G'), 10, {160, 120});
    for (int i = 0; i < 12; ++i) {
      cv::Mat3b frame(120, 160, cv::Vec3b(60, 60, 60));
      cv::line(frame, {10 * i + 20, 0}, {10 * i + 20, 119}, cv::Scalar::all(220), 2);
      if (i != 2 && i != 9) cv::GaussianBlur(frame, frame, {}, 4);
      video.write(frame);
    }
    return file;
  }
};

TEST_F(Video, TakesTheSharpestOfEachStretch) {
  VideoDamage damaged;
  const auto frames = ReadVideo(Twelve(), {160, 120}, 2, &damaged);
  ASSERT_TRUE(frames.ok()) << frames.error().message;
  ASSERT_EQ(frames.value().size(), 2U);
  EXPECT_EQ(frames.value()[0].index, 2);
  EXPECT_EQ(frames.value()[0].name, "twelve.avi#2");
  EXPECT_EQ(frames.value()[1].index, 9);
  EXPECT_EQ(EnglishOf(damaged.Said()), "");
  // The picture is that of the frame named: its line stands where frame 9's was drawn.
  EXPECT_GT(frames.value()[1].image(60, 110)[1], 180);
  EXPECT_LT(frames.value()[1].image(60, 40)[1], 80);
}

TEST_F(Video, TheDemoRecordingHoldsWhatItsReadmeSays) {
  VideoDamage damaged;
  const auto frames = ReadVideo(kPush, {960, 720}, 6, &damaged);  // README: 24 frames, 960x720
  ASSERT_TRUE(frames.ok()) << frames.error().message;
  ASSERT_EQ(frames.value().size(), 6U);
  EXPECT_EQ(EnglishOf(damaged.Said()), "");
  for (int part = 0; part < 6; ++part) {
    const Frame& frame = frames.value()[static_cast<std::size_t>(part)];
    EXPECT_EQ(frame.index / 4, part);  // equal stretches of 24 / 6 frames
    EXPECT_EQ(frame.image.size(), cv::Size(960, 720));
    EXPECT_EQ(frame.name, "push.avi#" + std::to_string(frame.index));
    ASSERT_TRUE(frame.time_s.has_value());
  }
}

TEST_F(Video, MorePartsThanFramesGivesEachFrameOnce) {
  const auto frames = ReadVideo(Twelve(), {160, 120}, 50);
  ASSERT_TRUE(frames.ok());
  ASSERT_EQ(frames.value().size(), 12U);
  for (int i = 0; i < 12; ++i) EXPECT_EQ(frames.value()[static_cast<std::size_t>(i)].index, i);
}

TEST_F(Video, AnotherSizeThanTheCameraIsRefused) {
  const auto frames = ReadVideo(Twelve(), {1280, 960}, 2);
  ASSERT_FALSE(frames.ok());
  EXPECT_EQ(frames.error().code, ErrorCode::kBadInput);
  EXPECT_THAT(frames.error().message, HasSubstr("160 x 120 px; the camera in the joint file is 1280 x 960 px."));
}

TEST_F(Video, ATruncatedVideoGivesWhatItHoldsAndSaysHowMuchIsLost) {
  const std::string whole = Bytes(kPush);
  const auto cut = Write("cut.avi", whole.substr(0, whole.size() / 2));
  VideoDamage damaged;
  const auto frames = ReadVideo(cut, {960, 720}, 6, &damaged);
  if (!frames.ok()) {
    EXPECT_EQ(frames.error().code, ErrorCode::kBadInput);
    FAIL() << "half of the frames are whole, yet none was given: " << frames.error().message;
  }
  ASSERT_FALSE(frames.value().empty());
  EXPECT_GE(damaged.missing, 11);  // 24 promised, about half there
  EXPECT_LE(damaged.missing, 13);
  for (const Frame& frame : frames.value()) EXPECT_LT(frame.index, 13);
}

TEST_F(Video, TheHalfDecodedLastFrameOfACutVideoIsLeftOut) {
  // A decoder fills what is missing from the frame before: two places of the camera in one picture. Cut within the
  // last frame; asked for every frame, all but that one must come.
  const std::string whole = Bytes(Twelve());
  const std::size_t index_bytes = 8 + 12 * 16;  // idx1 after the frames: a header and 16 bytes a frame
  VideoDamage damaged;
  const auto frames =
      ReadVideo(Write("cut.avi", whole.substr(0, whole.size() - index_bytes - 60)), {160, 120}, 12, &damaged);
  ASSERT_TRUE(frames.ok()) << frames.error().message;
  ASSERT_FALSE(frames.value().empty());
  EXPECT_EQ(frames.value().back().index, 10);
  EXPECT_EQ(damaged.missing, 1);
  EXPECT_EQ(EnglishOf(damaged.Said()), "1 frames could not be decoded and were left out.");
}

TEST_F(Video, AVideoCutWithinItsHeaderIsRefused) {
  const auto frames = ReadVideo(Write("head.avi", Bytes(kPush).substr(0, 200)), {960, 720}, 6);
  ASSERT_FALSE(frames.ok());
  EXPECT_EQ(frames.error().code, ErrorCode::kBadInput);
  EXPECT_THAT(frames.error().message, HasSubstr("head.avi"));
}

TEST_F(Video, TextAndEmptyFilesAreNoVideos) {
  for (const std::string bytes : {"not a video, only called one\n", ""}) {
    const auto frames = ReadVideo(Write("text.avi", bytes), {960, 720}, 6);
    ASSERT_FALSE(frames.ok());
    EXPECT_EQ(frames.error().code, ErrorCode::kBadInput);
    EXPECT_THAT(frames.error().message, HasSubstr("text.avi is not a video"));
  }
}

TEST_F(Video, AMissingFileIsAnInputOutputError) {
  const auto frames = ReadVideo(folder_ / "nowhere.avi", {960, 720}, 6);
  ASSERT_FALSE(frames.ok());
  EXPECT_EQ(frames.error().code, ErrorCode::kIo);
}

TEST_F(Video, StopsWhenAsked) {
  std::stop_source stop;
  stop.request_stop();
  EXPECT_TRUE(ReadVideo(Twelve(), {160, 120}, 2, nullptr, {stop.get_token(), {}}).cancelled());
}

TEST_F(Video, ReportsProgressUpwards) {
  std::vector<double> done;
  const JobContext job({}, [&](double fraction, std::string_view) { done.push_back(fraction); });
  ASSERT_TRUE(ReadVideo(Twelve(), {160, 120}, 2, nullptr, job).ok());
  ASSERT_GE(done.size(), 12U);  // looking for damage, then reading
  EXPECT_TRUE(std::is_sorted(done.begin(), done.end()));
  EXPECT_LE(done.back(), 1.0);
}

}  // namespace
}  // namespace vision::recording
