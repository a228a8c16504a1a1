#include "vision/bore/bore.h"

#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <cmath>
#include <limits>
#include <random>

namespace vision::bore {
namespace {

// HOUSE.md: x = -r sin(theta), y = r cos(theta). By hand, R = 50 mm:
//   theta   0 (12 o'clock): (  0,  50)     theta  90 (3 o'clock): (-50, 0)
//   theta 180 ( 6 o'clock): (  0, -50)     theta 270 (9 o'clock): (+50, 0)
// For someone looking along +z with +y up the right hand is z cross y = -x: clockwise from the top goes to -x, and
// +x is at 9 o'clock.

TEST(BoreFrame, ClockIsClockwiseLookingAlongZ) {
  const Eigen::Vector3d looking(0, 0, 1), up(0, 1, 0), right = looking.cross(up);
  EXPECT_TRUE(right.isApprox(Eigen::Vector3d(-1, 0, 0))) << "the viewer's right hand points to -x";
  EXPECT_TRUE(XyzFromBore({90, 0, 0}, 50).isApprox(50 * right, 1e-12)) << "3 o'clock is at the right hand";
}

TEST(BoreFrame, QuartersCountedByHand) {
  struct Row {
    double theta_deg, x, y;
  };
  for (const Row& row : {Row{0, 0, 50}, Row{90, -50, 0}, Row{180, 0, -50}, Row{270, 50, 0}}) {
    const Eigen::Vector3d xyz = XyzFromBore({row.theta_deg, 7, 0}, 50);
    EXPECT_NEAR(xyz.x(), row.x, 1e-12) << row.theta_deg;
    EXPECT_NEAR(xyz.y(), row.y, 1e-12) << row.theta_deg;
    EXPECT_EQ(xyz.z(), 7);
    const BorePoint back = BoreFromXyz({row.x, row.y, 7}, 50);
    EXPECT_NEAR(back.theta_deg, row.theta_deg, 1e-12);
    EXPECT_NEAR(back.height_mm, 0, 1e-12);
  }
}

TEST(BoreFrame, AsymmetricMarkKeepsItsHand) {
  // A mark like the letter L on the wall: foot towards growing theta, stem along +z. 30 degrees: sin 0.5, cos 0.866.
  const Eigen::Vector3d corner = XyzFromBore({30, 0, 0}, 100), foot = XyzFromBore({36, 0, 0}, 100),
                        stem = XyzFromBore({30, 10, 0}, 100);
  EXPECT_NEAR(corner.x(), -50, 1e-9);
  EXPECT_NEAR(corner.y(), 86.60254037844386, 1e-9);
  // Seen from the axis, outward = corner direction: with +z up in the view, right hand = outward x up.
  const Eigen::Vector3d outward(corner.x(), corner.y(), 0), z_up(0, 0, 1), right = outward.cross(z_up);
  EXPECT_GT((stem - corner).dot(z_up), 0);
  EXPECT_LT((foot - corner).dot(right), 0)
      << "with z upward the foot points left; so with theta to the right z must grow downward (HOUSE.md, strip)";
}

TEST(BoreFrame, HeightStandsIntoTheBore) {
  EXPECT_TRUE(XyzFromBore({0, 0, 2}, 50).isApprox(Eigen::Vector3d(0, 48, 0)));
  EXPECT_NEAR(BoreFromXyz({0, -49, 3}, 50).height_mm, 1, 1e-12);
  EXPECT_NEAR(BoreFromXyz({0, -51, 3}, 50).height_mm, -1, 1e-12) << "concave is negative";
  EXPECT_NEAR(BoreFromXyz({0, -51, 3}, 50).theta_deg, 180, 1e-12);
}

TEST(BoreFromCam, LeansTowardsTheBoreAngleOfItsAxis) {
  // By hand: 3 o'clock (90 degrees) is at -x, 6 o'clock (180) at -y; the view's direction is the third column.
  struct Row {
    double x, y, azimuth_deg;
  };
  for (const double along : {1.0, -1.0})
    for (const Row& row : {Row{0, 0.1, 0}, Row{-0.1, 0, 90}, Row{0, -0.1, 180}, Row{0.1, 0, 270}}) {
      BoreFromCam pose;
      pose.rotation.col(2) = Eigen::Vector3d(row.x, row.y, along).normalized();
      EXPECT_NEAR(pose.axis_azimuth_deg(), row.azimuth_deg, 1e-9) << along;
      EXPECT_NEAR(pose.tilt_deg(), std::atan(0.1) * 180 / M_PI, 1e-9) << along;
    }
}

TEST(BoreFromCam, ColumnsAreRightDownAndForward) {
  // Camera on the axis, image up = 12 o'clock, looking along +z: right = -x, down = -y, forward = +z.
  BoreFromCam pose;
  pose.rotation << -1, 0, 0, 0, -1, 0, 0, 0, 1;
  pose.translation_mm = {0, 0, -60};
  EXPECT_NEAR(pose.rotation.determinant(), 1, 1e-15);
  const Eigen::Vector3d at_3_oclock = pose.CamFromBore(XyzFromBore({90, 0, 0}, 50));
  EXPECT_TRUE(at_3_oclock.isApprox(Eigen::Vector3d(50, 0, 60), 1e-12)) << "3 o'clock is at the picture's right";
  const Eigen::Vector3d at_12 = pose.CamFromBore(XyzFromBore({0, 0, 0}, 50));
  EXPECT_TRUE(at_12.isApprox(Eigen::Vector3d(0, -50, 60), 1e-12)) << "12 o'clock is at the picture's top (y down)";
}

/// Walks along the ray in small steps until it leaves the cylinder, then halves the last step.
double DistanceToWallByWalking(const Eigen::Vector3d& origin, const Eigen::Vector3d& direction, double radius) {
  const auto outside = [&](double s) {
    return std::hypot(origin.x() + s * direction.x(), origin.y() + s * direction.y()) > radius;
  };
  double s = 0;
  while (!outside(s)) s += 0.01;
  double low = s - 0.01, high = s;
  for (int i = 0; i < 60; ++i) (outside(0.5 * (low + high)) ? high : low) = 0.5 * (low + high);
  return 0.5 * (low + high);
}

TEST(WallFromRay, AgreesWithWalkingAlongTheRay) {
  std::mt19937 random(7);
  std::uniform_real_distribution<double> unit(-1, 1);
  int checked = 0;
  while (checked < 200) {
    const Eigen::Vector3d origin(20 * unit(random), 20 * unit(random), 30 * unit(random));
    Eigen::Vector3d direction(unit(random), unit(random), unit(random));
    if (direction.norm() < 0.1 || direction.head<2>().norm() < 0.05) continue;
    direction.normalize();
    const double s = DistanceToWallByWalking(origin, direction, 50);
    const Eigen::Vector3d want = origin + s * direction;
    const auto got = WallFromRay(origin, direction, 50);
    ASSERT_TRUE(got);
    EXPECT_NEAR(got->z_mm, want.z(), 1e-9);
    // By hand from x = -r sin, y = r cos; the sight goes forward, so the far crossing behind is never taken.
    EXPECT_NEAR(-50 * std::sin(got->theta_deg * M_PI / 180), want.x(), 1e-9);
    EXPECT_NEAR(50 * std::cos(got->theta_deg * M_PI / 180), want.y(), 1e-9);
    EXPECT_NEAR(got->height_mm, 0, 1e-9);
    ++checked;
  }
}

TEST(WallFromRay, HasNoAnswerWhereThereIsNone) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  EXPECT_FALSE(WallFromRay({0, 0, 0}, {0, 0, 1}, 50)) << "along the axis";
  EXPECT_FALSE(WallFromRay({60, 0, 0}, {-1, 0, 0}, 50)) << "camera outside the bore";
  EXPECT_FALSE(WallFromRay({50, 0, 0}, {-1, 0, 0}, 50)) << "camera on the wall";
  EXPECT_FALSE(WallFromRay({0, 0, 0}, {1, 0, 0}, 0)) << "zero radius";
  EXPECT_FALSE(WallFromRay({nan, 0, 0}, {1, 0, 0}, 50));
  EXPECT_FALSE(WallFromRay({0, 0, 0}, {nan, 0, 1}, 50));
  EXPECT_FALSE(WallFromRay({0, 0, 0}, {1, 0, 0}, nan));
}

TEST(WallFromRay, KeepsItsDigitsNearTheWall) {
  // 2^-20 mm from the wall, all inputs exact in binary. Reference in long double; the textbook root loses nine digits.
  const double gap = 0x1p-20;
  const auto point = WallFromRay({50 - gap, 0, 0}, {1, 0.25, 1}, 50);
  ASSERT_TRUE(point);
  const long double a = 1.0625L, b = 50.0L - gap, c = -(100.0L * gap - static_cast<long double>(gap) * gap);
  const long double s = -c / (b + std::sqrt(b * b - a * c));
  EXPECT_NEAR(point->z_mm, static_cast<double>(s), 1e-14 * gap);
}

}  // namespace
}  // namespace vision::bore
