#include <gmock/gmock.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <opencv2/imgproc.hpp>
#include <stop_token>

#include "fixtures/scene/options.h"
#include "fixtures/scene/render.h"
#include "fixtures/scene/scenario.h"
#include "tests/pose/known_frames.h"
#include "vision/bore/angle.h"
#include "vision/track/track.h"

namespace vision::track {
namespace {

struct Pushed {
  std::vector<pose::KnownFrame> known;
  std::vector<TrackFrame> frames;
};

/// A folder with truth, each frame started from what it shows alone.
Pushed PushOf(const std::filesystem::path& folder) {
  Pushed push;
  push.known = pose::FramesOf(folder);
  for (const auto& known : push.known) {
    const auto start = pose::FindPose(known.picture, known.bore, known.setting);
    EXPECT_TRUE(start.ok()) << known.name;
    if (!start.ok()) continue;
    TrackFrame frame;
    cv::cvtColor(known.picture, frame.grey, cv::COLOR_BGR2GRAY);
    frame.known = {start.value(), known.setting, std::nullopt};
    push.frames.push_back(frame);
  }
  return push;
}

/// Each pose against the truth, after the one shift along z and one turn about it that no picture tells.
struct PoseErrors {
  double offset_mm = 0, tilt_deg = 0, z_mm = 0;  ///< The worst over the frames.
  double step_mm = 0, step_over_u = 0;           ///< The walls' step against truth, the worst round the bore.
  double chi2 = 0;                               ///< Mean of offset^2 / its variance, per coordinate.
};

PoseErrors Against(const Pushed& push, const pose::PushSolution& solution) {
  PoseErrors errors;
  double shift = 0;
  const auto n = static_cast<double>(push.known.size());
  for (std::size_t i = 0; i < push.known.size(); ++i)
    shift += (solution.poses[i].bore_from_cam.translation_mm.z() - push.known[i].truth.translation_mm.z()) / n;
  for (std::size_t i = 0; i < push.known.size(); ++i) {
    const auto &got = solution.poses[i].bore_from_cam, &want = push.known[i].truth;
    const Eigen::Vector3d off = got.translation_mm - want.translation_mm;
    const Eigen::Vector3d axis = got.rotation.transpose().col(2) - want.rotation.transpose().col(2);
    errors.offset_mm = std::max(errors.offset_mm, off.head<2>().norm());
    errors.tilt_deg = std::max(errors.tilt_deg, axis.norm() * bore::kDegPerRad);
    errors.z_mm = std::max(errors.z_mm, std::abs(off.z() - shift));
    for (int k = 0; k < 2; ++k) errors.chi2 += off[k] * off[k] / solution.covariances[i](k, k) / (2 * n);
  }
  return errors;
}

class IndependentPush : public testing::TestWithParam<std::string> {};

// The frames and their truth come from another program's ray tracer (../shared/scenes/README.md).
TEST_P(IndependentPush, PosesAreFoundToAFifthOfAMillimetre) {
  const auto folder = std::filesystem::path(ROOTSCROLL_SOURCE_DIR) / "../shared/scenes" / GetParam();
  if (!std::filesystem::exists(folder)) GTEST_SKIP() << folder << " is not there.";
  const auto push = PushOf(folder);
  const auto solution = SolveTogether(push.frames, push.known.front().bore);
  ASSERT_TRUE(solution.ok()) << solution.error().message;
  auto errors = Against(push, solution.value());
  const auto truth = nlohmann::json::parse(std::ifstream(folder / "truth.json"));
  for (std::size_t line = 0; line < 720; line += 20) {
    const double theta_deg = 0.5 * static_cast<double>(line);
    const double off =
        std::abs(solution.value().levels.Step(theta_deg) - truth["profile"]["hilo_step"][line].get<double>());
    errors.step_mm = std::max(errors.step_mm, off);
    errors.step_over_u = std::max(errors.step_over_u, off / solution.value().levels.StepU(theta_deg));
  }
  EXPECT_LT(errors.offset_mm, 0.2);
  EXPECT_LT(errors.tilt_deg, 0.15);
  EXPECT_LT(errors.z_mm, 0.05);
  EXPECT_LT(errors.chi2, 4);  // the frames share their error: two directions at most are independent
  EXPECT_LT(errors.step_mm, 0.15);
  EXPECT_LT(errors.step_over_u, 3);
}

// In a small bore single frames leave offsets of some 0.04 of the radius; the nearest frame's wall then lies flat far
// from the others'.
TEST(SolveTogether, AFirstPoseOffByAFewHundredthsOfASmallBoreIsBroughtHome) {
  fixtures::scene::ScenarioOptions options;
  options.kind = "misaligned", options.seed = 13, options.frames = 8, options.radius_mm = 26, options.travel_mm = 50;
  options.width_px = 960, options.height_px = 720;
  const auto scenario = fixtures::scene::MakeScenario(options);
  ASSERT_TRUE(scenario.ok());
  const auto scene = fixtures::scene::Scene::Make(scenario.value().scene);
  ASSERT_TRUE(scene.ok());
  std::vector<TrackFrame> frames;
  for (const auto& view : scenario.value().views) {
    const auto picture = scene.value().Render(view, 2);
    ASSERT_TRUE(picture.ok());
    TrackFrame frame;
    cv::cvtColor(picture.value().bgr, frame.grey, cv::COLOR_BGR2GRAY);
    frame.known.setting = {view.lens, pose::Facing::kPlusZ, fixtures::scene::UpThetaDeg(view.bore_from_cam), {}};
    frame.known.start.bore_from_cam = view.bore_from_cam;
    const double off_mm = frames.size() < 4 ? -1.15 : 0.95;
    frame.known.start.bore_from_cam.translation_mm.x() += off_mm;
    frame.known.start.bore_from_cam.translation_mm.y() -= off_mm;
    frame.known.start.covariance.diagonal() << 1, 1, 1, 1e-4, 1e-4;
    frames.push_back(frame);
  }
  const auto solution = SolveTogether(frames, {26, 0.05});
  ASSERT_TRUE(solution.ok()) << solution.error().message;
  for (std::size_t i = 0; i < frames.size(); ++i) {
    const Eigen::Vector3d off =
        solution.value().poses[i].bore_from_cam.translation_mm - scenario.value().views[i].bore_from_cam.translation_mm;
    EXPECT_LT(off.head<2>().norm(), 0.1) << i;
  }
}

TEST(SolveTogether, StopsWhenAsked) {
  std::stop_source stop;
  stop.request_stop();
  std::vector<TrackFrame> frames(3);
  for (auto& frame : frames) {
    frame.grey = cv::Mat1b(480, 640, uchar{80});
    auto& lens = frame.known.setting.lens;
    lens.width_px = 640, lens.height_px = 480, lens.cx_px = 319.5, lens.cy_px = 239.5;
    lens.fx_px = lens.fy_px = 160;
  }
  const auto solved = SolveTogether(frames, {50, 0.05}, {}, JobContext(stop.get_token(), {}));
  EXPECT_TRUE(solved.cancelled());
}

TEST(SolveTogether, BlankWallsAreRefusedWithAReason) {
  std::vector<TrackFrame> frames(3);
  double z = -80;
  for (auto& frame : frames) {
    frame.grey = cv::Mat1b(480, 640, uchar{80});
    auto& lens = frame.known.setting.lens;
    lens.width_px = 640, lens.height_px = 480, lens.cx_px = 319.5, lens.cy_px = 239.5;
    lens.fx_px = lens.fy_px = 160;
    frame.known.start.bore_from_cam.translation_mm.z() = z;
    z += 15;
  }
  const auto solved = SolveTogether(frames, {50, 0.05});
  ASSERT_FALSE(solved.ok());
  EXPECT_EQ(solved.error().code, ErrorCode::kNotFound);
  EXPECT_THAT(solved.error().message, testing::HasSubstr("shares only 0 places"));
}

INSTANTIATE_TEST_SUITE_P(Scenes, IndependentPush, testing::Values("push_00_concave", "push_01_everything"));

}  // namespace
}  // namespace vision::track
