#include <gtest/gtest.h>

#include <cmath>

#include "fixtures/scene/options.h"
#include "vision/bore/angle.h"
#include "vision/pose/pose.h"

namespace vision::pose {
namespace {

const Eigen::Vector3d kX(1, 0, 0), kY(0, 1, 0), kZ(0, 0, 1);

void ExpectColumns(const Eigen::Matrix3d& rotation, const Eigen::Vector3d& right, const Eigen::Vector3d& down,
                   const Eigen::Vector3d& forward) {
  EXPECT_LT((rotation.col(0) - right).norm(), 1e-12) << "right is " << rotation.col(0).transpose();
  EXPECT_LT((rotation.col(1) - down).norm(), 1e-12) << "down is " << rotation.col(1).transpose();
  EXPECT_LT((rotation.col(2) - forward).norm(), 1e-12) << "forward is " << rotation.col(2).transpose();
}

// By hand, from the frames in vision/bore/bore.h: +y is 12 o'clock, +x is 9 o'clock for someone looking along +z.
TEST(RotationFromAxis, LookingAlongZWithTwelveUpHasThreeAtTheRight) {
  ExpectColumns(RotationFromAxis(kZ, 0, Facing::kPlusZ), -kX, -kY, kZ);
}

TEST(RotationFromAxis, LookingAlongZWithThreeUpHasSixAtTheRight) {
  ExpectColumns(RotationFromAxis(kZ, 90, Facing::kPlusZ), -kY, kX, kZ);
}

TEST(RotationFromAxis, LookingAgainstZWithTwelveUpHasNineAtTheRight) {
  ExpectColumns(RotationFromAxis(kZ, 0, Facing::kMinusZ), kX, -kY, -kZ);
}

TEST(RotationFromAxis, AnAxisSeenBelowTheMiddleMeansAViewThatLeansUp) {
  const double s = std::sin(5 * bore::kRadPerDeg), c = std::cos(5 * bore::kRadPerDeg);
  const Eigen::Vector3d axis(0, s, c);  // y down in the camera's frame
  ExpectColumns(RotationFromAxis(axis, 0, Facing::kPlusZ), -kX, {0, -c, s}, {0, s, c});
}

TEST(RotationFromAxis, AgreesWithTheSceneMakersTurns) {
  for (const bool plus_z : {true, false})
    for (const double up : {0.0, 77.0, 181.0, 300.0})
      for (const double pitch : {-7.0, 4.0})
        for (const double yaw : {-3.0, 8.0}) {
          const auto pose = fixtures::scene::PoseLooking(plus_z, 1, 2, 3, pitch, yaw, up);
          const Eigen::Vector3d axis = pose.rotation.transpose() * (plus_z ? kZ : -kZ);
          const auto rotation =
              RotationFromAxis(axis, fixtures::scene::UpThetaDeg(pose), plus_z ? Facing::kPlusZ : Facing::kMinusZ);
          EXPECT_LT((rotation - pose.rotation).norm(), 1e-9) << up << " " << pitch << " " << yaw;
        }
}

TEST(Facing, NamesGoBothWays) {
  for (const std::string name : {"+z", "-z", "side"}) EXPECT_EQ(NameOf(FacingFromName(name).value()), name);
  EXPECT_FALSE(FacingFromName("z").has_value());
}

TEST(Pose, TiltIsTheUnsignedAngleToTheAxisEitherWay) {
  for (const bool plus_z : {true, false}) {
    Pose pose;
    pose.bore_from_cam = fixtures::scene::PoseLooking(plus_z, 0, 0, 0, -3, 0, 120);
    EXPECT_NEAR(pose.tilt_deg(), 3, 1e-9);
  }
}

}  // namespace
}  // namespace vision::pose
