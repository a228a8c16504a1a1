// One joint measured by the command, the batch and the window: the same bytes. And the lens on a recording swept by
// light, against the true poses of the scene maker.
#include <gmock/gmock.h>
#include <unistd.h>

#include <QSignalSpy>
#include <cstdlib>
#include <nlohmann/json.hpp>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>

#include "app/book/batch.h"
#include "app/measure/measure_joint.h"
#include "app/viewer/desk.h"
#include "app/viewer/sight.h"
#include "fixtures/scene/truth.h"
#include "vision/base/file.h"
#include "vision/bore/angle.h"

namespace app::measure {
namespace {

namespace fs = std::filesystem;
using vision::reading::Reading;

class OnePath : public testing::Test {
 protected:
  static void SetUpTestSuite() {
    folder_ = fs::temp_directory_path() / ("one_path_" + std::to_string(::getpid()));
    fs::create_directories(folder_ / "light");
    fs::create_directories(folder_ / "demo");
    RenderSweep();
    const fs::path demo = fs::path(ROOTSCROLL_SOURCE_DIR) / "fixtures" / "demo";
    for (const char* name : {"from_a.jpg", "from_b.jpg", "push.avi"}) fs::copy(demo / name, folder_ / "demo" / name);
    // A bore so uncertain that the reading must say so: a sentence that one of three ways used to leave out.
    auto json = nlohmann::json::parse(vision::ReadFileWhole(demo / "joint.json").value());
    json["joint"]["pipe"]["inside_diameter_u_mm"] = 0.9;
    ASSERT_FALSE(vision::WriteFileWhole(folder_ / "demo" / "joint.json", json.dump(1)));
  }
  static void TearDownTestSuite() { fs::remove_all(folder_); }

  /// Thirteen stills swept by a plane of light, with a joint file.
  static void RenderSweep() {
    fixtures::scene::ScenarioOptions options;
    options.kind = "light_section", options.seed = 3, options.frames = 13;
    options.width_px = 960, options.height_px = 720;
    auto scenario = fixtures::scene::MakeScenario(options).value();
    for (auto view = scenario.views.rbegin(); view != scenario.views.rend(); ++view) {
      const auto frame = fixtures::scene::Scene::Make(scenario.scene).value().Render(*view).value();
      scenario.scene.sensor.gain = frame.gain;
      const std::string name = "frame_" + std::to_string(100 + view->index) + ".png";
      ASSERT_TRUE(cv::imwrite((folder_ / "light" / name).string(), frame.bgr));
      views_.insert(views_.begin(), {name, *view});
    }
    fixtures::scene::JointFacts facts;
    facts.id = "LX-300";
    radius_mm_ = scenario.scene.radius_mm;
    ASSERT_FALSE(vision::WriteFileWhole(
        folder_ / "light" / "joint.json",
        fixtures::scene::JointJson(facts, scenario.scene, {{"root", "root", "head", views_, ""}})));
  }

  static std::string ByCommand(const fs::path& joint) {
    const auto out = joint.parent_path() / "by_command";
    const std::string command = std::string(ROOTSCROLL_COMMAND) + " --quiet measure " + joint.string() +
                                " --recording root --out " + out.string();
    EXPECT_EQ(std::system(command.c_str()), 0);
    return vision::ReadFileWhole(out / "reading.json").value();
  }
  static std::string ByBatch(const fs::path& joint) {
    const auto done = book::MeasureAndJudge({})(joint, "root", joint.parent_path() / "by_batch", {});
    EXPECT_TRUE(done.ok()) << done.error().message;
    return done.value().reading_json;
  }
  static std::string ByWindow(const fs::path& joint) {
    viewer::Desk desk;
    QSignalSpy opened(&desk, &viewer::Desk::opened_joint);
    QObject::connect(&desk, &viewer::Desk::failed, [](const QString& why) { ADD_FAILURE() << why.toStdString(); });
    viewer::Request request{joint, {}};
    desk.MeasureAndOpen(request);
    EXPECT_TRUE(opened.wait(240000));
    return desk.has() ? vision::ReadFileWhole(desk.opened().folder / "reading.json").value() : std::string();
  }

