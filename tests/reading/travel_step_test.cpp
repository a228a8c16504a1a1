#include "vision/reading/travel_step.h"

#include <gtest/gtest.h>

#include <cmath>

#include "fixtures/scene/render.h"
#include "fixtures/scene/scenario.h"
#include "vision/bore/angle.h"

namespace vision::reading {
namespace {

/// A made-up push past a weld with hollow arcs at its true places, and the reading of its toes; every edge fused but
/// those from 100 to 140 degrees.
struct MadePush {
  fixtures::scene::Scenario scenario;
  std::optional<fixtures::scene::Scene> scene;
  Push push;
  Reading reading;
};

void ToesOf(MadePush& made) {
  Profile& p = made.reading.profile;
  p.Resize(720);
  Eigen::Vector3d step = Eigen::Vector3d::Zero();
  for (std::size_t i = 0; i < 720; ++i) {
    const auto section = made.scene->relief().At(p.theta_deg[i]);
    p.left_toe_z_mm[i] = section.edge_left(), p.right_toe_z_mm[i] = section.edge_right();
    p.left_toe_u_mm[i] = p.right_toe_u_mm[i] = 0.12;
    p.width_mm[i] = p.right_toe_z_mm[i] - p.left_toe_z_mm[i];
    const bool unfused = p.theta_deg[i] >= 100 && p.theta_deg[i] < 140;
    p.fusion_left[i] = unfused ? Fusion::kUnfused : Fusion::kFused;
    const double t = p.theta_deg[i] * bore::kRadPerDeg;
    step += (section.wall_right - section.wall_left) * Eigen::Vector3d(1, 2 * std::cos(t), 2 * std::sin(t)) / 720;
  }
  for (std::size_t k = 0; k < 3; ++k) made.push.solution.levels.c[k] = step[static_cast<Eigen::Index>(k)];
}

const MadePush& ThePush() {
  static const MadePush push = [] {
    MadePush made;
    fixtures::scene::ScenarioOptions options;
    options.kind = "concave", options.seed = 42, options.frames = 6, options.width_px = 960, options.height_px = 720;
    made.scenario = fixtures::scene::MakeScenario(options).value();
    for (auto& arc : made.scenario.scene.concave) arc.depth_mm = 1.3;  // a shallow one is mostly not told
    made.scene = fixtures::scene::Scene::Make(made.scenario.scene).value();
    for (const auto& view : made.scenario.views) {
      made.push.pictures.push_back(made.scene->Render(view).value().bgr);
      made.push.settings.push_back({view.lens, pose::Looks::kPlusZ, 0, {}, {}});
      pose::Pose pose;
      pose.bore_from_cam = view.bore_from_cam;
      made.push.solution.poses.push_back(pose);
    }
    ToesOf(made);
    return made;
  }();
  return push;
}

/// Height over the chord where the bead is highest, or less than nothing where it is deepest: the maker's closed form.
double TrueMiddle(double theta_deg) {
  const auto& relief = ThePush().scene->relief();
  const auto section = relief.At(theta_deg);
  double high = 0, low = 0;
  for (double z = section.edge_left(); z <= section.edge_right(); z += 0.05) {
    const double over = relief.SmoothHeight(section, z) - relief.Chord(section, z);
    high = std::max(high, over), low = std::min(low, over);
  }
  return high > -low ? high : low;
}

TEST(AddHeightsByTravel, TellsTheKindOfSectionAndStatesNoHeight) {
  Reading reading = ThePush().reading;
  const bore::Bore bore{ThePush().scenario.scene.radius_mm, 0.02};
  ASSERT_FALSE(AddHeightsByTravel(ThePush().push, 0, bore, {}, reading));
  double convex_deg = 0, concave_deg = 0;
  for (const auto& arc : reading.sections) {
    EXPECT_GE(arc.chance, 0.9);
    EXPECT_LE(arc.chance, 0.97) << "a push may be astray as a whole";
    const double length = bore::Wrap360(arc.end_deg - arc.start_deg);
    (arc.kind == "convex" ? convex_deg : concave_deg) += arc.kind == "flush" ? 0 : length;
    for (double at = 0; at < length; at += 2) {
      const double theta = bore::Wrap360(arc.start_deg + at), truth = TrueMiddle(theta);
      EXPECT_TRUE(arc.kind == "convex"    ? truth > 0
                  : arc.kind == "concave" ? truth < 0
                                          : std::abs(truth) < 0.6)
          << arc.kind << " at " << theta << " degrees, truly " << truth;
      EXPECT_FALSE(theta >= 100 && theta < 140) << "an edge that is unfused has no root reinforcement to speak of";
    }
  }
  EXPECT_GT(convex_deg, 120) << "hardly anything is told: this tests nothing";
  EXPECT_GT(concave_deg, 3) << "no hollow is told: this tests half";
  EXPECT_FALSE(reading.height_by);
  for (const double crown : reading.profile.crown_height_mm) EXPECT_TRUE(std::isnan(crown));
}

}  // namespace
}  // namespace vision::reading
