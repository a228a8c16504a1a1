#include <gtest/gtest.h>

#include <cmath>

#include "tests/field/plain.h"

namespace fixtures::field {
namespace {

using Eigen::Vector3d;
constexpr double kRad = 3.14159265358979 / 180;

/// Distance between a ray and a segment by plain sampling of the segment: no formula of the renderer's.
double Nearest(const Vector3d& eye, const Vector3d& way, const Vector3d& a, const Vector3d& b, double* along) {
  double best = 1e9;
  for (int i = 0; i <= 400; ++i) {
    const Vector3d p = a + (b - a) * (i / 400.0), off = p - eye;
    const double s = off.dot(way), d = (off - s * way).norm();
    if (s > 0 && d < best) best = d, *along = s;
  }
  return best;
}

TubeOptions StraightHose(double x, double y, double to_x, double to_y, double reach, double radius) {
  TubeOptions t;
  t.from_x_mm = x, t.from_y_mm = y, t.reach_mm = reach;
  // head and bore axes differ: PlainView has right at -x and down at -y
  t.to_x_mm = to_x, t.to_y_mm = to_y;
  t.radius_mm = t.end_radius_mm = radius;
  return t;
}

/// The map of what is seen against a straight hose drawn by hand: a pixel is hose exactly where its sight, worked out
/// here from the equidistant formula, passes nearer than the radius to the hose's line before it reaches the wall.
TEST(Seen, AHoseCoversThePixelsWhoseSightsMeetIt) {
  SceneOptions o = PlainScene(40);
  o.tubes = {StraightHose(15, 5, -12, 8, 160, 4)};
  const auto scene = Scene::Make(o).value();
  const View view = PlainView(1, 2, -40);
  const Frame frame = scene.Render(view).value();
  const Vector3d eye(1, 2, -40), begin(1 - 15, 2 - 5, -40), end(-12, 8, 120);
  int hose = 0, wrong = 0;
  for (int v = 0; v < 240; ++v)
    for (int u = 0; u < 320; ++u) {
      const double px = u - 159.5, py = v - 119.5, q = std::hypot(px, py), a = q / (0.3 * 320);
      if (a > 84 * kRad || a < 0.1) continue;
      const Vector3d way(-std::sin(a) * px / q, -std::sin(a) * py / q, std::cos(a));
      double along = 0;
      const double d = Nearest(eye, way, begin, end, &along);
      if (std::abs(d - 4) < 1.5 * along * 0.0105) continue;  // an outline's own pixel
      const bool inside = (eye + (along - std::sqrt(std::max(0.0, 16 - d * d))) * way).head<2>().norm() < 38;
      const bool want = d < 4 && inside;
      hose += want;
      wrong += want != (frame.seen(v, u) == static_cast<uchar>(Seen::kHose));
    }
  EXPECT_GT(hose, 1500);
  EXPECT_LE(wrong, 3);
}

/// The tiles' lists leave no segment out: the map is what casting against all tubes gives.
TEST(Seen, TilesLoseNoHose) {
  for (const std::uint64_t seed : {3, 14, 15}) {
    FieldDraw d = DrawField(seed, {.recording = "look", .only = {"hoses"}, .width_px = 320});
    const auto scene = Scene::Make(d.scene).value();
    const Radiance r = scene.Cast(d.views[0]);
    const World world(scene.surface(), d.views[0]);
    int wrong = 0;
    for (int v = 0; v < r.seen.rows; v += 3)
      for (int u = 0; u < r.seen.cols; u += 3) {
        const auto ray = d.views[0].lens.Ray({u, v});
        if (!ray) continue;
        const Hit hit = world.First(d.views[0].bore_from_cam.translation_mm, d.views[0].bore_from_cam.rotation * *ray);
        wrong += static_cast<uchar>(hit.seen) != r.seen(v, u);
      }
    EXPECT_LE(wrong, 3) << seed;  // sights between knots: an outline's own pixel now and then
  }
}

/// Clearance along the line from the eye to a point, by fixed small steps and the exact relief; things by sampling.
struct Cast {
  double relief = 1e9, things = 1e9;
};

Cast March(const Scene& scene, const World& world, const Vector3d& eye, const Vector3d& target) {
  Cast cast;
  const Vector3d way = target - eye;
  const double length = way.norm();
  for (double left = 0.3; left < 14; left += 0.05) {  // the weld and the walls beside it
    const Vector3d p = target - way / length * left;
    const double theta = std::atan2(-p.x(), p.y()) / kRad, z = p.z(), t = theta < 0 ? theta + 360 : theta;
    const auto& surface = scene.surface();
    const bool zone = z > surface.zone_from_mm() && z < surface.zone_to_mm();
    const double h = zone ? surface.ExactHeight(surface.At(t), t, z) : surface.WallHeight(t, z);
    cast.relief = std::min(cast.relief, surface.radius_mm() - h - p.head<2>().norm());
  }
  for (const auto& tube : world.tubes())
    for (std::size_t i = 0; i + 1 < tube.line.size(); ++i)
      for (double f = 0; f < 1; f += 0.02) {
        const Vector3d c = tube.line[i] + f * (tube.line[i + 1] - tube.line[i]);
        const double s = std::clamp((c - eye).dot(way) / (length * length), 0.0, 1.0);
        cast.things = std::min(cast.things, (eye + s * way - c).norm() - tube.radius[i]);
      }
  return cast;
}

/// Visibility flags against that march, on drawn scenes; lines too near to call are left out.
TEST(Sights, TheFlagsAreWhatAnIndependentMarchSays) {
  int checked = 0, hidden = 0, behind = 0;
  for (const std::uint64_t seed : {21, 22, 23, 24, 25, 26}) {
    FieldDraw d = DrawField(seed, {.recording = "look", .only = {"hoses"}, .width_px = 320});
    d.scene.dam.present = false;
    const auto scene = Scene::Make(d.scene).value();
    const FrameTruth truth = SightsOf(scene, d.views[0], nullptr);
    const World world(scene.surface(), d.views[0]);
    const Vector3d eye = d.views[0].bore_from_cam.translation_mm;
    for (int i = 0; i < kLines; i += 7)
      for (int k = 0; k < 2; ++k) {
        const double theta = 0.5 * i;
        const Section s = scene.surface().At(theta);
        if (s.edge(k) > scene.surface().zone_to_mm() - 0.1) continue;
        const double r = d.scene.radius_mm - scene.surface().Height(theta, s.edge(k)) - 0.03;
        const Vector3d target(-r * std::sin(theta * kRad), r * std::cos(theta * kRad), s.edge(k));
        const Cast cast = March(scene, world, eye, target);
        const EdgeSight& e = truth.edge[k][static_cast<std::size_t>(i)];
        if (std::abs(cast.relief) < 0.06 || std::abs(cast.things) < 0.4) continue;
        ++checked;
        hidden += cast.relief < 0 ? 1 : 0;
        EXPECT_EQ(e.hidden_by_weld, cast.relief < 0)
            << seed << " line " << i << " side " << k << " clear " << cast.relief;
        if (cast.relief < 0) continue;
        behind += cast.things < 0 ? 1 : 0;
        EXPECT_EQ(e.behind_thing, cast.things < 0) << seed << " line " << i << " clear " << cast.things;
      }
  }
  EXPECT_GT(checked, 400);
  EXPECT_GT(hidden, 20);
  EXPECT_GT(behind, 10);
}

TEST(Sights, TheFarEdgeOfAnUnfusedRingIsHiddenAndTheNearOneIsNot) {
  SceneOptions o = PlainScene(40);
  UnfusedArc u{{0, 360}, true, true, {}};
  o.weld.unfused = {u};
  const auto scene = Scene::Make(o).value();
  const FrameTruth truth = SightsOf(scene, PlainView(0, 0, -30), nullptr);
  EXPECT_TRUE(truth.edge[0][40].visible);
  EXPECT_TRUE(truth.edge[1][40].hidden_by_weld);
}

TEST(Sights, BurnedInTextCoversWhatItStandsOn) {
  SceneOptions o = PlainScene(40);
  const View view = PlainView(0, 0, -40);  // the toes at 47 degrees: 79 px from the middle, theta 180 straight below
  o.capture.texts.push_back({"W-0417", 0.4, 0.8, 0.8, true, {1, 1, 1}});
  const auto scene = Scene::Make(o).value();
  const Frame frame = scene.Render(view).value();
  const FrameTruth truth = SightsOf(scene, view, &frame.seen);
  EXPECT_TRUE(truth.edge[0][360].behind_thing);
  EXPECT_TRUE(truth.edge[0][0].visible);
}

}  // namespace
}  // namespace fixtures::field
