#include <gmock/gmock.h>

#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>

#include "fixtures/scene/render.h"
#include "fixtures/scene/scenario.h"
#include "tests/pose/known_frames.h"

namespace vision::pose {
namespace {

using testing::StartsWith;

const FrameSetting kSetting{fixtures::scene::TypicalLens("equidistant", 640, 480).value(), Facing::kPlusZ, 0, {}};

void ExpectNotABore(const cv::Mat3b& picture, const FrameSetting& setting, const std::string& what) {
  const auto pose = FindPose(picture, {77, 0}, setting);
  ASSERT_FALSE(pose.ok()) << what;
  EXPECT_EQ(pose.error().code, ErrorCode::kNotFound) << what;
  EXPECT_THAT(pose.error().message, StartsWith("not a view along a bore: ")) << what;
}

/// Refused, or for the eye only: never measured.
void ExpectNeverMeasured(const cv::Mat3b& picture, const FrameSetting& setting, const std::string& what) {
  const auto pose = FindPose(picture, {77, 0}, setting);
  if (pose.ok())
    EXPECT_FALSE(pose.value().trusted) << what << ", wrong by " << pose.value().chance_wrong;
  else
    EXPECT_EQ(pose.error().code, ErrorCode::kNotFound) << what;
}

/// A ring that is likelier a weld than not may be there by chance, but it must not be believed.
TEST(FindPose, ABareBoreIsNeverMeasured) {
  for (const std::uint64_t seed : {31U, 32U, 33U}) {
    const auto bare = Rendered("bare", seed, "equidistant", seed % 2 == 1);
    const auto pose = FindPose(bare.picture, bare.bore, bare.setting);
    if (pose.ok())
      EXPECT_FALSE(pose.value().trusted) << "a weld in a bare bore, wrong by " << pose.value().chance_wrong;
    else
      EXPECT_THAT(pose.error().message, StartsWith("no weld found: "));
  }
}

/// A narrow bead hardly brighter than its wall, in a picture whose black rim lies within what is looked at: the edge of
/// what was seen is no ring.
TEST(FindPose, TheRimOfThePictureDoesNotDrownAFaintRing) {
  fixtures::scene::ScenarioOptions options;
  options.seed = 71008, options.width_px = 960, options.height_px = 720;
  auto scenario = fixtures::scene::MakeScenario(options).value();
  auto& view = scenario.views.front();
  view.lens.fx_px = view.lens.fy_px = 345;
  const double distance_mm = 0.93 * scenario.scene.radius_mm;
  view.bore_from_cam.translation_mm.z() = -distance_mm;
  const auto picture = fixtures::scene::Scene::Make(scenario.scene).value().Render(view, 1).value().bgr;
  const FrameSetting setting{view.lens, Facing::kPlusZ, fixtures::scene::UpThetaDeg(view.bore_from_cam), {}};
  const auto pose = FindPose(picture, {scenario.scene.radius_mm, 0.05}, setting);
  ASSERT_TRUE(pose.ok()) << pose.error().message;
  EXPECT_LT(pose.value().chance_wrong, PoseOptions().structure.doubt.most_wrong);
  EXPECT_NEAR(-pose.value().bore_from_cam.translation_mm.z(), distance_mm, 3);
}

TEST(FindPose, NoiseIsNeverMeasured) {
  cv::RNG random(9);
  for (int i = 0; i < 4; ++i) {
    cv::Mat3b noise(480, 640);
    random.fill(noise, cv::RNG::UNIFORM, 0, 256);
    if (i > 0) cv::GaussianBlur(noise, noise, {}, 3 * i);
    ExpectNeverMeasured(noise, kSetting, "noise " + std::to_string(i));
  }
}

TEST(FindPose, FlatGreyAndBlackAreNotABore) {
  for (const int grey : {0, 1, 120, 255})
    ExpectNotABore(cv::Mat3b(480, 640, cv::Vec3b::all(static_cast<uchar>(grey))), kSetting, std::to_string(grey));
}

TEST(FindPose, ABrightFarEndIsNeverMeasured) {  // a lamp at the far end, or a view along the outside of a pipe
  cv::Mat3b picture(480, 640, cv::Vec3b(30, 30, 30));
  cv::circle(picture, {320, 240}, 60, cv::Scalar::all(240), cv::FILLED);
  cv::GaussianBlur(picture, picture, {}, 30);
  ExpectNeverMeasured(picture, kSetting, "bright middle");
}

// Brightness that grows outward from the middle in every direction, over squares a board would have.
TEST(FindPose, ACheckeredSceneWithADarkMiddleIsNeverMeasured) {
  cv::Mat3b picture(480, 640);
  for (int v = 0; v < picture.rows; ++v)
    for (int u = 0; u < picture.cols; ++u) {
      const double grown = std::min(1.0, 0.1 + std::pow(std::hypot(u - 319.5, v - 239.5) / 220, 2));
      picture(v, u) = cv::Vec3b::all(static_cast<uchar>((u / 40 + v / 40) % 2 == 0 ? 220 * grown : 60 * grown));
    }
  ExpectNeverMeasured(picture, kSetting, "checkered");
}

TEST(FindPose, PhotosOfAChessboardAreNeverMeasured) {
  int seen = 0;
  for (const auto& entry :
       std::filesystem::directory_iterator(ROOTSCROLL_SOURCE_DIR "/fixtures/boards/fisheye_chessboard")) {
    const cv::Mat3b photo = cv::imread(entry.path().string());
    if (photo.empty()) continue;
    FrameSetting setting = kSetting;
    setting.lens = fixtures::scene::TypicalLens("equidistant", photo.cols, photo.rows).value();
    ExpectNeverMeasured(photo, setting, entry.path().filename().string());
    ++seen;
  }
  EXPECT_GE(seen, 5);
}

TEST(FindPose, ASidewaysCameraIsToldWhatToDo) {
  FrameSetting setting = kSetting;
  setting.facing = Facing::kSide;
  const auto pose = FindPose(cv::Mat3b(480, 640), {77, 0}, setting);
  ASSERT_FALSE(pose.ok());
  EXPECT_THAT(pose.error().message, testing::HasSubstr("give its pose in the joint file"));
}

TEST(FindPose, BrokenOptionsAndRadiusAreBadInput) {
  const cv::Mat3b picture(480, 640, cv::Vec3b(9, 9, 9));
  EXPECT_EQ(FindPose(picture, {0, 0}, kSetting).error().code, ErrorCode::kBadInput);
  PoseOptions options;
  options.max_tilt_deg = 60;
  const auto pose = FindPose(picture, {77, 0}, kSetting, options);
  EXPECT_EQ(pose.error().code, ErrorCode::kBadInput);
  EXPECT_THAT(pose.error().message, testing::HasSubstr("max_tilt_deg"));
}

}  // namespace
}  // namespace vision::pose
