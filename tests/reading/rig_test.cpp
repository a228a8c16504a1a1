#include "vision/reading/rig.h"

#include <gmock/gmock.h>
#include <unistd.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <iostream>
#include <opencv2/imgcodecs.hpp>

#include "fixtures/scene/render.h"
#include "fixtures/scene/scenario.h"
#include "vision/bore/angle.h"

namespace vision::reading {
namespace {

namespace fs = std::filesystem;
using testing::HasSubstr;

bore::BoreFromCam Place(double x_mm, double y_mm, double z_mm, const Eigen::Vector3d& turn_deg) {
  bore::BoreFromCam place;
  if (turn_deg.norm() > 0)
    place.rotation = Eigen::AngleAxisd(turn_deg.norm() * bore::kRadPerDeg, turn_deg.normalized()).toRotationMatrix();
  place.translation_mm << x_mm, y_mm, z_mm;
  return place;
}

bore::BoreFromCam Chained(const bore::BoreFromCam& outer, const bore::BoreFromCam& inner) {
  return {outer.rotation * inner.rotation, outer.rotation * inner.translation_mm + outer.translation_mm};
}

double AngleDeg(const Eigen::Matrix3d& a, const Eigen::Matrix3d& b) {
  return Eigen::AngleAxisd(a * b.transpose()).angle() * bore::kDegPerRad;
}

HeadSeen Seen(const bore::BoreFromCam& head, double offset_u_mm, double tilt_u_deg) {
  return {head, offset_u_mm, 0.2, tilt_u_deg * bore::kRadPerDeg, true};
}

TEST(Rig, ToTheHeadAndBackIsTheSameCamera) {
  const auto head = Place(1, -2, -60, {2, -1, 30}), on_head = Place(5, 3, 40, {90, 0, 0});
  pose::Pose found;
  found.bore_from_cam = Chained(head, on_head);
  found.covariance.diagonal() << 0.01, 0.01, 0.04, 1e-6, 1e-6;
  const HeadSeen seen = BroughtToHead(found, on_head);
  EXPECT_NEAR((seen.bore_from_head.translation_mm - head.translation_mm).norm(), 0, 1e-9);
  const pose::Pose back = OfCamera(PutTogether({seen}), on_head);
  EXPECT_NEAR((back.bore_from_cam.translation_mm - found.bore_from_cam.translation_mm).norm(), 0, 1e-9);
  EXPECT_NEAR(AngleDeg(back.bore_from_cam.rotation, found.bore_from_cam.rotation), 0, 1e-6);
  EXPECT_GE(back.offset_u_mm(), found.offset_u_mm());  // the lever can only add
}

/// Two of equal worth meet in the middle, u falls by the root of two; one twice as sure draws four times as hard.
TEST(Rig, CamerasAreWeightedByTheirUncertainty) {
  const auto a = Place(0, 0, -60, {0, 0, 0}), b = Place(0.1, 0, -60, {0, 0.1, 0});
  const HeadPose even = PutTogether({Seen(a, 0.1, 0.1), Seen(b, 0.1, 0.1)});
  EXPECT_TRUE(even.agree);
  EXPECT_NEAR(even.bore_from_head.translation_mm.x(), 0.05, 1e-9);
  EXPECT_NEAR(AngleDeg(even.bore_from_head.rotation, a.rotation), 0.05, 1e-6);
  EXPECT_NEAR(std::sqrt(even.covariance(0, 0)), 0.1 / std::sqrt(2.0), 1e-9);
  const HeadPose uneven = PutTogether({Seen(a, 0.05, 0.05), Seen(b, 0.1, 0.1)});
  EXPECT_NEAR(uneven.bore_from_head.translation_mm.x(), 0.02, 1e-9);
}

TEST(Rig, AnUpToldCoarselyByOneCameraDoesNotPullTheHeadAside) {
  const auto a = Place(2, 1, -60, {1, 0, 0});
  const bore::BoreFromCam rolled = Chained(Place(0, 0, 0, {0, 0, 7}), a);
  const HeadPose head = PutTogether({Seen(a, 0.05, 0.05), Seen(rolled, 0.1, 0.1)});
  EXPECT_TRUE(head.agree);
  EXPECT_NEAR((head.bore_from_head.translation_mm - a.translation_mm).norm(), 0, 1e-6);
  EXPECT_NEAR(AngleDeg(head.bore_from_head.rotation, a.rotation), 0, 1e-4);
}

TEST(Rig, CamerasThatDisagreeLeaveTheSurestAlone) {
  const auto a = Place(0, 0, -60, {0, 0, 0}), b = Place(2, 0, -60, {0, 0, 0});
  const HeadPose head = PutTogether({Seen(a, 0.05, 0.1), Seen(b, 0.1, 0.1)});
  EXPECT_FALSE(head.agree);
  EXPECT_EQ(head.bore_from_head.translation_mm.x(), 0);
  EXPECT_GT(head.worst_gap_mm, 1.5);
}

/// A head with one camera that looks along the bore and one that looks at the wall beside it, rendered; the second has
/// no pose of its own and gets the head's.
class RigOnScene : public testing::Test {
 protected:
  void SetUp() override {
    fs::create_directories(folder_);
    fixtures::scene::ScenarioOptions options;
    options.seed = 4;
    auto scenario = fixtures::scene::MakeScenario(options).value();
    scene_.emplace(fixtures::scene::Scene::Make(scenario.scene).value());
    lens_ = scenario.views.front().lens;
    radius_mm_ = scenario.scene.radius_mm;
    head_ = fixtures::scene::PoseLooking(true, 1.0, -0.8, -radius_mm_, 0.7, -0.5, 20);
    input_.joint_id = "made up";
    input_.bore = {radius_mm_, 0.05};
    input_.insert_width_mm = scenario.scene.insert.width_mm;
    input_.recordings.push_back({"root", "root", {}, std::nullopt});
  }
  void TearDown() override { fs::remove_all(folder_); }

