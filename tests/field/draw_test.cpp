#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <nlohmann/json.hpp>

#include "tests/field/plain.h"

namespace fixtures::field {
namespace {

/// 400 draws: each is usable, and every condition, recording, size and look comes up often enough to learn from.
TEST(DrawField, EveryDrawIsUsableAndNothingIsRare) {
  std::map<std::string, int> seen;
  for (std::uint64_t seed = 1; seed <= 400; ++seed) {
    const FieldDraw d = DrawField(seed);
    const auto broken = d.scene.Check();
    EXPECT_FALSE(broken) << seed << ": " << (broken ? broken->message : "");
    for (const auto& view : d.views) {
      EXPECT_FALSE(view.lens.Check()) << seed;
      EXPECT_LT(view.bore_from_cam.translation_mm.head<2>().norm(), d.scene.radius_mm - 4) << seed;
    }
    EXPECT_EQ(d.after.has_value(), d.recording == "pair");
    for (const auto& name : d.with) ++seen[name];
    ++seen[d.recording], ++seen["nps " + d.nps], ++seen[d.alloy];
    if (!d.scene.weld.unfused.empty()) ++seen["unfused"];
  }
  for (const auto& name : Conditions()) EXPECT_GE(seen[name], name == "gloss" ? 0 : 8) << name;  // gloss only as wished
  for (const char* name : {"look", "both", "push", "pair", "four"}) EXPECT_GE(seen[name], 15) << name;
  for (const char* nps : {"2", "3", "4", "6", "8", "10", "12"}) EXPECT_GE(seen[std::string("nps ") + nps], 12) << nps;
  for (const char* alloy : {"stainless", "carbon steel", "copper-nickel", "nickel alloy"})
    EXPECT_GE(seen[alloy], 40) << alloy;
  EXPECT_GE(seen["unfused"], 150);
}

TEST(DrawField, WishesAreGranted) {
  const FieldDraw d = DrawField(9, {.recording = "four", .only = {"bored"}, .nps = "8", .width_px = 640});
  EXPECT_EQ(d.recording, "four");
  EXPECT_EQ(d.nps, "8");
  EXPECT_TRUE(d.Has("bored"));
  ASSERT_EQ(d.views.size(), 4U);
  for (const auto& view : d.views) {
    EXPECT_LE(view.lens.width_px, 640);
    EXPECT_GT(view.bore_from_cam.tilt_deg(), 10);
    EXPECT_GT(view.bore_from_cam.rotation(2, 2), 0.5);
  }
  EXPECT_TRUE(DrawField(9, {.plain = true}).with.empty());
}

/// A film comes from far, stands still near the weld, and goes back; the stills come from its run-in, nearest last.
TEST(DrawField, AFilmRunsInHoldsAndLooksBack) {
  for (std::uint64_t seed = 50; seed < 60; ++seed) {
    const FieldDraw d = DrawField(seed, {.recording = "film"});
    std::vector<double> away;
    for (const auto& view : d.views) away.push_back(-view.bore_from_cam.translation_mm.z());
    const double near = *std::min_element(away.begin(), away.end());
    EXPECT_GT(away.front(), near + 1.5 * d.scene.radius_mm) << seed;
    EXPECT_GT(away.back(), near + 0.3 * d.scene.radius_mm) << seed;
    EXPECT_GE(std::count_if(away.begin(), away.end(), [&](double a) { return a < near + 0.01; }),
              d.frames_per_second - 1);
    for (std::size_t i = 1; i < d.stills.size(); ++i) EXPECT_LT(away[d.stills[i]], away[d.stills[i - 1]]) << seed;
    EXPECT_GE(d.stills.size(), 5U) << seed;
    for (const auto& view : d.views)
      EXPECT_NEAR(view.ride_mm, away.front() - away[static_cast<std::size_t>(view.index)], 1e-6);
  }
}

/// A plane of light goes from 9 mm before the weld to 9 mm behind it, where the picture shows all of its circle.
TEST(DrawField, APlaneOfLightSweepsTheWeld) {
  for (std::uint64_t seed = 1; seed < 40; ++seed) {
    const FieldDraw d = DrawField(seed, {.recording = "light", .only = {"gloss"}});
    const double ahead = d.scene.light.sheet.ahead_mm;
    ASSERT_GT(d.scene.light.sheet.strength, 0) << seed;
    EXPECT_EQ(std::count(d.with.begin(), d.with.end(), "light plane"), 1) << seed;
    EXPECT_GE(d.scene.weld.form.finish.metal, 0.6F) << seed;
    EXPECT_NEAR(d.views.front().bore_from_cam.translation_mm.z() + ahead, -9, 1e-9) << seed;
    EXPECT_NEAR(d.views.back().bore_from_cam.translation_mm.z() + ahead, 9, 1e-9) << seed;
    for (const double turn : {0.0, 1.5708, 3.1416, 4.7124}) {
      const double r = d.scene.radius_mm;
      const auto& lens = d.views.front().lens;
      const auto px = lens.Project({r * std::cos(turn), r * std::sin(turn), ahead});
      ASSERT_TRUE(px) << seed;
      EXPECT_TRUE(px->y() > 0 && px->y() < lens.height_px) << seed;
    }
  }
  const FieldDraw d = DrawField(3, {.recording = "light", .width_px = 160});
  const auto joint = nlohmann::json::parse(JointJson("t", d, {{"f.jpg", &d.views[0], {}}}));
  EXPECT_NEAR(joint["recordings"][0]["light_section"]["distance_mm"].get<double>(), d.scene.light.sheet.ahead_mm, 1e-3);
}

TEST(DrawField, ABareBoreHasNoWeldAndNoEdges) {
  const FieldDraw d = DrawField(8, {.recording = "bare", .only = {"lit end"}});
  const auto scene = Scene::Make(d.scene).value();
  EXPECT_FALSE(scene.surface().has_weld());
  EXPECT_TRUE(LinesOf(scene).empty());
  EXPECT_TRUE(SightsOf(scene, d.views[0], nullptr).edge[0].empty());
}

TEST(Json, TruthAndJointHoldWhatTheScoringReads) {
  const FieldDraw d = DrawField(12, {.recording = "four", .width_px = 160});
  const auto scene = Scene::Make(d.scene).value();
  std::vector<NamedFrame> frames;
  for (const auto& view : d.views) frames.push_back({"f.jpg", &view, SightsOf(scene, view, nullptr)});
  const auto truth = nlohmann::json::parse(TruthJson("t", "", d, scene, frames));
  for (const char* key : {"edge_left_z", "edge_right_z", "width", "crown_height_smooth", "max_concavity", "hilo_step",
                          "state", "transition", "blended"})
    EXPECT_EQ(truth["profile"][key].size(), 720U) << key;
  EXPECT_EQ(truth["frames"].size(), 4U);
  EXPECT_EQ(truth["frames"][0]["edge_left_behind_things"].size(), 720U);
  EXPECT_EQ(truth["spec"]["conditions"]["recording"], "four");
  const auto joint = nlohmann::json::parse(JointJson("t", d, frames));
  EXPECT_EQ(joint["rig"]["cameras"].size(), 4U);
  EXPECT_EQ(joint["recordings"][0]["frames"][0]["shot"], 1);
}

}  // namespace
}  // namespace fixtures::field
