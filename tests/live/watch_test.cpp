#include "vision/live/watch.h"

#include <gmock/gmock.h>
#include <signal.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <fstream>
#include <opencv2/videoio.hpp>
#include <thread>

#include "app/joint/joint.h"
#include "app/joint/json_check.h"
#include "vision/live/watch_json.h"

extern char** environ;

namespace vision::live {
namespace {

const std::filesystem::path kDemo = std::filesystem::path(ROOTSCROLL_SOURCE_DIR) / "fixtures/demo";

WatchOptions DemoOptions() {
  const auto joint = app::joint::LoadJoint(kDemo / "joint.json");
  WatchOptions options;
  options.reader.source = (kDemo / "push.avi").string();
  options.camera = "head-video";
  options.setting.lens = joint.value().FindCamera("head-video")->lens;
  options.setting.up_theta_deg = 180.9664;
  options.bore.radius_mm = 0.5 * joint.value().pipe.inside_diameter.value_mm;
  options.reader.size = {options.setting.lens.width_px, options.setting.lens.height_px};
  return options;
}

std::filesystem::path NewFolder(const std::string& name) {
  const auto folder = std::filesystem::temp_directory_path() / (name + std::to_string(::getpid()));
  std::filesystem::remove_all(folder);
  std::filesystem::create_directories(folder);
  return folder;
}

TEST(Watch, AFileIsFollowedToItsEndCoveredAllRoundAndRecorded) {
  auto options = DemoOptions();
  const auto folder = NewFolder("watch_file_");
  options.reader.every_frame = true;
  options.record.emplace();
  options.record->file = folder / "kept.avi";
  options.record->waiting = 100;
  const auto watched = Watch(options, {});
  ASSERT_TRUE(watched.ok()) << watched.error().message;
  const auto& f = watched.value().figures;
  EXPECT_EQ(f.came, 24);
  EXPECT_EQ(f.processed, 24);
  EXPECT_EQ(f.dropped, 0);
  EXPECT_EQ(f.followed + f.found_afresh, 24);
  EXPECT_GE(f.followed, 22);
  EXPECT_EQ(f.ended_by, "the source ended");
  for (const double part : f.coverage) EXPECT_GT(part, 0.95);
  EXPECT_EQ(f.recorded, 24);
  EXPECT_EQ(f.record_lost, 0);
  cv::VideoCapture kept(f.record_files.at(0));
  cv::Mat picture;
  int frames = 0;
  while (kept.read(picture)) ++frames;
  EXPECT_EQ(frames, 24);
  const auto json = nlohmann::json::parse(WatchJson(options, watched.value()));
  const auto broken = app::joint::CheckSchemaText(json, WatchSchema(), "watch.json");
  EXPECT_FALSE(broken) << broken->message;
  auto wrong = json;
  wrong["frames"].erase("dropped");
  EXPECT_TRUE(app::joint::CheckSchemaText(wrong, WatchSchema(), "watch.json"));
  std::filesystem::remove_all(folder);
}

TEST(Watch, ASlowTakerSeesTheNewestAndWhatWentByIsCounted) {
  auto options = DemoOptions();
  WatchListener slow;
  slow.on_frame = [&](const WatchView&) { std::this_thread::sleep_for(std::chrono::milliseconds(250)); };
  const auto watched = Watch(options, slow);
  ASSERT_TRUE(watched.ok());
  const auto& f = watched.value().figures;
  EXPECT_EQ(f.came, 24);
  EXPECT_EQ(f.processed + f.dropped, f.came);
  EXPECT_GT(f.dropped, 5);
}

TEST(Watch, StopsWhenAskedAndKeepsWhatItSaw) {
  auto options = DemoOptions();
  std::stop_source stop;
  WatchListener listener;
  listener.on_frame = [&](const WatchView&) { stop.request_stop(); };
  const auto watched = Watch(options, listener, JobContext(stop.get_token(), {}));
  ASSERT_TRUE(watched.ok());
  EXPECT_EQ(watched.value().figures.ended_by, "stopped");
  EXPECT_GE(watched.value().figures.processed, 1);
}

TEST(Watch, BadSourcesAreRefusedInOneSentence) {
  auto options = DemoOptions();
  options.reader.source = "/nowhere/at_all.avi";
  auto watched = Watch(options, {});
  ASSERT_FALSE(watched.ok());
  EXPECT_THAT(watched.error().message, testing::HasSubstr("/nowhere/at_all.avi cannot be opened"));
  options = DemoOptions();
  options.reader.size = {640, 480};
  watched = Watch(options, {});
  ASSERT_FALSE(watched.ok());
  EXPECT_THAT(watched.error().message, testing::HasSubstr("960 x 720; the camera of the joint file has 640 x 480"));
  options = DemoOptions();
  options.record.emplace();
  options.record->file = kDemo / "push.avi";
  EXPECT_THAT(options.Check()->message, testing::HasSubstr("never replaces another"));
}

TEST(Recorder, FramesThatADiskCannotTakeAreCountedAsLost) {
  const auto folder = NewFolder("watch_lost_");
  RecorderOptions options;
  options.file = folder / "a.avi";
  options.waiting = 1;
  Recorder recorder(options);
  const cv::Mat3b frame(1080, 1920, cv::Vec3b(9, 99, 199));
  for (int i = 0; i < 50; ++i) recorder.Add(frame, 30);
  recorder.Finish();
  EXPECT_EQ(recorder.written() + recorder.lost(), 50);
  EXPECT_GT(recorder.lost(), 10);
  EXPECT_GT(recorder.written(), 0);
  std::filesystem::remove_all(folder);
}

TEST(Times, PercentilesAreThoseOfTheSortedValues) {
  Times times;
  for (int i = 1; i <= 1000; ++i) times.Add(i);
  EXPECT_NEAR(times.AtShare(0.5), 500, 0.11);
  EXPECT_NEAR(times.AtShare(0.99), 990, 0.11);
  EXPECT_EQ(times.max_ms(), 1000);
}

/// ffmpeg serving the demo's push over and over on loopback (one client a start).
class Server {
 public:
  explicit Server(int port) {
    const std::string to = "http://127.0.0.1:" + std::to_string(port) + "/push";
    std::vector<std::string> words{
        "ffmpeg", "-v",   "quiet", "-re", "-stream_loop", "-1", "-i", (kDemo / "push.avi").string(),
        "-c:v",   "copy", "-f",    "avi", "-listen",      "1",  to};
    std::vector<char*> argv;
    for (auto& word : words) argv.push_back(word.data());
    argv.push_back(nullptr);
    started_ = ::posix_spawnp(&pid_, "ffmpeg", nullptr, nullptr, argv.data(), environ) == 0;
  }
  ~Server() { Pull(); }
  void Pull() {
    if (!started_) return;
    ::kill(pid_, SIGKILL);
    ::waitpid(pid_, nullptr, 0);
    started_ = false;
  }

