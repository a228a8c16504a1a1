#include "vision/scan/scan.h"

#include <gmock/gmock.h>

#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>
#include <opencv2/videoio.hpp>
#include <stop_token>

#include "tests/recording/temporary_folder.h"

namespace vision::scan {
namespace {

using testing::HasSubstr;

/// A film spliced from the demo's push (README: 24 frames towards one weld) and from pictures changed by hand, with
/// what was put where as the truth. Its lens is the demo's `head-video` (fixtures/demo/joint.json).
class Spliced : public recording::TemporaryFolder {
 protected:
  static constexpr double kFps = 10;

  static CameraKnown Camera() {
    CameraKnown camera;
    camera.lens.width_px = 960;
    camera.lens.height_px = 720;
    camera.lens.fx_px = camera.lens.fy_px = 259.2;
    camera.lens.cx_px = 479.5;
    camera.lens.cy_px = 359.5;
    camera.lens.max_angle_deg = 82;
    camera.radius_mm = 77.1;
    camera.calibrated = true;
    return camera;
  }

  std::filesystem::path Film(const std::string& name = "film.avi",
                             int code = cv::VideoWriter::fourcc('M', 'J', 'P', 'G')) const {
    cv::VideoCapture push(ROOTSCROLL_SOURCE_DIR "/fixtures/demo/push.avi", cv::CAP_FFMPEG);
    std::vector<cv::Mat> frames;
    for (cv::Mat image; push.read(image);) frames.push_back(image.clone());
    const auto file = folder_ / name;
    cv::VideoWriter film(file.string(), code, kFps, frames[0].size());
    cv::Mat changed;
    for (int i = 0; i < 30; ++i) film.write(frames[static_cast<std::size_t>(i % 24)]);  // 0 to 3 s: at the weld
    for (int i = 0; i < 20; ++i) {                                                      // 3 to 5 s: lights off
      frames[0].convertTo(changed, CV_8U, 0.03);
      film.write(changed);
    }
    for (int i = 0; i < 20; ++i) {  // 5 to 7 s: out of focus
      cv::GaussianBlur(frames[static_cast<std::size_t>(i)], changed, {}, 9);
      film.write(changed);
    }
    for (int i = 0; i < 30; ++i) film.write(frames[static_cast<std::size_t>(i % 24)]);  // 7 to 10 s: at the weld
    return file;
  }

  /// The film above sorted with the camera known, once for the tests that only look at the answer.
  const Result<Scanned>& Sorted() const {
    static const auto camera = Camera();
    static const auto sorted = Scan(Film().string(), &camera);
    return sorted;
  }