  void AddCamera(const std::string& name, const bore::BoreFromCam& really, const bore::BoreFromCam& told,
                 pose::Facing facing) {
    fixtures::scene::View view{lens_, Chained(head_, really), std::nullopt,
                               static_cast<int>(input_.recordings[0].frames.size())};
    FrameInput frame;
    frame.file = folder_ / (name + ".png");
    frame.lens = lens_;
    frame.facing = facing;
    frame.head_from_cam = told;
    frame.shot = 1;
    if (facing != pose::Facing::kSide) frame.up_theta_deg = fixtures::scene::UpThetaDeg(view.bore_from_cam);
    EXPECT_TRUE(cv::imwrite(frame.file.string(), scene_->Render(view).value().bgr));
    input_.recordings[0].frames.push_back(frame);
    truth_.push_back(view.bore_from_cam);
  }

  /// Sorted, mm.
  std::vector<double> WidthErrors(const Reading& reading) const {
    std::vector<double> errors;
    for (std::size_t i = 0; i < 720; ++i) {
      if (!std::isfinite(reading.profile.width_mm[i])) continue;
      const auto s = scene_->relief().At(0.5 * static_cast<double>(i));
      errors.push_back(std::abs(reading.profile.width_mm[i] - (s.edge_right() - s.edge_left())));
    }
    std::sort(errors.begin(), errors.end());
    return errors;
  }

  fs::path folder_ = fs::temp_directory_path() / ("rig_" + std::to_string(getpid()));
  std::optional<fixtures::scene::Scene> scene_;
  camera::Lens lens_;
  double radius_mm_ = 0;
  bore::BoreFromCam head_;
  MeasureInput input_;
  std::vector<bore::BoreFromCam> truth_;
};

TEST_F(RigOnScene, ACameraLookingSidewaysIsReadFromTheHeadsPose) {
  const auto ahead = Place(0, 0, 0, {0, 0, 0}), aside = Place(0, 0, radius_mm_ - 14, {-90, 0, 0});
  AddCamera("ahead", ahead, ahead, pose::Facing::kPlusZ);
  AddCamera("aside", aside, aside, pose::Facing::kSide);
  const auto measured = Measure(input_);
  ASSERT_TRUE(measured.ok()) << measured.error().message;
  const Reading& reading = measured.value().reading;
  ASSERT_EQ(reading.poses.size(), 2u) << EnglishOf(reading.notes);
  EXPECT_EQ(reading.angles, "joint");
  EXPECT_EQ(reading.poses[1].how, "shared by the cameras of the head");
  EXPECT_NEAR(reading.poses[1].offset_x_mm, truth_[1].translation_mm.x(), 0.6);
  EXPECT_NEAR(reading.poses[1].offset_y_mm, truth_[1].translation_mm.y(), 0.6);
  MeasureInput alone = input_;
  alone.recordings[0].frames.resize(1);
  const auto one = Measure(alone);
  ASSERT_TRUE(one.ok()) << one.error().message;
  const auto both = WidthErrors(reading), without = WidthErrors(one.value().reading);
  ASSERT_GT(both.size(), 500u);
  std::cout << "width error, median and 95 %: with the sideways camera " << both[both.size() / 2] << " and "
            << both[both.size() * 19 / 20] << " mm on " << both.size() << " lines, without "
            << without[without.size() / 2] << " and " << without[without.size() * 19 / 20] << " mm on "
            << without.size() << "\n";
  EXPECT_LT(both[both.size() / 2], 0.3);
  EXPECT_GE(both.size(), without.size());
  EXPECT_LT(reading.strip.resolution_mm, one.value().reading.strip.resolution_mm);  // it stands closer
}

TEST_F(RigOnScene, APlaceOnTheHeadThatIsWrongIsSaid) {
  const auto ahead = Place(0, 0, 0, {0, 0, 0}), back = Place(0, 0, 2 * radius_mm_, {0, 180, 0});
  auto told = back;
  told.translation_mm.x() += 6;
  AddCamera("ahead", ahead, ahead, pose::Facing::kPlusZ);
  AddCamera("back", back, told, pose::Facing::kMinusZ);
  const auto measured = Measure(input_);
  ASSERT_TRUE(measured.ok()) << measured.error().message;
  EXPECT_THAT(EnglishOf(measured.value().reading.notes), HasSubstr("check their places in rig"));
}

TEST_F(RigOnScene, AShotWithoutACameraAlongTheBoreIsRefusedWithTheReason) {
  const auto aside = Place(0, 0, radius_mm_ - 14, {-90, 0, 0});
  AddCamera("aside", aside, aside, pose::Facing::kSide);
  const auto measured = Measure(input_);
  ASSERT_TRUE(measured.ok());
  EXPECT_FALSE(measured.value().reading.weld_found);
  EXPECT_THAT(EnglishOf(measured.value().reading.notes), HasSubstr("no camera of the shot looks along the bore"));
}

}  // namespace
}  // namespace vision::reading
