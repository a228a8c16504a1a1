#include <gmock/gmock.h>

#include <Eigen/Geometry>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "fixtures/scene/render.h"
#include "fixtures/scene/scenario.h"
#include "tests/pose/known_frames.h"
#include "vision/base/says.h"
#include "vision/bore/angle.h"
#include "vision/pose/head.h"

/// What structure alone must do. Truth: the scene maker's own geometry, and things painted over its pictures along rays
/// that are followed here.
namespace vision::pose {
namespace {

double AxisOff_deg(const bore::BoreFromCam& pose, const bore::BoreFromCam& truth) {
  return std::acos(std::clamp(pose.rotation.row(2).dot(truth.rotation.row(2)), -1.0, 1.0)) * bore::kDegPerRad;
}

/// Paints over whatever lies farther along the bore than `distance_mm`: `colour(x, y)` on the plane there, in radii.
template <class Colour>
cv::Mat3b WithPlane(const KnownFrame& known, double distance_mm, const Colour& colour) {
  cv::Mat3b picture = known.picture.clone();
  const auto& truth = known.truth;
  const double side = known.setting.facing == Facing::kMinusZ ? -1 : 1;
  for (int v = 0; v < picture.rows; ++v)
    for (int u = 0; u < picture.cols; ++u) {
      const auto ray = known.setting.lens.Ray({u, v});
      if (!ray) continue;
      const Eigen::Vector3d sight = truth.rotation * *ray;
      if (sight.z() * side < 0.05) continue;
      const double reach = distance_mm / (sight.z() * side);
      const Eigen::Vector2d at = (truth.translation_mm + reach * sight).head<2>() / known.bore.radius_mm;
      if (at.norm() < 1) picture(v, u) = colour(at);
    }
  return picture;
}

/// A dam: cloth in folds. (A seat brighter than the weld is still taken for it: not asked here.)
cv::Vec3b Dam(const Eigen::Vector2d& at) {
  const double folds = 90 + 25 * std::sin(9 * at.x() + 4 * at.y());
  return {static_cast<uchar>(0.5 * folds), static_cast<uchar>(0.8 * folds), static_cast<uchar>(folds)};
}

TEST(Structure, ABareBoreWithALitFarEndShowsItsAxisAndNoWeld) {
  for (const std::uint64_t seed : {31U, 32U}) {
    KnownFrame bare = Rendered("bare", seed, "equidistant", seed % 2 == 1);
    bare.picture = WithPlane(bare, 4 * bare.bore.radius_mm, [](const Eigen::Vector2d&) { return cv::Vec3b::all(250); });
    const auto stand = FindHeadStand({{bare.picture, bare.setting}}, bare.bore);
    ASSERT_TRUE(stand.ok()) << stand.error().message;
    EXPECT_LT(AxisOff_deg(stand.value().bore_from_head, bare.truth), 1) << seed;
    const auto pose = FindPose(bare.picture, bare.bore, bare.setting);
    ASSERT_FALSE(pose.ok()) << "a weld, wrong by " << pose.value().chance_wrong << ", at "
                            << pose.value().bore_from_cam.translation_mm.z() << " mm";
    EXPECT_EQ(pose.error().says.code, Says::kNoRingLikeAWeld) << pose.error().message;
  }
}

TEST(Structure, ADamAheadThatHidesTheFarEndIsNoHindrance) {
  for (const std::uint64_t seed : {21U, 24U, 27U}) {
    KnownFrame known = Rendered("fused", seed, "equidistant", seed % 2 == 1);
    known.picture = WithPlane(known, std::abs(known.truth.translation_mm.z()) + 0.8 * known.bore.radius_mm, Dam);
    PoseOptions by_light;
    by_light.by_structure = false;
    const auto before = FindPose(known.picture, known.bore, known.setting, by_light);
    EXPECT_FALSE(before.ok()) << "light alone sees no dark far end";
    const auto pose = FindPose(known.picture, known.bore, known.setting);
    ASSERT_TRUE(pose.ok()) << pose.error().message;
    EXPECT_TRUE(pose.value().trusted);
    EXPECT_LT(AxisOff_deg(pose.value().bore_from_cam, known.truth), 1) << seed;
    const Eigen::Vector3d off = pose.value().bore_from_cam.translation_mm - known.truth.translation_mm;
    EXPECT_LT(off.head<2>().norm(), 0.03 * known.bore.radius_mm) << seed;
    EXPECT_LT(std::abs(off.z()), 0.03 * known.bore.radius_mm) << seed;
  }
}

/// Rings without a single line along the bore: tilt and offset trade freely, and it is said so.
TEST(Structure, RingsWithoutLinesAreDoubtful) {
  const FrameSetting setting{fixtures::scene::TypicalLens("equidistant", 960, 720).value(), Facing::kPlusZ, 0, {}};
  const auto truth = fixtures::scene::PoseLooking(true, 2, -3, -60, 1.5, -2, 0);
  cv::Mat3b picture(720, 960, cv::Vec3b(0, 0, 0));
  for (int v = 0; v < picture.rows; ++v)
    for (int u = 0; u < picture.cols; ++u) {
      const auto ray = setting.lens.Ray({u, v});
      const auto wall = ray ? bore::WallFromRay(truth.translation_mm, truth.rotation * *ray, 77) : std::nullopt;
      if (!wall || (truth.rotation * *ray).z() <= 0) continue;
      const double bead = std::exp(-0.5 * std::pow(wall->z_mm / 2, 2));
      picture(v, u) = cv::Vec3b::all(static_cast<uchar>(80 + 90 * bead));
    }
  const auto pose = FindPose(picture, {77, 0.05}, setting);
  if (pose.ok()) {  // the ring alone: its axis is not told, and what trades is in the covariance
    EXPECT_FALSE(pose.value().axis_told) << "wrong by " << pose.value().chance_wrong;
    EXPECT_LT(AxisOff_deg(pose.value().bore_from_cam, truth), 3 * std::numbers::sqrt2 * pose.value().tilt_u_deg());
  } else {
    EXPECT_EQ(pose.error().code, ErrorCode::kNotFound);
  }
}

/// Four cameras turned outward by 35 degrees on one head; none sees along the bore. One blinded costs its sector only.
TEST(Structure, AHeadOfFourOutwardCamerasIsOnePose) {
  fixtures::scene::ScenarioOptions options;
  options.seed = 5, options.width_px = 800, options.height_px = 600;
  const auto scenario = fixtures::scene::MakeScenario(options).value();
  const auto scene = fixtures::scene::Scene::Make(scenario.scene).value();
  const double radius_mm = scenario.scene.radius_mm;
  const auto head =
      fixtures::scene::PoseLooking(true, 0.03 * radius_mm, -0.02 * radius_mm, -0.75 * radius_mm, 1.4, -1, 20);
  std::vector<HeadView> views;
  for (int k = 0; k < 4; ++k) {
    const double azimuth = (45 + 90 * k) * bore::kRadPerDeg;
    const Eigen::Vector3d aside(std::cos(azimuth), std::sin(azimuth), 0);
    bore::BoreFromCam place;
    place.rotation = Eigen::AngleAxisd(35 * bore::kRadPerDeg, Eigen::Vector3d::UnitZ().cross(aside)).toRotationMatrix();
    place.translation_mm = 0.2 * radius_mm * aside;
    fixtures::scene::View view{
        scenario.views.front().lens,
        {head.rotation * place.rotation, head.rotation * place.translation_mm + head.translation_mm},
        std::nullopt,
        k};
    HeadView seen;
    seen.picture = scene.Render(view).value().bgr;
    seen.setting = {view.lens, Facing::kPlusZ, fixtures::scene::UpThetaDeg(view.bore_from_cam), {}};
    seen.head_from_cam = place;
    views.push_back(seen);
  }
  for (const bool blinded : {false, true}) {
    if (blinded) views[2].picture.setTo(cv::Scalar::all(3));
    const auto found = FindHeadPose(views, {radius_mm, 0.05});
    ASSERT_TRUE(found.ok()) << found.error().message;
    EXPECT_TRUE(found.value().origin.trusted);
    const auto& pose = found.value().bore_from_head;
    EXPECT_LT(AxisOff_deg(pose, head), 1) << blinded;
    const Eigen::Vector3d off = pose.translation_mm - head.translation_mm;
    EXPECT_LT(off.head<2>().norm(), 0.03 * radius_mm) << blinded << ": " << off.transpose();
    EXPECT_LT(std::abs(off.z() - scenario.scene.bead.z_centre_mm), 0.04 * radius_mm)
        << blinded << ": " << off.transpose();
    EXPECT_LT(Eigen::AngleAxisd(pose.rotation * head.rotation.transpose()).angle() * bore::kDegPerRad, 1.2);
  }
}

TEST(Structure, AMountThatIsKnownTiesTheValley) {
  KnownFrame known = Rendered("fused", 21, "equidistant", true);
  const auto wide = FindPose(known.picture, known.bore, known.setting);
  known.setting.mount.tilt_u_deg = 0.01;
  known.setting.mount.centred_u_mm = 0.01;
  const auto tied = FindPose(known.picture, known.bore, known.setting);
  ASSERT_TRUE(wide.ok() && tied.ok());
  EXPECT_LT(tied.value().tilt_deg(), 0.2);  // held upright against what the picture says
  EXPECT_GT(wide.value().tilt_deg(), 0.5);
  EXPECT_LT(tied.value().agreement, wide.value().agreement);
}

TEST(Structure, SaysWhatIsWrongWithItsInput) {
  FrameSetting setting{fixtures::scene::TypicalLens("equidistant", 640, 480).value(), Facing::kPlusZ, 0, {}};
  const cv::Mat3b picture(480, 640, cv::Vec3b(9, 9, 9));
  EXPECT_THAT(FindPose(picture.colRange(0, 600), {77, 0}, setting).error().message, testing::HasSubstr("600 x 480"));
  PoseOptions options;
  options.structure.valley = 0;
  EXPECT_THAT(FindPose(picture, {77, 0}, setting, options).error().message, testing::HasSubstr("valley"));
  setting.mount.centred_u_mm = -1;
  EXPECT_THAT(FindPose(picture, {77, 0}, setting).error().message, testing::HasSubstr("centred_u_mm"));
  EXPECT_EQ(FindHeadPose({}, {77, 0}).error().code, ErrorCode::kBadInput);
}

}  // namespace
}  // namespace vision::pose