  static inline fs::path folder_;
  static inline std::vector<fixtures::scene::NamedView> views_;
  static inline double radius_mm_ = 0;
};

TEST_F(OnePath, CommandBatchAndWindowGiveTheSameBytes) {
  for (const char* name : {"demo", "light"}) {
    const fs::path joint = folder_ / name / "joint.json";
    const std::string command = ByCommand(joint);
    EXPECT_EQ(ByBatch(joint), command) << name;
    EXPECT_EQ(ByWindow(joint), command) << name;
    const auto reading = vision::reading::FromJson(command, "reading.json").value();
    EXPECT_TRUE(reading.weld_found) << name;
    if (std::string(name) == "demo")
      EXPECT_THAT(EnglishOf(reading.notes), testing::HasSubstr("Inside diameter"));
    else
      EXPECT_EQ(reading.height_by, "light_section");
  }
}

/// What is measured together: one stage's stills, the videos where it has none.
TEST_F(OnePath, AStageIsMeasuredWithoutTheOthers) {
  joint::Joint joint;
  const auto add = [&](const char* id, const char* stage, bool video, bool light) {
    auto& one = joint.recordings.emplace_back();
    one.id = id, one.stage = stage;
    if (video) one.video = "film.avi";
    if (light) one.light_section.emplace();
  };
  EXPECT_TRUE(RecordingsOfStage(joint).empty());
  add("fit", "fit-up", false, false), add("look", "root", false, false), add("sweep", "root", false, true),
      add("push", "root", true, false), add("cap", "cap", true, false);
  EXPECT_EQ(RecordingsOfStage(joint, "root"), (std::vector<std::string>{"look", "sweep"}));
  EXPECT_EQ(RecordingsOfStage(joint), (std::vector<std::string>{"cap"}));
  EXPECT_EQ(RecordingsOfStage(joint, "fit-up"), (std::vector<std::string>{"fit"}));
}

/// Where the wall's places lie in each of the frames, by the scene's own poses; and the frame that the strip's picture
/// was taken from shows the colour of the strip.
TEST_F(OnePath, TheLensShowsTheRightFrameOfASweep) {
  const auto done = MeasureJoint(folder_ / "light" / "joint.json", {"root"});
  ASSERT_TRUE(done.ok()) << done.error().message;
  ASSERT_FALSE(vision::reading::WriteMeasured(done.value().measured, folder_ / "light" / "lens"));
  const auto opened = viewer::OpenMeasured({folder_ / "light" / "joint.json", folder_ / "light" / "lens"});
  ASSERT_TRUE(opened.ok()) << opened.error().message;
  const auto& reading = opened.value().reading;
  double off_colour = 0;
  int places = 0, shown = 0;
  std::vector<double> off_px;
  for (double theta = 3; theta < 360; theta += 24)
    for (double z = -4; z <= 4; z += 2) {
      const auto sights = viewer::SightsOf(opened.value(), theta, z);
      int sees = 0;
      for (const auto& view : views_) {
        const auto at = view.view.lens.Project(
            view.view.bore_from_cam.CamFromBore(vision::bore::XyzFromBore({theta, z, 0}, radius_mm_)));
        sees += at && at->x() > 0 && at->y() > 0 && at->x() < 959 && at->y() < 719;
      }
      EXPECT_GE(sights.size() + 3, static_cast<std::size_t>(sees)) << theta << " " << z;
      EXPECT_LE(sights.size(), views_.size());
      ++places, shown += static_cast<int>(sights.size());
      for (const auto& sight : sights) {
        const auto& name = reading.poses[static_cast<std::size_t>(sight.frame)].file;
        const auto view = std::find_if(views_.begin(), views_.end(), [&](const auto& one) { return one.file == name; });
        ASSERT_NE(view, views_.end()) << name;
        const auto at = view->view.lens.Project(
            view->view.bore_from_cam.CamFromBore(vision::bore::XyzFromBore({theta, z, 0}, radius_mm_)));
        ASSERT_TRUE(at);
        off_px.push_back(std::hypot(at->x() - sight.point.u_px, at->y() - sight.point.v_px) *
                         sight.point.resolution_mm);
      }
      if (sights.empty()) continue;
      const auto file = viewer::FileOfFrame(opened.value(), sights.front().frame);
      ASSERT_TRUE(file.ok()) << file.error().message;
      cv::Mat pixel;
      cv::getRectSubPix(viewer::LoadFrame(file.value()).value(), {3, 3},
                        {static_cast<float>(sights.front().point.u_px), static_cast<float>(sights.front().point.v_px)},
                        pixel);
      const auto& strip = reading.strip;
      const int column = static_cast<int>(theta / strip.theta_pitch_deg),
                row = static_cast<int>((z - strip.z_from_mm) / strip.pitch_mm);
      const auto cell = opened.value().strip(row, column);
      off_colour += cv::norm(cv::Scalar(cell) - cv::mean(pixel), cv::NORM_INF) / 3;
    }
  std::sort(off_px.begin(), off_px.end());
  EXPECT_GT(shown, 6 * places) << "a sweep shows a place in most of its frames";
  EXPECT_LT(off_px[off_px.size() / 2], 0.3) << "mm on the wall, median";
  EXPECT_LT(off_px[off_px.size() * 95 / 100], 1.0) << "mm on the wall, 95th percentile";
  std::printf("figure: lens_off_mm_p95 %.2f\nfigure: lens_frames_a_place %.1f\nfigure: lens_off_grey %.1f\n",
              off_px[off_px.size() * 95 / 100], static_cast<double>(shown) / places, off_colour / places);
}

TEST(PutIn, MountAndMirrorReachEveryFrameOfEveryRecordingAndLeaveTheRest) {
  vision::reading::MeasureInput input;
  vision::reading::FrameInput own, plain;
  own.mount.tilt_u_deg = 1, own.mirrored = true;
  input.recordings = {{"a", "root", {own, plain}, std::nullopt}, {"b", "root", {plain}, std::nullopt}};
  auto untouched = input;
  PutIn({}, &untouched);
  EXPECT_EQ(untouched.recordings[0].frames[0].mount.tilt_u_deg, 1);
  EXPECT_TRUE(untouched.recordings[0].frames[0].mirrored);
  EXPECT_FALSE(untouched.recordings[1].frames[0].mirrored);
  JointOptions options;
  options.mount = vision::pose::MountPrior{.centred_u_mm = 2};
  options.mirrored = true;
  PutIn(options, &input);
  for (const auto& recording : input.recordings)
    for (const auto& frame : recording.frames) {
      EXPECT_EQ(frame.mount.centred_u_mm, 2);
      EXPECT_FALSE(frame.mount.tilt_u_deg.has_value());
      EXPECT_TRUE(frame.mirrored);
    }
}

}  // namespace
}  // namespace app::measure
