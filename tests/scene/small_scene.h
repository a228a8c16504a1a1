#pragma once

#include "fixtures/scene/render.h"
#include "fixtures/scene/scenario.h"

/// Small scenes that render in a fraction of a second.
namespace fixtures::scene {

inline Scenario SmallScenario(const std::string& kind, std::uint64_t seed, const std::string& lens = "equidistant") {
  ScenarioOptions options;
  options.kind = kind;
  options.seed = seed;
  options.lens = lens;
  options.width_px = 320;
  options.height_px = 240;
  return MakeScenario(options).value();
}

inline Frame RenderFirst(const Scenario& scenario, int threads = 0) {
  return Scene::Make(scenario.scene).value().Render(scenario.views.front(), threads).value();
}

/// A smooth fused weld in an 80 mm bore, nothing drawn by lot.
inline SceneOptions PlainWeld(double crown_mm, double width_mm) {
  SceneOptions o;
  o.radius_mm = 40;
  o.bead.crown_mm = crown_mm;
  o.bead.width_mm = width_mm;
  o.bead.crown_wander_mm = o.bead.toe_wander_mm = o.bead.toe_noise_mm = o.bead.ripple_mm = 0;
  o.insert.width_mm = width_mm - 1;
  return o;
}

}  // namespace fixtures::scene
