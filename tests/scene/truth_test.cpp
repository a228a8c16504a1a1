#include "fixtures/scene/truth.h"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "tests/scene/small_scene.h"

namespace fixtures::scene {
namespace {

nlohmann::json TruthOf(const SceneOptions& options, const std::vector<NamedView>& views = {}) {
  return nlohmann::json::parse(TruthJson("test", Scene::Make(options).value(), views));
}

TEST(Truth, APlainBeadIsWhatItWasMadeAs) {
  const auto profile = TruthOf(PlainWeld(1.2, 5))["profile"];
  ASSERT_EQ(profile["theta_deg"].size(), 720U);
  for (std::size_t i = 0; i < 720; i += 30) {
    EXPECT_NEAR(profile["edge_left_z"][i].get<double>(), -2.5, 1e-3);
    EXPECT_NEAR(profile["width"][i].get<double>(), 5, 1e-3);
    EXPECT_NEAR(profile["crown_height"][i].get<double>(), 1.2, 2e-3);
    EXPECT_EQ(profile["state"][i], "fused");
    EXPECT_FALSE(profile["transition"][i].get<bool>());
  }
}

TEST(Truth, AnUnfusedArcHasTheRingsEdgeAndItsLength) {
  SceneOptions options = PlainWeld(1.2, 5);
  options.insert.unfused = {{{350, 30}, EdgeState::kUnfusedRight, 0.3, 1, 0}};
  const auto profile = TruthOf(options)["profile"];
  int unfused = 0;
  for (std::size_t i = 0; i < 720; ++i) unfused += profile["state"][i] == "unfused_right";
  EXPECT_NEAR(0.5 * unfused, 30, 0.51);
  EXPECT_NEAR(profile["edge_right_z"][10].get<double>(), 2.0, 1e-3);  // theta 5, half of the 4 mm ring
  EXPECT_NEAR(profile["edge_left_z"][10].get<double>(), -2.5, 1e-3);
}

TEST(Truth, MisalignmentIsTheBWallsHeightOverTheAWalls) {
  SceneOptions options = PlainWeld(1.2, 5);
  options.misalignment = {0.2, 0.5, 90, 0, 0};
  const auto profile = TruthOf(options)["profile"];
  EXPECT_NEAR(profile["hilo_step"][180].get<double>(), 0.7, 1e-3);   // theta 90
  EXPECT_NEAR(profile["hilo_step"][540].get<double>(), -0.3, 1e-3);  // theta 270
}

TEST(Truth, TheFarEdgeOfAnUnfusedRingIsOutOfSightAndTheNearOneIsNot) {
  SceneOptions options = PlainWeld(1.0, 5);
  options.insert.unfused = {{{0, 360}, EdgeState::kUnfusedBoth, 0.3, 1, 0}};
  View view;
  view.lens = TypicalLens("equidistant", 320, 240).value();
  for (const bool along : {true, false}) {
    view.bore_from_cam = PoseLooking(along, 0, 0, along ? -30 : 30, 0, 0, 0);
    const auto frame = TruthOf(options, {{"f.jpg", view}})["frames"][0];
    EXPECT_EQ(frame["edge_left_visible"][40].get<bool>(), along);
    EXPECT_EQ(frame["edge_right_visible"][40].get<bool>(), !along);
  }
}

TEST(Truth, ABareBoreHasNoEdges) {
  SceneOptions options = PlainWeld(1.2, 5);
  options.bead.present = false;
  EXPECT_FALSE(TruthOf(options)["profile"].contains("edge_left_z"));
}

}  // namespace
}  // namespace fixtures::scene
