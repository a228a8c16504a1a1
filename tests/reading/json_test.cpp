#include <gmock/gmock.h>

#include <cmath>
#include <functional>
#include <nlohmann/json.hpp>

#include "vision/reading/reading.h"

namespace vision::reading {
namespace {

using nlohmann::json;
using testing::HasSubstr;

/// Something in every member.
Reading Full() {
  Reading r;
  r.program_version = "0.1.0";
  r.joint_id = "Q-7";
  r.recordings = {"root", "push"};
  r.stage = "root";
  r.bore_radius_mm = 77.1;
  r.bore_radius_u_mm = 0.05;
  r.weld_found = true;
  r.calibrated = true;
  r.z_zero = "mean of both toes";
  r.piece_a = "spool";
  r.piece_b = "elbow";
  r.insert_width_mm = 4.2;
  r.poses.push_back({"a.jpg", 1.5, -2.25, 0.4, 60, 0.5, 2, 0.2, 75, 0.7, "-z", "found in the picture", "source_1.png"});
  r.profile.Resize(720);
  r.profile.width_mm[7] = 5.25;
  r.profile.fusion_left[3] = Fusion::kUnfused;
  r.profile.fusion_right[4] = Fusion::kFused;
  r.height_by = "travel";
  r.sections.push_back({350, 12, "concave", 0.97, 0.3});
  r.why.push_back({"width_mm", 350, 10, vision::SentenceFrom("the far toe is hidden")});
  r.unfused.push_back({350, 12.5, "left", 0.75, 30.25, 0.7, "unfused_1.png"});
  r.indications.push_back({"pore", "2017", 40, 1, 0.5, 0.5, kNotMeasured, 0.1, 0.1, kNotMeasured, 0.5, ""});
  r.searched.push_back({"pore", "", "diameter", 90, 0.9, {{350, 80, 0.9}}, SentenceFrom("glare")});
  r.flags.push_back({"concave_look", 1, 2, SentenceFrom("look here")});
  r.coverage_deg = {300, 200, 100};
  r.strip = {"strip.png", "strip_seen.png", 4844, 355, 0.0743, 0.1, -17.7, 0.36, 0.45, "strip_origin.png"};
  r.relief = ReliefPicture{"relief.png", "relief_u.png", "light_section", 720, 101, 0.5, 0.2, -9.5, 0.0125};
  r.notes = {SentenceFrom("a note")};
  return r;
}

TEST(Json, RoundTripKeepsEverything) {
  const std::string text = ToJson(Full());
  const auto back = FromJson(text, "reading.json");
  ASSERT_TRUE(back.ok()) << back.error().message;
  EXPECT_EQ(ToJson(back.value()), text);
  const Reading& r = back.value();
  EXPECT_EQ(r.poses[0].facing, "-z");
  EXPECT_DOUBLE_EQ(r.poses[0].offset_y_mm, -2.25);
  EXPECT_DOUBLE_EQ(r.profile.width_mm[7], 5.25);
  ASSERT_TRUE(r.relief);
  EXPECT_DOUBLE_EQ(r.relief->z_from_mm, -9.5);
  EXPECT_EQ(r.profile.fusion_left[3], Fusion::kUnfused);
  EXPECT_EQ(r.profile.fusion_right[4], Fusion::kFused);
  EXPECT_EQ(r.profile.fusion_right[5], Fusion::kNotVisible);
  EXPECT_EQ(r.height_by, "travel");
  ASSERT_EQ(r.sections.size(), 1U);
  EXPECT_EQ(r.sections[0].kind, "concave");
  EXPECT_DOUBLE_EQ(r.sections[0].chance, 0.97);
  EXPECT_DOUBLE_EQ(r.unfused[0].end_deg, 12.5);
  EXPECT_EQ(r.strip.rows, 355);
  EXPECT_EQ(r.poses[0].source_map, "source_1.png");
  EXPECT_EQ(r.strip.origin_file, "strip_origin.png");
}

TEST(ReadingJson, ChancesOfTheEdgesMayBeAbsentAndAreThenNotMeasured) {
  Reading reading = Full();
  reading.profile.unfused_left_chance[7] = 0.25;
  auto changed = json::parse(ToJson(reading));
  EXPECT_EQ(changed["profile"]["unfused_left_chance"][7], 0.25);
  EXPECT_FALSE(changed["profile"].contains("unfused_right_chance")) << "none is known";
  changed["profile"].erase("unfused_left_chance");
  const auto back = FromJson(changed.dump(), "x");
  ASSERT_TRUE(back.ok());
  EXPECT_EQ(back.value().profile.unfused_left_chance.size(), 720u);
  EXPECT_TRUE(std::isnan(back.value().profile.unfused_left_chance[7]));
  changed["profile"]["unfused_left_chance"] = {0.5};
  EXPECT_FALSE(FromJson(changed.dump(), "x").ok());
}

TEST(Json, NotMeasuredIsNullAndComesBackAsNotMeasured) {
  const auto written = json::parse(ToJson(Full()));
  EXPECT_TRUE(written["profile"]["width_mm"][8].is_null());
  EXPECT_EQ(written["profile"]["width_mm"][7], 5.25);
  EXPECT_TRUE(written["indications"][0]["depth_mm"].is_null());
  const auto back = FromJson(written.dump(), "x");
  ASSERT_TRUE(back.ok());
  EXPECT_TRUE(std::isnan(back.value().profile.width_mm[8]));
  ASSERT_EQ(back.value().searched.size(), 1u);
  EXPECT_DOUBLE_EQ(back.value().searched[0].arcs.at(0).start_deg, 350);
  EXPECT_EQ(EnglishOf(back.value().searched[0].why), "glare");
  EXPECT_TRUE(std::isnan(back.value().indications[0].depth_mm));
}

TEST(Json, InfinityIsNeverWritten) {
  Reading reading = Full();
  reading.profile.width_mm[0] = INFINITY;
  EXPECT_TRUE(json::parse(ToJson(reading))["profile"]["width_mm"][0].is_null());
}

void ExpectRefused(const std::function<void(json&)>& spoil, const std::string& says) {
  json written = json::parse(ToJson(Full()));
  spoil(written);
  const auto back = FromJson(written.dump(), "my/reading.json");
  ASSERT_FALSE(back.ok()) << says;
  EXPECT_EQ(back.error().code, ErrorCode::kBadInput);
  EXPECT_THAT(back.error().message, HasSubstr("my/reading.json"));
  EXPECT_THAT(back.error().message, HasSubstr(says));
}

TEST(Json, RefusesWhatTheSchemaDoesNotAllow) {
  ExpectRefused([](json& j) { j["colour"] = "grey"; }, "colour");
  ExpectRefused([](json& j) { j["profile"]["colour"] = json::array(); }, "profile");
  ExpectRefused([](json& j) { j["format"] = "rootscroll.reading/2"; }, "format");
  ExpectRefused([](json& j) { j["angles"] = "magnetic"; }, "angles");
  ExpectRefused([](json& j) { j["unfused"][0]["side"] = "top"; }, "unfused");
  ExpectRefused([](json& j) { j["profile"]["fusion_left"][0] = "melted"; }, "fusion_left");
  ExpectRefused([](json& j) { j["bore_radius_mm"] = "77"; }, "bore_radius_mm");
  ExpectRefused([](json& j) { j["unfused"][0]["confidence"] = 1.5; }, "confidence");
  ExpectRefused([](json& j) { j.erase("strip"); }, "strip");
}

TEST(Json, RefusesUnevenArrays) {
  ExpectRefused([](json& j) { j["profile"]["width_mm"].erase(0); }, "width_mm");
  ExpectRefused([](json& j) { j["profile"]["fusion_right"].push_back("fused"); }, "fusion_right");
}

TEST(Json, RefusesWhatIsNotJson) {
  for (const std::string text : {"", "{", "[NaN]", "{\"format\": NaN}"}) {
    const auto back = FromJson(text, "reading.json");
    ASSERT_FALSE(back.ok());
    EXPECT_EQ(back.error().code, ErrorCode::kBadInput);
  }
}

}  // namespace
}  // namespace vision::reading
