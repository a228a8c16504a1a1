#include "vision/reading/travel_step.h"

#include <gtest/gtest.h>

#include <cmath>

#include "fixtures/scene/render.h"
#include "fixtures/scene/scenario.h"
#include "fixtures/scene/truth.h"
#include "vision/bore/angle.h"

namespace vision::reading {
namespace {

/// A made-up push past a weld with hollow arcs at its true places, and what is told of its toes; every edge fused but
/// those from 100 to 140 degrees.
struct MadePush {
  fixtures::scene::Scenario scenario;
  std::optional<fixtures::scene::Scene> scene;
  Push push;
  Told told;
  EdgesTold edges;
};

void ToesOf(MadePush& made) {
  made.told.lines.resize(bore::kStationLines);
  made.edges.a.state.assign(bore::kStationLines, Fusion::kFused);
  made.edges.b = made.edges.a;
  Eigen::Vector3d step = Eigen::Vector3d::Zero();
  for (std::size_t i = 0; i < made.told.lines.size(); ++i) {
    const double theta_deg = bore::kStationLine_deg * static_cast<double>(i);
    const auto section = made.scene->relief().At(theta_deg);
    ToldLine& line = made.told.lines[i];
    line.toe_z_mm = {Stated<double>::Of(section.edge_left(), 0.12), Stated<double>::Of(section.edge_right(), 0.12)};
    line.width_mm = Stated<double>::Of(section.edge_right() - section.edge_left(), 0.2);
    if (theta_deg >= 100 && theta_deg < 140) made.edges.a.state[i] = Fusion::kUnfused;
    const double t = theta_deg * bore::kRadPerDeg;
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
      made.push.settings.push_back({view.lens, pose::Facing::kPlusZ, 0, {}, {}});
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
  return fixtures::scene::RiseAcross(relief, relief.At(theta_deg), theta_deg).Middle();
}

TEST(WithTravel, TellsTheKindOfSectionAndStatesNoHeight) {
  Reading reading;
  const bore::Bore bore{ThePush().scenario.scene.radius_mm, 0.02};
  const auto told = WithTravel(ThePush().push, ThePush().told, ThePush().edges, bore, {}, reading);
  ASSERT_TRUE(told.ok());
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
  EXPECT_FALSE(told.value().heights_by);
  for (const ToldLine& line : told.value().lines) EXPECT_FALSE(line.crown.told());
}

}  // namespace
}  // namespace vision::reading
