#include "vision/reading/film_frames.h"

#include <gmock/gmock.h>

#include <cmath>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/videoio.hpp>

#include "tests/recording/temporary_folder.h"
#include "vision/reading/gather.h"

namespace vision::reading {
namespace {

using testing::HasSubstr;

/// A film of 60 s at 25 frames a second, looked at five times a second: the camera comes from 6 radii to 0.4, in
/// straight time, and then stands. Sharpness is told by the time; the weld shows from 2 radii on.
scan::Scanned Film() {
  scan::Scanned film;
  film.sorted.usual_blur_px = 1;
  film.sorted.blurred_above_px = 1.8;
  for (int i = 0; i < 300; ++i) {
    scan::FrameLook look;
    look.time_s = 0.2 * i;
    look.index = 5 * i;
    look.bright = 0.7;
    look.blur_px = 1 + 0.1 * std::sin(0.7 * i);
    if (i % 5 == 0) {
      scan::WeldCue cue{true, 0, 0, 0};
      cue.distance_radii = std::max(0.4, 6 - 0.112 * look.time_s);
      if (cue.distance_radii <= 2) cue.ring_strength = 100, cue.around = 0.9;
      look.weld = cue;
    }
    film.looks.push_back(look);
  }
  return film;
}

double DistanceOf(int index) { return std::max(0.4, 6 - 0.112 * index / 25.0); }

TEST(FilmFrames, AreTakenNearTheWeldOverAllDistancesInOrder) {
  const auto chosen = PickFrames(Film(), {});
  ASSERT_EQ(chosen.spans.size(), 12U);
  double nearest = 9, farthest = 0;
  for (std::size_t i = 0; i < chosen.spans.size(); ++i) {
    if (i > 0) {
      EXPECT_GT(chosen.spans[i].first, chosen.spans[i - 1].last);
    }
    const double distance = DistanceOf((chosen.spans[i].first + chosen.spans[i].last) / 2);
    nearest = std::min(nearest, distance), farthest = std::max(farthest, distance);
  }
  EXPECT_LT(nearest, 0.5);
  EXPECT_GT(farthest, 1.1);
  EXPECT_LE(farthest, 1.3);
  EXPECT_THAT(EnglishOf(chosen.told), HasSubstr("12 frames"));
}

TEST(FilmFrames, BlurArcAndDarkAreLeftOutGlareAloneIsNot) {
  auto film = Film();
  for (auto& look : film.looks) {
    if (look.time_s > 50 && look.time_s < 55) look.blur_px = 5;
    if (look.time_s >= 55) look.bright = 0.01;
    look.glare = 0.2;
  }
  const auto chosen = PickFrames(film, {});
  ASSERT_FALSE(chosen.spans.empty());
  for (const auto& span : chosen.spans) EXPECT_LT(span.last / 25.0, 50.2);
}

TEST(FilmFrames, AWeldSeenOnlyFromAfarIsTakenFromThereAndNoneGivesNoSpans) {
  auto film = Film();
  film.looks.resize(200);  // up to 1.55 radii
  EXPECT_FALSE(PickFrames(film, {}).spans.empty());
  film.looks.resize(100);  // up to 3.8 radii: no weld told
  EXPECT_TRUE(PickFrames(film, {}).spans.empty());
}

TEST(FilmFrames, GlareAtTheWeldIsLeftOutWhereverItIsKnown) {
  auto film = Film();
  for (auto& look : film.looks)
    if (look.weld && look.time_s > 50) look.weld->glare = 0.2, look.blur_px = 0.1;  // sharpest of all
  const auto chosen = PickFrames(film, {});
  ASSERT_FALSE(chosen.spans.empty());
  for (const auto& span : chosen.spans) {
    const int middle = (span.first + span.last) / 2;
    EXPECT_FALSE(middle % 25 == 0 && middle > 50 * 25) << middle;
  }
}

/// A camera that cannot come nearer than 0.95 radii: a push needs travel, so farther frames are taken than usual.
TEST(FilmFrames, WhereTheNearestIsFarOffTravelIsTakenBeyondIt) {
  auto film = Film();
  for (auto& look : film.looks)
    if (look.weld) look.weld->distance_radii = std::max(0.95, look.weld->distance_radii);
  const auto chosen = PickFrames(film, {});
  ASSERT_EQ(chosen.spans.size(), 12U);
  double farthest = 0;
  for (const auto& span : chosen.spans) farthest = std::max(farthest, DistanceOf((span.first + span.last) / 2));
  EXPECT_GT(farthest, 1.5);
  EXPECT_LE(farthest, 1.75);
}

/// Between two frames that show the weld, one that was searched in vain breaks the distance, however sharp it is.
TEST(FilmFrames, NoFrameIsTakenBesideASearchInVain) {
  auto film = Film();
  for (auto& look : film.looks) {
    if (look.weld && std::abs(look.time_s - 55) < 0.01) *look.weld = {true, 0, 0, 0};
    if (std::abs(look.time_s - 55) < 0.9) look.blur_px = 0.1;
  }
  const auto chosen = PickFrames(film, {});
  ASSERT_EQ(chosen.spans.size(), 12U);
  for (const auto& span : chosen.spans) EXPECT_GE(std::abs(0.5 * (span.first + span.last) / 25.0 - 55), 0.9);
}

/// The demo's push (README: 24 frames towards one weld, lens in fixtures/demo/joint.json) over and over, lamps off from
/// the 20th still on.
class ManyStills : public recording::TemporaryFolder {
 protected:
  MeasureInput Input(int count) const {
    cv::VideoCapture push(ROOTSCROLL_SOURCE_DIR "/fixtures/demo/push.avi", cv::CAP_FFMPEG);
    std::vector<cv::Mat> frames;
    for (cv::Mat image; push.read(image);) frames.push_back(image.clone());
    MeasureInput input;
    input.bore = {77.1, 0.015};
    RecordingInput stills{"root", "root", {}, std::nullopt};
    FrameInput frame;
    frame.lens.width_px = 960, frame.lens.height_px = 720;
    frame.lens.fx_px = frame.lens.fy_px = 259.2;
    frame.lens.cx_px = 479.5, frame.lens.cy_px = 359.5, frame.lens.max_angle_deg = 82;
    for (int i = 0; i < count; ++i) {
      frame.file = folder_ / ("still_" + std::to_string(100 + i) + ".jpg");
      cv::Mat image = frames[static_cast<std::size_t>(i % 24)];
      if (i >= 20) image = 0.02 * image;
      cv::imwrite(frame.file.string(), image);
      stills.frames.push_back(frame);
    }
    input.recordings.push_back(stills);
    return input;
  }
};

TEST_F(ManyStills, OfAFolderOfStillsThoseNearTheWeldAreTakenAsOfAFilm) {
  auto input = Input(42);
  Reading reading;
  const auto waiting = Gather(input, {}, reading, {});
  ASSERT_TRUE(waiting.ok()) << waiting.error().message;
  EXPECT_EQ(waiting.value().size(), 12U);
  for (const auto& frame : waiting.value())
    EXPECT_LT(std::stoi(frame.setting.file.stem().string().substr(6)), 120);  // where the lamps were on
  ASSERT_FALSE(reading.notes.empty());
  EXPECT_THAT(EnglishOf(reading.notes.back()), HasSubstr("42 stills: 12 frames were taken between still"));
  cv::imwrite((folder_ / "another.jpg").string(), cv::Mat3b(720, 960, cv::Vec3b(90, 90, 90)));
  Reading other;
  const auto all = Gather(input, {}, other, {});  // the folder holds more than the recording: nothing is chosen
  ASSERT_TRUE(all.ok());
  EXPECT_EQ(all.value().size(), 42U);
}

TEST_F(ManyStills, AFewAreAllTaken) {
  Reading reading;
  const auto waiting = Gather(Input(40), {}, reading, {});
  ASSERT_TRUE(waiting.ok());
  EXPECT_EQ(waiting.value().size(), 40U);
}

TEST(FilmFrames, OptionsAreChecked) {
  FilmOptions options;
  EXPECT_FALSE(options.Check().has_value());
  options.farthest_radii = 0.1;
  EXPECT_THAT(options.Check()->message, HasSubstr("farthest_radii"));
}

}  // namespace
}  // namespace vision::reading