 private:
  pid_t pid_ = 0;
  bool started_ = false;
};

TEST(Watch, AStreamWhosePlugIsPulledAndRestoredGoesOn) {
  if (std::system("ffmpeg -version > /dev/null 2>&1") != 0) GTEST_SKIP() << "ffmpeg is not installed.";
  const int port = 20000 + ::getpid() % 20000;
  auto server = std::make_unique<Server>(port);
  std::this_thread::sleep_for(std::chrono::seconds(1));
  auto options = DemoOptions();
  options.reader.source = "http://127.0.0.1:" + std::to_string(port) + "/push";
  options.reader.timeout_s = 2;
  options.seconds = 60;
  std::stop_source stop;
  bool pulled = false;
  std::chrono::steady_clock::time_point started;
  WatchListener listener;
  options.say_every_s = 0.2;
  listener.on_tell = [&](const WatchFigures& f, Hint) {
    if (!pulled && f.processed > 10) server->Pull(), pulled = true;
    // A server takes one client and ends with it; on a busy machine it needs seconds to listen.
    const auto now = std::chrono::steady_clock::now();
    if (pulled && f.outages.size() == 1 && !f.outages[0].lasted_s && now - started > std::chrono::seconds(8)) {
      server.reset();
      server = std::make_unique<Server>(port);
      started = now;
    }
    if (!f.outages.empty() && f.outages[0].lasted_s && f.processed > 30) stop.request_stop();
  };
  const auto watched = Watch(options, listener, JobContext(stop.get_token(), {}));
  ASSERT_TRUE(watched.ok()) << watched.error().message;
  const auto& f = watched.value().figures;
  ASSERT_EQ(f.outages.size(), 1U);
  ASSERT_TRUE(f.outages[0].lasted_s);
  EXPECT_GT(*f.outages[0].lasted_s, 0);
  EXPECT_EQ(f.ended_by, "stopped");
  EXPECT_GT(f.processed, 30);
}

}  // namespace
}  // namespace vision::live
