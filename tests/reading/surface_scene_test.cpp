#include <gtest/gtest.h>

#include <cmath>
#include <fstream>
#include <iostream>
#include <nlohmann/json.hpp>

#include "tests/pose/known_frames.h"
#include "vision/bore/angle.h"
#include "vision/reading/measure.h"

/// Indications over the whole pipeline, on frames from the independent ray tracer.
namespace vision::reading {
namespace {

namespace fs = std::filesystem;
const fs::path kFixtures = ROOTSCROLL_SOURCE_DIR "/fixtures/independent";
const fs::path kShared = ROOTSCROLL_SOURCE_DIR "/../shared/scenes";

nlohmann::json TruthOf(const fs::path& scene) { return nlohmann::json::parse(std::ifstream(scene / "truth.json")); }

/// @param placed The camera stands where it stood: what is looked at is the surface, not the pose.
Reading ReadFirst(const fs::path& scene, bool placed = false) {
  const auto known = pose::FramesOf(scene).front();
  MeasureInput input;
  input.joint_id = "scene";
  input.bore = {TruthOf(scene)["R"].get<double>(), 0.025};
  FrameInput frame;
  frame.file = scene / TruthOf(scene)["frames"][0]["file"].get<std::string>();
  frame.lens = known.setting.lens;
  frame.facing = known.setting.facing;
  frame.up_theta_deg = known.setting.up_theta_deg;
  if (placed) frame.known_pose = known.truth;
  input.recordings.push_back({"root", "root", {frame}, std::nullopt});
  auto measured = Measure(input);
  EXPECT_TRUE(measured.ok());
  return measured.value().reading;
}

void Print(const Reading& r) {
  for (const auto& i : r.indications)
    std::cout << "  " << i.kind << " theta " << i.theta_deg << " z " << i.z_mm << " length " << i.length_mm
              << " confidence " << i.confidence << "\n";
  for (const auto& s : r.searched)
    std::cout << "  searched " << s.kind << " " << s.side << " " << s.degrees << " deg to " << s.smallest_mm << " mm; "
              << EnglishOf(s.why) << "\n";
  for (const auto& f : r.flags) std::cout << "  " << f.kind << " " << f.start_deg << " to " << f.end_deg << "\n";
}

TEST(SurfaceOnScenes, AFusedRootHasNoIndication) {
  const Reading reading = ReadFirst(kFixtures / "single_00_fused");
  EXPECT_TRUE(reading.indications.empty());
  EXPECT_TRUE(reading.flags.empty());
  EXPECT_EQ(reading.searched.size(), 9u);
  Print(reading);
}

TEST(SurfaceOnScenes, AnInsertsOriginalEdgeIsNoIndication) {
  const Reading reading = ReadFirst(kFixtures / "single_02_unfused_left");
  EXPECT_TRUE(reading.indications.empty());
  Print(reading);
}

TEST(SurfaceOnScenes, FindsMostPoresOfTheSharedScene) {
  const fs::path scene = kShared / "single_07_pores";
  if (!fs::exists(scene)) GTEST_SKIP() << "no ../shared/scenes beside the repository";
  const Reading reading = ReadFirst(scene, true);
  Print(reading);
  const auto truth = TruthOf(scene);
  const double arc = truth["R"].get<double>() * bore::kRadPerDeg;
  int found = 0;
  for (const auto& pore : truth["features"]["pores"])
    for (const auto& i : reading.indications)
      if (std::abs(bore::Wrap180(i.theta_deg - pore["theta_deg"].get<double>())) * arc < 1.5 && i.kind == "pore") {
        ++found;
        break;
      }
  EXPECT_GE(found, 3);
}

TEST(SurfaceOnScenes, ListsWhatItSeesOnOtherSharedScenes) {
  if (!fs::exists(kShared)) GTEST_SKIP() << "no ../shared/scenes beside the repository";
  for (const char* name : {"single_05_concave", "single_09_everything", "pair_02_untouched/before"}) {
    const Reading reading = ReadFirst(kShared / name);
    std::cout << name << "\n";
    Print(reading);
    for (const auto& i : reading.indications) EXPECT_NE(i.kind, "burn_through") << name;
  }
}

}  // namespace
}  // namespace vision::reading
