#include "app/joint/facts.h"

#include <gmock/gmock.h>

#include <fstream>
#include <nlohmann/json.hpp>

#include "app/joint/joint.h"

namespace app::joint {
namespace {

using nlohmann::json;
using testing::HasSubstr;
using testing::Not;

std::string Demo() {
  std::ifstream in(ROOTSCROLL_SOURCE_DIR "/fixtures/demo/joint.json");
  return {std::istreambuf_iterator<char>(in), {}};
}

Fact& At(std::vector<Fact>& facts, const std::string& path) {
  for (Fact& fact : facts)
    if (fact.path == path) return fact;
  ADD_FAILURE() << "no fact " << path;
  return facts.front();
}

TEST(Facts, NothingChangedLeavesTheFileAsItWas) {
  const auto facts = FactsOf(Demo(), "demo");
  ASSERT_TRUE(facts.ok());
  EXPECT_EQ(json::parse(WithFacts(Demo(), facts.value(), "demo").value()), json::parse(Demo()));
}

TEST(Facts, WhatIsTypedGoesInAndWhatIsClearedGoesOut) {
  auto facts = FactsOf(Demo(), "demo").value();
  At(facts, "/joint/pieces/a/heat").value = "H-17";
  At(facts, "/joint/minimum_wall_mm").value = "5,2";  // a comma is a decimal sign too
  At(facts, "/joint/material").value = "";
  for (const char* path : {"/joint/insert/class", "/joint/insert/width_mm", "/joint/insert/width_u_mm"})
    At(facts, path).value = "";
  At(facts, "/recordings/0/mount/distance_mm").value = "60";
  At(facts, "/recordings/0/*{+z}/up_theta_deg").value = "12.5";
  At(facts, "/recordings/0/*{-z}/up_theta_deg").value = "190";
  const auto after = json::parse(WithFacts(Demo(), facts, "demo").value());
  const auto before = json::parse(Demo());
  EXPECT_EQ(after["joint"]["pieces"]["a"], (json{{"name", "spool 7-3 end"}, {"heat", "H-17"}}));
  EXPECT_EQ(after["joint"]["pieces"]["b"], before["joint"]["pieces"]["b"]);
  EXPECT_EQ(after["joint"]["minimum_wall_mm"], 5.2);
  EXPECT_FALSE(after["joint"].contains("material"));
  EXPECT_FALSE(after["joint"].contains("insert")) << "an insert of which nothing is known is none that is told";
  EXPECT_EQ(after["recordings"][0]["mount"], (json{{"distance_mm", 60.0}}));
  for (const auto& frame : after["recordings"][0]["frames"])
    EXPECT_EQ(frame["up_theta_deg"], frame["looks"] == "+z" ? 12.5 : 190.0);
  EXPECT_EQ(after["cameras"], before["cameras"]);
}

TEST(Facts, AScaleCheckIsTypedAndGoesAgain) {
  auto facts = FactsOf(Demo(), "demo").value();
  EXPECT_EQ(At(facts, "/cameras/0/calibration/scale_before/known_mm").group, "camera head");
  At(facts, "/cameras/0/calibration/scale_after/when").value = "2026-02-01";
  At(facts, "/cameras/0/calibration/scale_after/measured_mm").value = "10,1";
  for (const char* key : {"when", "known_mm", "measured_mm"})
    At(facts, std::string("/cameras/0/calibration/scale_before/") + key).value = "";
  const auto after = json::parse(WithFacts(Demo(), facts, "demo").value())["cameras"][0]["calibration"];
  EXPECT_EQ(after["scale_after"], (json{{"when", "2026-02-01"}, {"known_mm", 10.0}, {"measured_mm", 10.1}}));
  EXPECT_FALSE(after.contains("scale_before"));
}

TEST(Facts, FramesThatDifferStayAsTheyAre) {
  auto joint = json::parse(Demo());
  joint["recordings"][0]["frames"][0]["looks"] = "+z";
  joint["recordings"][0]["frames"][1]["looks"] = "-z";
  const auto facts = FactsOf(joint.dump(), "demo").value();
  for (const Fact& fact : facts)
    if (fact.path == "/recordings/0/*/looks") {
      EXPECT_EQ(fact.value, kDiffers);
    }
  EXPECT_EQ(json::parse(WithFacts(joint.dump(), facts, "demo").value()), joint);
}

TEST(Facts, AWordWhereANumberBelongsIsNamed) {
  auto facts = FactsOf(Demo(), "demo").value();
  At(facts, "/joint/pipe/inside_diameter_mm").value = "wide";
  const auto after = WithFacts(Demo(), facts, "demo");
  ASSERT_FALSE(after.ok());
  EXPECT_THAT(after.error().message, HasSubstr("Inside diameter at the root, mm"));
  EXPECT_FALSE(FactsOf("{}", "nothing").ok());
}

// theta grows clockwise looking along +z (vision/bore/bore.h). Looking along +z, a datum seen at 3 o'clock of the
// picture lies a quarter turn clockwise of its up, so up is at 270; a camera that looks back sees the pipe's clock run
// the other way: up is at 90. By hand.
TEST(Facts, ClickOnTheDatumTellsThePicturesUp) {
  EXPECT_NEAR(UpFromDatum(300, 200, 200, 200, "+z", false).value(), 270, 1e-9);
  EXPECT_NEAR(UpFromDatum(300, 200, 200, 200, "-z", false).value(), 90, 1e-9);
  EXPECT_NEAR(UpFromDatum(300, 200, 200, 200, "+z", true).value(), 90, 1e-9);
  EXPECT_NEAR(UpFromDatum(200, 100, 200, 200, "+z", false).value(), 0, 1e-9);
  EXPECT_NEAR(UpFromDatum(200, 300, 200, 200, "-z", false).value(), 180, 1e-9);
  EXPECT_FALSE(UpFromDatum(300, 200, 200, 200, "side", false).has_value());
  EXPECT_FALSE(UpFromDatum(200, 200, 200, 200, "+z", false).has_value());
}

TEST(Facts, CoverNamesWhatASetJudgesAndWhatItOnlyShows) {
  const auto mil = CoverOf(LoadCriteria("MIL-STD-2035A Class 1", {}).value());
  EXPECT_THAT(mil, HasSubstr("Judges: "));
  EXPECT_THAT(mil, HasSubstr("Unfused consumable insert"));
  // Cracks are not looked for (vision/surface/surface.h), nor is the record to say that they are judged.
  for (const char* set : {"ASME B31.3 Normal Fluid Service", "ISO 5817:2014 B"}) {
    const auto loaded = LoadCriteria(set, {});
    ASSERT_TRUE(loaded.ok()) << loaded.error().message;
    const auto cover = CoverOf(loaded.value());
    const auto judged = cover.find("Judges: "),
               marked = cover.find("\nNot looked for, judged where a person marks it: ");
    ASSERT_LT(judged, marked) << cover;
    EXPECT_THAT(cover.substr(judged, marked - judged), Not(HasSubstr("Cracks")));
    EXPECT_THAT(cover.substr(marked + 1, cover.find('\n', marked + 1) - marked), HasSubstr("Cracks"));
  }
  const auto api = CoverOf(LoadCriteria("API 1104 (annotated)", {}).value());
  EXPECT_THAT(api, HasSubstr("Shown, not evaluated: "));
}

}  // namespace
}  // namespace app::joint
