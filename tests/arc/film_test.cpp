#include <gmock/gmock.h>
#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <opencv2/videoio.hpp>

#include "fixtures/scene/arc_film.h"
#include "fixtures/scene/options.h"
#include "vision/arc/follow.h"
#include "vision/bore/angle.h"

namespace vision::arc {
namespace {

using testing::HasSubstr;

/// A weld of a quarter of the round, made once for all tests here.
class Film : public testing::Test {
 protected:
  struct Made {
    std::filesystem::path folder, file;
    std::vector<fixtures::scene::FilmFrame> frames;
    std::unique_ptr<fixtures::scene::ArcFilm> film;
    pose::FrameSetting setting;
  };

  static void SetUpTestSuite() {
    made_ = new Made;
    made_->folder = std::filesystem::temp_directory_path() / ("rootscroll_arc_" + std::to_string(::getpid()));
    std::filesystem::create_directories(made_->folder);
    fixtures::scene::FilmOptions options;
    options.kind = "saturated";
    options.seed = 5;
    options.radius_mm = 26;
    options.frames_per_second = 6;
    options.sweep_deg = 60;
    options.speed_mm_min = 140;
    auto film = fixtures::scene::ArcFilm::Make(options);
    ASSERT_TRUE(film.ok());
    made_->film = std::make_unique<fixtures::scene::ArcFilm>(std::move(film).value());
    made_->file = made_->folder / "film.avi";
    cv::VideoWriter video(made_->file.string(), cv::VideoWriter::fourcc('M', 'J', 'P', 'G'), options.frames_per_second,
                          {options.width_px, options.height_px});
    for (int i = 0; i < made_->film->frames(); ++i) {
      made_->frames.push_back(made_->film->Plan(i));
      video << made_->film->Shoot(&made_->frames.back());
    }
    made_->setting.lens = made_->frames.front().view.lens;
    made_->setting.up_theta_deg = fixtures::scene::UpThetaDeg(made_->frames.front().view.bore_from_cam);
  }
  static void TearDownTestSuite() {
    std::filesystem::remove_all(made_->folder);
    delete made_;
    made_ = nullptr;
  }

  static Result<Welding> FollowIt() {
    return Follow(made_->file.string(), {made_->film->scene().radius_mm, 0.05}, made_->setting);
  }

  static Made* made_;
};

Film::Made* Film::made_ = nullptr;

TEST_F(Film, TheArcIsWhereItIs) {
  const auto welding = FollowIt();
  ASSERT_TRUE(welding.ok()) << welding.error().message;
  const auto& course = welding.value().course;
  std::vector<double> off;
  int inside = 0;
  for (const auto& m : course.moments) {
    const auto& frame = made_->frames.at(static_cast<std::size_t>(m.index));
    if (!frame.arc_on) continue;
    off.push_back(std::abs(bore::Wrap180(m.theta_deg - frame.light_theta_deg)));
    inside += off.back() <= 2 * welding.value().theta_u_deg;
  }
  std::sort(off.begin(), off.end());
  const auto on = std::count_if(made_->frames.begin(), made_->frames.end(), [](const auto& f) { return f.arc_on; });
  EXPECT_GE(static_cast<double>(off.size()), 0.95 * static_cast<double>(on));
  EXPECT_LE(off[off.size() * 95 / 100], 2.0);  // degrees; half of what a minute of the dial is (6)
  EXPECT_GE(inside, static_cast<int>(0.95 * static_cast<double>(off.size())));
  EXPECT_EQ(course.clockwise, made_->film->run().clockwise());
  EXPECT_NEAR(course.swept_deg, 60, 2 * welding.value().swept_u_deg);
  ASSERT_EQ(course.stops.size(), made_->film->run().stops().size());
}

TEST_F(Film, GoesThroughItsFileAndBack) {
  const auto welding = FollowIt();
  ASSERT_TRUE(welding.ok());
  const auto text = ToJson(welding.value());
  ASSERT_TRUE(text.ok()) << text.error().message;
  const auto times = FromJson(text.value(), "arc.json");
  ASSERT_TRUE(times.ok()) << times.error().message;
  ASSERT_EQ(times.value().time_s.size(), 360U);
  int welded = 0;
  for (int degree = 0; degree < 360; ++degree) {
    const double told = times.value().time_s[static_cast<std::size_t>(degree)],
                 is = WeldedAt(welding.value().course, degree);
    ASSERT_EQ(std::isnan(told), std::isnan(is));
    if (std::isnan(told)) continue;
    EXPECT_NEAR(told, is, 1e-3);
    ++welded;
  }
  EXPECT_NEAR(welded, 60, 4);
  ASSERT_EQ(times.value().stops.size(), welding.value().course.stops.size());
  auto json = nlohmann::json::parse(text.value());
  json["stops"] = 3;
  const auto refused = FromJson(json.dump(), "arc.json");
  ASSERT_FALSE(refused.ok());
  EXPECT_THAT(refused.error().message, HasSubstr("stops"));
}

TEST_F(Film, ACameraThatIsNeverSeenWithoutTheArcIsSaidSo) {
  const auto file = made_->folder / "arc_only.avi";
  {
    cv::VideoCapture whole(made_->file.string(), cv::CAP_FFMPEG);
    cv::VideoWriter video(file.string(), cv::VideoWriter::fourcc('M', 'J', 'P', 'G'), 6, {640, 480});
    cv::Mat image;
    for (std::size_t i = 0; whole.read(image); ++i)
      if (made_->frames.at(i).arc_on) video << image;
  }
  const auto welding = Follow(file.string(), {26, 0.05}, made_->setting);
  ASSERT_FALSE(welding.ok());
  EXPECT_EQ(welding.error().code, ErrorCode::kNotFound);
  EXPECT_THAT(welding.error().message, HasSubstr("not measurable from this recording"));
}

const char* const kPush = ROOTSCROLL_SOURCE_DIR "/fixtures/demo/push.avi";  // 960 x 720

pose::FrameSetting DemoSetting(int width_px) {
  pose::FrameSetting setting;
  setting.lens.width_px = width_px, setting.lens.height_px = 720;
  setting.lens.fx_px = setting.lens.fy_px = 259.2;
  setting.lens.cx_px = 479.5, setting.lens.cy_px = 359.5;
  setting.lens.max_angle_deg = 82;
  return setting;
}

TEST(Follow, ACameraOfAnotherSizeIsRefused) {
  const auto welding = Follow(kPush, {77.1, 0.1}, DemoSetting(1280));
  ASSERT_FALSE(welding.ok());
  EXPECT_EQ(welding.error().code, ErrorCode::kBadInput);
  EXPECT_THAT(welding.error().message, HasSubstr("960 x 720"));
}

TEST(Follow, ARecordingWithoutAnArcIsSaidSo) {
  const auto welding = Follow(kPush, {77.1, 0.1}, DemoSetting(960));
  ASSERT_FALSE(welding.ok());
  EXPECT_EQ(welding.error().code, ErrorCode::kNotFound);
  EXPECT_THAT(welding.error().message, HasSubstr("no arc found"));
}

TEST(Follow, CanBeStopped) {
  std::stop_source stop;
  stop.request_stop();
  const auto welding = Follow(kPush, {77.1, 0.1}, DemoSetting(960), {}, JobContext(stop.get_token(), {}));
  ASSERT_FALSE(welding.ok());
  EXPECT_TRUE(welding.cancelled());
}

}  // namespace
}  // namespace vision::arc
