#include <gmock/gmock.h>

#include <cmath>
#include <stop_token>

#include "tests/pose/known_frames.h"
#include "vision/bore/angle.h"
#include "vision/pose/pose.h"

namespace vision::pose {
namespace {

/// Demo stills, scenes of another renderer, and every lens model; both looks. Made once.
const std::vector<KnownFrame>& Frames() {
  static const std::vector<KnownFrame> frames = [] {
    std::vector<KnownFrame> all;
    const std::filesystem::path fixtures = ROOTSCROLL_SOURCE_DIR "/fixtures";
    for (const std::string folder : {"demo", "independent/single_00_fused", "independent/single_02_unfused_left",
                                     "independent/single_04_unfused_mixed", "independent/both_00_unfused_mixed"})
      for (auto& known : FramesOf(fixtures / folder)) all.push_back(std::move(known));
    all.push_back(Rendered("fused", 21, "kannala_brandt", true));
    all.push_back(Rendered("unfused_left", 22, "pinhole", false));
    all.push_back(Rendered("misaligned", 23, "omni", true));
    all.push_back(Rendered("unfused_mixed", 24, "equidistant", false));
    return all;
  }();
  return frames;
}

Result<Pose> Find(const KnownFrame& known) { return FindPose(known.picture, known.bore, known.setting); }

/// The poses of `Frames`, found once.
const std::vector<Result<Pose>>& Found() {
  static const std::vector<Result<Pose>> found = [] {
    std::vector<Result<Pose>> all;
    for (const auto& known : Frames()) all.push_back(Find(known));
    return all;
  }();
  return found;
}

/// Both tilts: how far the bore's axis is seen from where it is, deg.
Eigen::Vector2d TiltError_deg(const Pose& pose, const KnownFrame& known) {
  const Eigen::Vector3d z(0, 0, known.setting.facing == Facing::kMinusZ ? -1 : 1);
  const Eigen::Vector3d off = pose.bore_from_cam.rotation.transpose() * z - known.truth.rotation.transpose() * z;
  return off.head<2>() * bore::kDegPerRad;
}

// 0.8 degree of tilt moves the far toe by 0.014 of its distance: 0.1 mm across a bead 60 mm away and 7 mm wide. 3 mm of
// offset or distance is 4 % of R = 77 mm, what the toes then refine (vision/reading). Scaled by R for the small bore.
TEST(FindPose, IsCloseEnoughToStartFrom) {
  for (std::size_t i = 0; i < Frames().size(); ++i) {
    const auto& known = Frames()[i];
    const auto& pose = Found()[i];
    ASSERT_TRUE(pose.ok()) << known.name << ": " << pose.error().message;
    const Eigen::Vector3d off = pose.value().bore_from_cam.translation_mm - known.truth.translation_mm;
    const double scale = std::max(0.8, known.bore.radius_mm / 77);
    EXPECT_LT(TiltError_deg(pose.value(), known).norm(), 0.8) << known.name;
    EXPECT_LT(off.head<2>().norm(), 3 * scale) << known.name << " off by " << off.transpose();
    EXPECT_LT(std::abs(off.z()), 3 * scale) << known.name << " off by " << off.transpose();
    EXPECT_EQ(pose.value().how, "found in the picture");
  }
}

TEST(FindPose, TruthLiesMostlyWithinThreeOfItsOwnDeviations) {
  int within = 0, all = 0;
  for (std::size_t i = 0; i < Frames().size(); ++i) {
    const auto& known = Frames()[i];
    const auto& pose = Found()[i];
    ASSERT_TRUE(pose.ok()) << known.name;
    const auto& p = pose.value();
    const Eigen::Vector3d off = p.bore_from_cam.translation_mm - known.truth.translation_mm;
    const auto tilt = TiltError_deg(p, known);
    for (int k = 0; k < 2; ++k) {
      within += std::abs(off[k]) < 3 * std::sqrt(p.covariance(k, k));
      within += std::abs(tilt[k]) < 3 * std::sqrt(p.covariance(3 + k, 3 + k)) * bore::kDegPerRad;
    }
    within += std::abs(off.z()) < 3 * std::sqrt(p.covariance(2, 2));
    all += 5;
    EXPECT_LT(p.offset_u_mm(), 0.1 * known.bore.radius_mm) << known.name;  // not by saying nothing
    EXPECT_LT(p.tilt_u_deg(), 2.01);
  }
  EXPECT_GE(within, static_cast<int>(0.9 * all)) << within << " of " << all;
}

TEST(FindPose, ATurnedPictureGivesTheSamePlaceTurned) {
  // The same picture said to have its up elsewhere is the same camera in a bore turned about its axis.
  KnownFrame known = Frames().front();
  const auto& straight = Found().front();
  known.setting.up_theta_deg += 90;
  const auto turned = Find(known);
  ASSERT_TRUE(straight.ok() && turned.ok());
  const auto& a = straight.value().bore_from_cam.translation_mm;
  const auto& b = turned.value().bore_from_cam.translation_mm;
  // theta + 90 takes +y to -x and x to y; the search's own steps are 0.06 mm.
  EXPECT_NEAR(b.x(), -a.y(), 0.6);
  EXPECT_NEAR(b.y(), a.x(), 0.6);
  EXPECT_NEAR(b.z(), a.z(), 0.5);
}

TEST(FindPose, StopsWhenAsked) {
  const auto& known = Frames().front();
  std::stop_source stop;
  stop.request_stop();
  EXPECT_TRUE(FindPose(known.picture, known.bore, known.setting, {}, {stop.get_token(), {}}).cancelled());
}

/// Six points on the near toe from truth; the frame gives the tilt.
std::vector<Eigen::Vector2d> SixPoints(const KnownFrame& known) {
  const bool left = known.setting.facing == Facing::kPlusZ;
  std::vector<Eigen::Vector2d> points;
  for (std::size_t line = 20; line < 720; line += 120) {
    const double z = (left ? known.left_edge_z : known.right_edge_z)[line];
    const auto wall = bore::XyzFromBore({0.5 * static_cast<double>(line), z, 0}, known.bore.radius_mm);
    points.push_back(known.setting.lens.Project(known.truth.CamFromBore(wall)).value());
  }
  return points;
}

TEST(PoseFromPoints, SixPointsOnTheNearToeDo) {
  for (const std::size_t i : {0U, 1U}) {  // the demo, looking along +z and against it
    const auto& known = Frames()[i];
    const auto pose = PoseFromPoints(known.picture, SixPoints(known), known.bore, known.setting);
    ASSERT_TRUE(pose.ok()) << pose.error().message;
    const Eigen::Vector3d off = pose.value().bore_from_cam.translation_mm - known.truth.translation_mm;
    EXPECT_LT(off.head<2>().norm(), 2) << off.transpose();
    EXPECT_LT(std::abs(off.z()), 1.5) << off.transpose();  // half of how far widths stray from the assumed 5 mm
    EXPECT_GT(pose.value().z_u_mm(), 0.3);                 // one toe does not tell where the middle is
    EXPECT_EQ(pose.value().how, "points given by a person");
  }
}

TEST(PoseFromPoints, FiveAreTooFewAndPointsOutsideTheLensAreRefused) {
  const auto& known = Frames().front();
  auto points = SixPoints(known);
  points[2] = {-5000, 4};
  const auto outside = PoseFromPoints(known.picture, points, known.bore, known.setting);
  ASSERT_FALSE(outside.ok());
  EXPECT_EQ(outside.error().code, ErrorCode::kBadInput);
  points.resize(5);
  points[2] = SixPoints(known)[2];
  const auto few = PoseFromPoints(known.picture, points, known.bore, known.setting);
  ASSERT_FALSE(few.ok());
  EXPECT_EQ(few.error().code, ErrorCode::kBadInput);
  EXPECT_THAT(few.error().message, testing::HasSubstr("six or more"));
}

}  // namespace
}  // namespace vision::pose
