#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "fixtures/field/grain.h"
#include "tests/field/plain.h"

namespace fixtures::field {
namespace {

using Eigen::Vector3d;
constexpr double kPi = std::numbers::pi;

/// Straight down a bore, camera at (cx, cy, cz), up at theta = 0: written out from the scenes' formula u = u0 + f a
/// Px/q with the image's right at 3 o'clock (-x of the bore) and its down at -y, no code of lens or pose.
Eigen::Vector2d ClosedPixel(const View& view, const Vector3d& at) {
  const Vector3d d = at - view.bore_from_cam.translation_mm;
  const double px = -d.x(), py = -d.y(), q = std::hypot(px, py), a = std::atan2(q, d.z());
  const double f = view.lens.fx_px;
  return {0.5 * (view.lens.width_px - 1) + f * a * px / q, 0.5 * (view.lens.height_px - 1) + f * a * py / q};
}

/// A point of a torus tube by its textbook equation: the centre circle of radius B lies in the plane of the bore's axis
/// and the direction d; angle turn along it, angle theta about it.
Vector3d TorusPoint(double from, double bend, double direction_deg, double tube, double turn, double theta_deg) {
  const double g = direction_deg * kPi / 180, t = theta_deg * kPi / 180;
  const Vector3d towards(-std::sin(g), std::cos(g), 0), z(0, 0, 1);
  const double along = std::cos(t - g), across = std::sin(t - g);  // cross-section offsets along d and square to it
  const Vector3d square(-std::cos(g), -std::sin(g), 0);            // theta = g + 90 degrees
  const Vector3d centre = Vector3d(0, 0, from) + bend * std::sin(turn) * z + bend * (1 - std::cos(turn)) * towards;
  const Vector3d out = std::cos(turn) * towards - std::sin(turn) * z;
  return centre + tube * (along * out + across * square);
}

TEST(Elbow, PointsOfATextbookTorusAreSeenWhereTheClosedFormulaPutsThem) {
  SceneOptions o = PlainScene(40, false);
  o.wall.elbow = {true, 6, 110, 70, 150};
  const auto scene = Scene::Make(o).value();
  const View view = PlainView(3, -2, -30, 640);
  RenderOptions how;
  how.supersample = 1;
  const Radiance seen = scene.Cast(view, how);
  int checked = 0;
  for (double turn = 0.05; turn < 0.5; turn += 0.05)
    for (double theta = 5; theta < 360; theta += 30) {
      const Vector3d at = TorusPoint(6, 110, 70, 40, turn, theta);
      const Eigen::Vector2d pixel = ClosedPixel(view, at);
      const int u = cvRound(pixel.x()), v = cvRound(pixel.y());
      if (u < 1 || v < 1 || u > 638 || v > 478) continue;
      if (seen.seen(v, u) != static_cast<uchar>(Seen::kElbow)) continue;
      const double away = (at - view.bore_from_cam.translation_mm).norm();
      if (std::abs(static_cast<double>(seen.away_mm(v, u)) - away) > 0.03 * away) continue;  // the inner wall hides it
      ++checked;
      // half a pixel each way and a little for curvature, laid on the wall as slantingly as it is met
      const Vector3d out = (at - TorusPoint(6, 110, 70, 0, turn, theta)) / 40;
      const double facing = (at - view.bore_from_cam.translation_mm).dot(out) / away;
      EXPECT_NEAR(static_cast<double>(seen.z_mm(v, u)), 6 + 110 * turn, 0.85 * away / view.lens.fx_px / facing + 0.02);
      const double off = std::remainder(static_cast<double>(seen.theta_deg(v, u)) - theta, 360);
      EXPECT_LT(std::abs(off), 2.0) << turn << " " << theta;
    }
  EXPECT_GT(checked, 60);
}

/// Every sight that ends in the bend ends on |distance to the centre circle| = R, and nothing before it lies outside.
TEST(Elbow, SightsEndOnTheTorusAndStayInsideBefore) {
  SceneOptions o = PlainScene(50, false);
  o.wall.elbow = {true, 10, 150, 200, 150};
  const auto scene = Scene::Make(o).value();
  const View view = PlainView(-4, 6, -25);
  const World world(scene.surface(), view);
  const double g = 200 * kPi / 180;
  const auto clear = [&](const Vector3d& p) {  // R minus the distance to the centre circle (or axis before the bend)
    if (p.z() <= 10) return 50 - p.head<2>().norm();
    const double d = -std::sin(g) * p.x() + std::cos(g) * p.y(), side = std::cos(g) * p.x() + std::sin(g) * p.y();
    return 50 - std::hypot(std::hypot(p.z() - 10, 150 - d) - 150, side);
  };
  int ends = 0;
  for (double a = 0.05; a < 0.9; a += 0.07)
    for (double t = 0; t < 2 * kPi; t += 0.4) {
      const Vector3d way(std::sin(a) * std::cos(t), std::sin(a) * std::sin(t), std::cos(a));
      const Hit hit = world.WallHit(view.bore_from_cam.translation_mm, way);
      if (hit.seen != Seen::kElbow) continue;
      ++ends;
      EXPECT_NEAR(clear(hit.at), 0, 0.01);
      for (double s = 1; s < hit.along_mm - 0.5; s += 1)
        EXPECT_GT(clear(view.bore_from_cam.translation_mm + s * way), 0);
    }
  EXPECT_GT(ends, 80);
}

/// From the axis the sight at angle a meets the cone r = R - depth (z - from) / length where
/// (z - eye) tan a = R - depth (z - from) / length: one line, solved by hand.
TEST(BoreStep, TheConeIsMetWhereTheLineSaysSo) {
  SceneOptions o = PlainScene(60, false);
  o.wall.steps = {{true, 20, 1.5, 6}};
  const auto scene = Scene::Make(o).value();
  const World world(scene.surface(), PlainView(0, 0, -30));
  for (double z = 20.5; z < 26; z += 0.5) {
    const double r = 60 - 1.5 * (z - 20) / 6, a = std::atan2(r, z + 30);
    const Hit hit = world.WallHit({0, 0, -30}, {0, std::sin(a), std::cos(a)});
    EXPECT_NEAR(hit.z_mm, z, 2e-3);
    EXPECT_NEAR(hit.at.y(), r, 1e-3);
  }
  const Hit beyond =
      world.WallHit({0, 0, -30}, Vector3d(0, 58.5, 30 + 40).normalized());  // the narrower bore behind it
  EXPECT_NEAR(beyond.z_mm, 40, 2e-3);
}

/// The lip of the nearer step (z = -26, radius R - depth) hides the wall up to where the sight over it sinks to R.
TEST(BoreStep, TheNearLipHidesWhatTheGrazingSightSays) {
  SceneOptions o = PlainScene(60, false);
  o.wall.steps = {{false, 25, 2, 1}};
  const auto scene = Scene::Make(o).value();
  const World world(scene.surface(), PlainView(0, 0, -60));
  const double shadow_end = -60 + (60 - 26) * 60.0 / 58;  // grazing the lip at z = -26
  for (double z = -24.9; z < -20; z += 0.05) {
    if (std::abs(z - shadow_end) < 0.1) continue;
    EXPECT_EQ(InSight(world, {0, 0, -60}, 130, z, true), z > shadow_end) << z << " against " << shadow_end;
  }
}

TEST(QuickTurn, IsTheLibrarysArcTangent) {
  for (double deg = 0.05; deg < 360; deg += 0.37) {
    const double t = deg * kPi / 180, off = QuickTurnDeg(7 * std::sin(t), 7 * std::cos(t)) - deg;
    EXPECT_LT(std::abs(std::remainder(off, 360)), 1e-3) << deg;
  }
}

TEST(Weld, APlainBeadIsWhatItWasMadeAs) {
  const auto lines = LinesOf(Scene::Make(PlainScene(40)).value());
  ASSERT_EQ(lines.size(), 720U);
  for (std::size_t i = 0; i < 720; i += 40) {
    EXPECT_NEAR(lines[i].edge_z[0], -2.5, 1e-9);
    EXPECT_NEAR(lines[i].edge_z[1], 2.5, 1e-9);
    EXPECT_NEAR(lines[i].crown_mm, 1.2, 2e-3);
    EXPECT_FALSE(lines[i].unfused[0] || lines[i].unfused[1] || lines[i].transition);
  }
}

TEST(Weld, AnUnfusedArcHasTheRingsEdgeItsGapAndItsLength) {
  SceneOptions o = PlainScene(40);
  UnfusedArc u{{350, 30}, false, true, {}};
  u.form.gap_mm = 0.4, u.form.gap_depth_mm = 1, u.form.wave_mm = 0;
  o.weld.unfused = {u};
  const auto scene = Scene::Make(o).value();
  const auto lines = LinesOf(scene);
  int unfused = 0;
  for (const auto& line : lines) unfused += line.unfused[1];
  EXPECT_NEAR(0.5 * unfused, 30, 0.51);
  EXPECT_NEAR(lines[10].edge_z[1], 2.0, 1e-9);  // half of the 4 mm insert
  EXPECT_NEAR(lines[10].edge_z[0], -2.5, 1e-9);
  EXPECT_NEAR(scene.surface().Height(5, 2.2), -1, 0.02);   // in the gap
  EXPECT_NEAR(scene.surface().Height(5, 1.5), 1.1, 0.02);  // on the ring, clear of its corner
  EXPECT_NEAR(scene.surface().Height(180, 2.7), 0, 1e-6);  // the wall elsewhere
}

TEST(Weld, MisalignmentIsTheRightWallsHeightOverTheLeft) {
  SceneOptions o = PlainScene(40);
  o.wall.misalign_mm = 0.2, o.wall.misalign_first_mm = 0.5, o.wall.misalign_phase_deg = 90;
  const auto lines = LinesOf(Scene::Make(o).value());
  EXPECT_NEAR(lines[180].wall_mm[1] - lines[180].wall_mm[0], 0.7, 1e-6);
  EXPECT_NEAR(lines[540].wall_mm[1] - lines[540].wall_mm[0], -0.3, 1e-6);
}

}  // namespace
}  // namespace fixtures::field
