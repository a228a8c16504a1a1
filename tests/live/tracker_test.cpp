#include "vision/live/tracker.h"

#include <gmock/gmock.h>

#include <Eigen/Geometry>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <opencv2/imgproc.hpp>
#include <opencv2/videoio.hpp>

#include "app/joint/joint.h"
#include "vision/bore/angle.h"
#include "vision/live/growing_strip.h"
#include "vision/live/toes_now.h"

namespace vision::live {
namespace {

const std::filesystem::path kDemo = std::filesystem::path(ROOTSCROLL_SOURCE_DIR) / "fixtures/demo";

/// The demo's push with the truth its renderer wrote (fixtures/demo/truth_push.json).
struct Push {
  std::vector<cv::Mat3b> frames;
  std::vector<bore::BoreFromCam> truth;
  pose::FrameSetting setting;
  bore::Bore bore;
  double edge_left_z = 0;  ///< Mean of the true near edge, mm.
};

Push DemoPush() {
  Push push;
  const auto joint = app::joint::LoadJoint(kDemo / "joint.json");
  const auto& recording = *joint.value().FindRecording("push");
  push.setting.lens = joint.value().FindCamera("head-video")->lens;
  push.setting.up_theta_deg = recording.video_defaults.up_theta_deg.value();
  push.bore.radius_mm = 0.5 * joint.value().pipe.inside_diameter.value_mm;
  const auto truth = nlohmann::json::parse(std::ifstream(kDemo / "truth_push.json"));
  cv::VideoCapture video((kDemo / "push.avi").string());
  for (const auto& frame : truth.at("frames")) {
    cv::Mat picture;
    EXPECT_TRUE(video.read(picture));
    push.frames.push_back(picture.clone());
    bore::BoreFromCam pose;
    for (int i = 0; i < 3; ++i) {
      pose.translation_mm[i] = frame.at("C").at(static_cast<std::size_t>(i));
      for (int j = 0; j < 3; ++j)
        pose.rotation(i, j) = frame.at("Rcw").at(static_cast<std::size_t>(i)).at(static_cast<std::size_t>(j));
    }
    push.truth.push_back(pose);
  }
  const auto edge = truth.at("profile").at("edge_left_z").get<std::vector<double>>();
  for (const double z : edge) push.edge_left_z += z / static_cast<double>(edge.size());
  return push;
}

const Push& TheDemo() {
  static const Push push = DemoPush();
  return push;
}

struct Errors {
  double place_mm = 0, turn_deg = 0;  ///< Worst over the frames.
};

void Count(const bore::BoreFromCam& got, const bore::BoreFromCam& want, Errors* errors) {
  errors->place_mm = std::max(errors->place_mm, (got.translation_mm - want.translation_mm).norm());
  const double turn = Eigen::AngleAxisd(got.rotation.transpose() * want.rotation).angle();
  errors->turn_deg = std::max(errors->turn_deg, turn * bore::kDegPerRad);
}

// A third of a cell of the watching strip (0.46 mm), and about the angle that this is at one radius.
TEST(Tracker, FromATrueStartFollowsThePushToAThirdOfAStripCell) {
  const Push& push = TheDemo();
  Tracker tracker(push.bore, push.setting);
  tracker.Start(push.truth[0], MakeDrawing(push.frames[0]));
  Errors errors;
  for (std::size_t i = 1; i < push.frames.size(); ++i) {
    const auto tracked = tracker.Follow(push.frames[i], MakeDrawing(push.frames[i]), false);
    ASSERT_TRUE(tracked.ok()) << i << ": " << tracked.error().message;
    EXPECT_FALSE(tracked.value().found_afresh);
    Count(tracked.value().pose, push.truth[i], &errors);
  }
  EXPECT_LT(errors.place_mm, 0.15);
  EXPECT_LT(errors.turn_deg, 0.1);
  std::printf("worst place %.3f mm, worst turn %.3f degree\n", errors.place_mm, errors.turn_deg);
}

TEST(Tracker, ComesBackToTheSamePlacesWhenTheCameraIsDrawnBack) {
  const Push& push = TheDemo();
  Tracker tracker(push.bore, push.setting);
  tracker.Start(push.truth[0], MakeDrawing(push.frames[0]));
  const int last = 16;
  for (int i = 1; i < last; ++i)
    ASSERT_TRUE(tracker
                    .Follow(push.frames[static_cast<std::size_t>(i)],
                            MakeDrawing(push.frames[static_cast<std::size_t>(i)]), false)
                    .ok());
  const auto keyframes = tracker.keyframes();
  Errors errors;
  for (int i = last - 1; i >= 0; --i) {
    const auto k = static_cast<std::size_t>(i);
    const auto tracked = tracker.Follow(push.frames[k], MakeDrawing(push.frames[k]), false);
    ASSERT_TRUE(tracked.ok());
    if (i == 0) Count(tracked.value().pose, push.truth[0], &errors);
  }
  EXPECT_LT(errors.place_mm, 0.1) << "no drift is left where the old keyframe is found again";
  EXPECT_LE(tracker.keyframes(), keyframes + 3);
}

TEST(Tracker, ABlackPictureIsNotFollowedAndTheNextOneIs) {
  const Push& push = TheDemo();
  Tracker tracker(push.bore, push.setting);
  tracker.Start(push.truth[0], MakeDrawing(push.frames[0]));
  const cv::Mat3b black(push.frames[0].size(), cv::Vec3b(0, 0, 0));
  const auto lost = tracker.Follow(black, MakeDrawing(black), false);
  ASSERT_FALSE(lost.ok());
  EXPECT_EQ(lost.error().code, ErrorCode::kNotFound);
  const auto back = tracker.Follow(push.frames[1], MakeDrawing(push.frames[1]), false);
  ASSERT_TRUE(back.ok());
}

TEST(Tracker, GainAndLevelOfThePictureDoNotMoveThePose) {
  const Push& push = TheDemo();
  Tracker tracker(push.bore, push.setting);
  tracker.Start(push.truth[3], MakeDrawing(push.frames[3]));
  cv::Mat3b darker;
  push.frames[4].convertTo(darker, CV_8U, 0.55);
  const auto tracked = tracker.Follow(darker, MakeDrawing(darker), false);
  ASSERT_TRUE(tracked.ok());
  EXPECT_LT((tracked.value().pose.translation_mm - push.truth[4].translation_mm).norm(), 0.3);
}

/// A frame whose colour at each pixel is the true place on the wall: blue = theta / 2, green = 128 + z, red = 7.
cv::Mat3b PaintedWall(const Push& push, const bore::BoreFromCam& pose) {
  cv::Mat3b picture(push.setting.lens.height_px, push.setting.lens.width_px, cv::Vec3b(0, 0, 0));
  for (int v = 0; v < picture.rows; ++v)
    for (int u = 0; u < picture.cols; ++u) {
      const auto ray = push.setting.lens.Ray({u, v});
      if (!ray) continue;
      const auto wall = bore::WallFromRay(pose.translation_mm, pose.rotation * *ray, push.bore.radius_mm);
      if (wall && std::abs(wall->z_mm) < 120)
        picture(v, u) = {cv::saturate_cast<uchar>(wall->theta_deg / 2), cv::saturate_cast<uchar>(128 + wall->z_mm), 7};
    }
  return picture;
}

TEST(GrowingStrip, EveryCellShowsThePlaceOnTheWallThatItsNumbersSay) {
  const Push& push = TheDemo();
  GrowingStrip strip(push.bore.radius_mm);
  ASSERT_GT(strip.Add(PaintedWall(push, push.truth[20]), push.setting, push.truth[20], 0), 10000);
  const auto& grid = strip.grid();
  int seen = 0, far = 0;
  for (int row = 0; row < grid.rows; ++row)
    for (int column = 0; column < grid.columns; ++column) {
      const cv::Vec3b cell = strip.image()(row, column);
      const double theta = grid.ThetaDeg(column);
      if (cell[2] != 7 || theta < 4 || theta > 356) continue;  // at the seam 0 and 360 degrees mix
      ++seen;
      if (std::abs(cell[0] - theta / 2) > 1.1 || std::abs(cell[1] - (128 + grid.ZMm(row))) > 1.3) ++far;
    }
  EXPECT_GT(seen, 10000);
  EXPECT_LT(far, seen / 200);
}

TEST(GrowingStrip, AStandingCameraCostsNothingAndAFinerLookReplacesACoarserOne) {
  const Push& push = TheDemo();
  GrowingStrip strip(push.bore.radius_mm);
  const int first = strip.Add(push.frames[0], push.setting, push.truth[0], 0);
  EXPECT_GT(first, 10000);
  EXPECT_EQ(strip.Add(push.frames[0], push.setting, push.truth[0], 0.01), 0);
  const auto before = strip.Coverage();
  for (std::size_t i = 0; i < push.frames.size(); ++i)
    strip.Add(push.frames[i], push.setting, push.truth[i], 0.1 * static_cast<double>(i));
  const auto after = strip.Coverage();
  for (std::size_t k = 0; k < after.size(); ++k) {
    EXPECT_GE(after[k], before[k]);
    EXPECT_GT(after[k], 0.99) << "part " << k;
  }
  EXPECT_GT(strip.Add(push.frames[23], push.setting, push.truth[23], 100), 1000) << "stale blocks are refreshed";
}

TEST(ToesNow, TheNearToeLiesOnTheTrueEdgeAndIsFollowed) {
  const Push& push = TheDemo();
  GrowingStrip strip(push.bore.radius_mm);
  ToesNow toes(push.bore.radius_mm, true);
  for (std::size_t i = 0; i < push.frames.size(); ++i) {
    strip.Add(push.frames[i], push.setting, push.truth[i], 0.1 * static_cast<double>(i));
    toes.Update(strip, push.truth[i].translation_mm.z(), 10.0 * static_cast<double>(i));
    toes.Wait();
  }
  ASSERT_TRUE(toes.lines());
  std::vector<double> near;
  for (const float z : toes.lines()->left_mm)
    if (z == z) near.push_back(z);
  ASSERT_GT(near.size(), 600U);
  std::nth_element(near.begin(), near.begin() + static_cast<std::ptrdiff_t>(near.size() / 2), near.end());
  EXPECT_NEAR(near[near.size() / 2], push.edge_left_z, 0.6);  // one cell and a half of the watching strip
}

TEST(LightInFew, TellsAnArcFromALampWhateverTheGain) {
  const cv::Mat1b lamp = MakeDrawing(TheDemo().frames[10]).grey;
  EXPECT_LT(LightInFew(lamp), 0.145);
  for (const int peak : {90, 255}) {
    cv::Mat1b arc(lamp.size(), uchar{5});
    cv::circle(arc, {arc.cols / 3, arc.rows / 2}, 12, cv::Scalar(peak), cv::FILLED);
    EXPECT_GT(LightInFew(arc), 0.16) << peak;
  }
}

}  // namespace
}  // namespace vision::live