  static Shows At(const Scanned& scanned, double time_s) {
    for (const auto& s : scanned.sorted.stretches)
      if (time_s >= s.from_s && time_s < s.to_s) return s.shows;
    return Shows::kDamaged;
  }
};

TEST_F(Spliced, EachPartIsCalledWhatWasPutThere) {
  const auto& scanned = Sorted();
  ASSERT_TRUE(scanned.ok()) << scanned.error().message;
  EXPECT_EQ(At(scanned.value(), 1.5), Shows::kAtWeld);
  EXPECT_EQ(At(scanned.value(), 4.0), Shows::kDark);
  EXPECT_EQ(At(scanned.value(), 6.0), Shows::kBlurred);
  EXPECT_EQ(At(scanned.value(), 8.5), Shows::kAtWeld);
  EXPECT_TRUE(scanned.value().damage.empty());
  ASSERT_EQ(scanned.value().sorted.welds.size(), 1u);  // nobody travelled between the two looks
  const auto& weld = scanned.value().sorted.welds[0];
  ASSERT_TRUE(weld.proposed);
  EXPECT_TRUE(weld.best_to_s <= 3.2 || weld.best_from_s >= 6.8) << weld.best_from_s << " " << weld.best_to_s;
  std::string reasons;
  for (const auto& refused : weld.refused) reasons += SentenceOf(refused.why) + "\n";
  EXPECT_THAT(reasons, HasSubstr("lights off"));
  EXPECT_THAT(reasons, HasSubstr("blurred"));
}

TEST_F(Spliced, JsonKeepsToItsSchemaAndABrokenOneIsRefused) {
  const auto& scanned = Sorted();
  ASSERT_TRUE(scanned.ok());
  const auto text = ToJson(scanned.value());
  ASSERT_TRUE(text.ok()) << text.error().message;
  EXPECT_EQ(CheckScanJson(text.value(), "scan.json"), std::nullopt);
  auto broken = text.value();
  broken.replace(broken.find("lights off"), 10, "lights out");
  const auto refused = CheckScanJson(broken, "scan.json");
  ASSERT_TRUE(refused);
  EXPECT_THAT(refused->message, HasSubstr("scan.json"));
  EXPECT_FALSE(TimelinePicture(scanned.value()).empty());
}

TEST_F(Spliced, BytesOverwrittenInTheMiddleAreReportedAndTheRestIsSorted) {
  auto bytes = Bytes(Film());
  const std::size_t from = bytes.size() * 15 / 100;
  for (std::size_t i = from; i < from + 60000; ++i) bytes[i] = static_cast<char>(i * 7919 >> 3);
  const auto camera = Camera();
  const auto scanned = Scan(Write("bad.avi", bytes).string(), &camera);
  ASSERT_TRUE(scanned.ok()) << scanned.error().message;
  ASSERT_FALSE(scanned.value().damage.empty());
  EXPECT_LT(scanned.value().damage[0].from_s, 3);
  EXPECT_EQ(At(scanned.value(), 8.0), Shows::kAtWeld);
}

// The decoder of a predicted video fills in what it cannot decode, without a word to whoever asks for frames.
TEST_F(Spliced, DamageInAPredictedVideoIsNamedAndNothingInItIsLookedAt) {
  const auto file = Film("film.mp4", cv::VideoWriter::fourcc('m', 'p', '4', 'v'));
  if (!std::filesystem::exists(file)) GTEST_SKIP() << "no MPEG-4 coder";
  const auto camera = Camera();
  const auto whole = Scan(file.string(), &camera);
  ASSERT_TRUE(whole.ok()) << whole.error().message;
  EXPECT_TRUE(whole.value().damage.empty());
  auto bytes = Bytes(file);
  const std::size_t from = bytes.size() * 15 / 100;
  for (std::size_t i = from; i < from + 400; ++i) bytes[i] = static_cast<char>(i * 7919 >> 3);
  const auto scanned = Scan(Write("bad.mp4", bytes).string(), &camera);
  ASSERT_TRUE(scanned.ok()) << scanned.error().message;
  ASSERT_FALSE(scanned.value().damage.empty());
  EXPECT_LT(scanned.value().damage[0].from_s, 3);
  for (const auto& bad : scanned.value().damage)
    for (const auto& look : scanned.value().looks)
      EXPECT_FALSE(look.time_s >= bad.from_s && look.time_s < bad.to_s - 1e-6) << look.time_s;
  EXPECT_EQ(At(scanned.value(), 8.0), Shows::kAtWeld);
}

TEST_F(Spliced, AFileCutInTheMiddleSaysSo) {
  const auto bytes = Bytes(Film());
  const auto camera = Camera();
  const auto scanned = Scan(Write("cut.avi", bytes.substr(0, bytes.size() / 5)).string(), &camera);
  ASSERT_TRUE(scanned.ok()) << scanned.error().message;
  ASSERT_FALSE(scanned.value().damage.empty());
  EXPECT_THAT(scanned.value().damage.back().what, HasSubstr("cut short"));
  EXPECT_NEAR(scanned.value().damage.back().to_s, 10, 0.2);
}

/// Noise that moves on, as a wall does, or stands still; with a line of text from `text_from_s` to `text_to_s` in one
/// picture out of `every`.
std::vector<BurnedIn> Texts(double text_from_s, double text_to_s, double still_from_s, int every = 1) {
  cv::Mat1b wall(1200, 320);
  cv::RNG(7).fill(wall, cv::RNG::UNIFORM, 60, 140);
  cv::GaussianBlur(wall, wall, {}, 1.5);
  BurnedInFinder finder(3);
  for (int i = 0; i < 200; ++i) {  // 40 s
    const double time_s = 0.2 * i;
    cv::Mat1b picture = wall.rowRange(0, 240).clone();
    if (time_s < still_from_s) picture = wall.rowRange(4 * i, 4 * i + 240).clone();
    if (time_s >= text_from_s && time_s < text_to_s && i % every == 0)
      cv::putText(picture, "LINE 7 JOINT 12", {20, 30}, cv::FONT_HERSHEY_SIMPLEX, 0.5, cv::Scalar(255), 1);
    finder.Add(picture, time_s, true);
  }
  return finder.Finish();
}

TEST(BurnedIn, TextIsToldWhereItStoodAndFromWhenToWhen) {
  const auto told = Texts(10, 25, 100);
  ASSERT_EQ(told.size(), 1u);
  EXPECT_NEAR(told[0].from_s, 10, 0.5);
  EXPECT_NEAR(told[0].to_s, 25, 0.5);
  // The text's own box, by OpenCV's getTextSize: 15 letters of size 0.5 are 129 px wide; three times as large in full.
  EXPECT_NEAR(told[0].place.x, 60, 12);
  EXPECT_NEAR(told[0].place.width, 387, 40);
  EXPECT_TRUE(Texts(50, 60, 100).empty());
  EXPECT_TRUE(Texts(10, 14, 100).empty());     // too short to be told from a highlight
  EXPECT_TRUE(Texts(10, 25, 100, 2).empty());  // it blinks
}

TEST(BurnedIn, WhileNothingMovesTextGoesOnButNoneBegins) {
  const auto told = Texts(10, 35, 20);
  ASSERT_EQ(told.size(), 1u);
  EXPECT_NEAR(told[0].to_s, 35, 0.5);
  EXPECT_TRUE(Texts(25, 40, 20).empty());
}

/// Columns of one curve's band that hold ink, right of its name (timeline.cpp: 150 px of names, bands 46 px high).
int InkedColumns(const cv::Mat3b& page, int from_bottom) {
  int inked = 0;
  const cv::Mat band = page(cv::Rect(150, page.rows - from_bottom, 1200, 44));
  for (int u = 0; u < band.cols; ++u) {
    double darkest = 255;
    cv::minMaxLoc(band.col(u).clone().reshape(1), &darkest);
    inked += darkest < 120;
  }
  return inked;
}

TEST(Timeline, AShortClipHasItsCurvesToo) {
  Scanned scanned;  // 1.6 s looked at five times a second: 150 columns from look to look
  scanned.duration_s = 1.6;
  for (int i = 0; i < 9; ++i) {
    FrameLook look;
    look.time_s = 0.2 * i;
    look.level = 0.5;
    look.blur_px = 2;
    look.glare = 0.05;
    scanned.looks.push_back(look);
  }
  scanned.sorted.blurred_above_px = 4;
  const auto page = TimelinePicture(scanned);
  for (const int band : {222, 166, 110}) EXPECT_GT(InkedColumns(page, band), 1190) << band;
  scanned.looks.erase(scanned.looks.begin() + 1, scanned.looks.begin() + 6);  // 0.2 to 1 s: nothing looked at
  EXPECT_LT(InkedColumns(TimelinePicture(scanned), 222), 700);
  scanned.looks.resize(1);
  EXPECT_GT(InkedColumns(TimelinePicture(scanned), 222), 1);
}

TEST_F(Spliced, StopsWhenAskedAndRefusesAnotherCamera) {
  std::stop_source stop;
  stop.request_stop();
  const auto film = Film().string();
  auto camera = Camera();
  EXPECT_TRUE(Scan(film, &camera, {}, {stop.get_token(), {}}).cancelled());
  camera.lens.width_px = 1280;
  const auto refused = Scan(film, &camera);
  ASSERT_FALSE(refused.ok());
  EXPECT_THAT(refused.error().message, HasSubstr("960 x 720 px; the camera in the joint file is 1280 x 720 px."));
}

TEST_F(Spliced, APictureTooSmallOrTooLongToLookAtIsRefusedInOurOwnWords) {
  for (const cv::Size size :
       {cv::Size(1, 1), cv::Size(20000, 1), cv::Size(1, 20000), cv::Size(63, 63), cv::Size(5000, 70)}) {
    const auto stills = folder_ / ("stills" + std::to_string(size.width) + "x" + std::to_string(size.height));
    std::filesystem::create_directories(stills);
    ASSERT_TRUE(cv::imwrite((stills / "a.png").string(), cv::Mat3b(size, cv::Vec3b(90, 90, 90))));
    const auto scanned = Scan(stills.string(), nullptr);
    ASSERT_FALSE(scanned.ok()) << size;
    EXPECT_THAT(scanned.error().message, HasSubstr("pictures of at least 64 px a side"));
  }
}

TEST_F(Spliced, LooksAreTakenByTheClockNotByCount) {
  recording::StreamOptions options;
  options.look_every_s = 0.5;
  options.reduce = 4;
  auto stream = recording::FrameStream::Open(Film().string(), options);
  ASSERT_TRUE(stream.ok());
  std::vector<double> times;
  for (;;) {
    auto next = stream.value().Next();
    ASSERT_TRUE(next.ok());
    if (!next.value()) break;
    EXPECT_EQ(next.value()->image.size(), cv::Size(240, 180));
    times.push_back(next.value()->time_s);
  }
  ASSERT_EQ(times.size(), 20u);  // 10 s
  for (std::size_t i = 0; i < times.size(); ++i) EXPECT_NEAR(times[i], 0.5 * static_cast<double>(i), 1e-9);
}

}  // namespace
}  // namespace vision::scan
