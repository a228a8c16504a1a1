#include <gmock/gmock.h>

#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <opencv2/imgproc.hpp>

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
    if (std::getenv("TRACK_PRINT"))
      std::printf("  %zu off %6.3f %6.3f z %6.3f tilt %6.3f  u %.3f %.3f %.3f %.4f n %d\n", i, off.x(), off.y(),
                  off.z() - shift, axis.norm() * bore::kDegPerRad, solution.poses[i].offset_u_mm(),
                  solution.poses[i].z_u_mm(), solution.poses[i].tilt_u_deg(), solution.covariances[i](5, 5),
                  solution.sightings[i]);
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
  const auto errors = Against(push, solution.value());
  if (std::getenv("TRACK_PRINT")) {
    std::printf("points %zu residual %.3f px chi %.2f used %.2f | off %.3f tilt %.3f z %.3f chi2 %.2f\n",
                solution.value().points.size(), solution.value().residual_px, solution.value().chi,
                solution.value().used_share, errors.offset_mm, errors.tilt_deg, errors.z_mm, errors.chi2);
    const auto truth = nlohmann::json::parse(std::ifstream(folder / "truth.json"));
    for (int k = 0; k < 720; k += 60)
      std::printf("   step %d: %.3f want %.3f u %.3f\n", k / 2, solution.value().levels.Step(0.5 * k),
                  truth["profile"]["hilo_step"][static_cast<std::size_t>(k)].get<double>(),
                  solution.value().levels.StepU(0.5 * k));
  }
  EXPECT_LT(errors.offset_mm, 0.2);
  EXPECT_LT(errors.tilt_deg, 0.1);
  EXPECT_LT(errors.z_mm, 0.1);
}

INSTANTIATE_TEST_SUITE_P(Scenes, IndependentPush, testing::Values("push_00_concave", "push_01_everything"));

}  // namespace
}  // namespace vision::track
