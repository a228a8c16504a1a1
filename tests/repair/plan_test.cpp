#include <gmock/gmock.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

#include "app/repair/repair_plan.h"
#include "app/words/print.h"

namespace app::repair {
namespace {

namespace fs = std::filesystem;
using nlohmann::json;
using ::testing::Contains;
using ::testing::HasSubstr;

const fs::path kDemo = fs::path(ROOTSCROLL_SOURCE_DIR) / "fixtures/demo";

class Plan : public ::testing::Test {
 protected:
  void SetUp() override {
    folder_ = fs::temp_directory_path() / ("repair_" + std::to_string(::getpid()));
    fs::create_directories(folder_);
    file_ = json::parse(std::ifstream(kDemo / "repair.json"));
  }
  void TearDown() override { fs::remove_all(folder_); }

  vision::Result<RepairPlan> Make() {
    std::ofstream(folder_ / "repair.json") << file_.dump();
    auto repair = LoadRepair(folder_ / "repair.json");
    if (!repair.ok()) return repair.error();
    return MakePlan(joint::LoadJoint(kDemo / "joint.json").value(), repair.value());
  }
  std::string Message() {
    const auto plan = Make();
    return plan.ok() ? "" : plan.error().message;
  }

  fs::path folder_;
  json file_;
};

// 7.0 - 1.0 = 6.0, floor 5.2, U 2 sqrt(0.05^2 + 0.1^2) = 0.224: the wall passes; the depth limit of Class 1 is the
// smaller of 0.397 and 10 % of 7.11 mm: it fails. Both are said, and the answer is no-go.
TEST_F(Plan, TheDemoPassesTheWallAndFailsTheDepth) {
  const auto plan = Make();
  ASSERT_TRUE(plan.ok()) << plan.error().message;
  EXPECT_EQ(plan.value().remaining.answer, Answer::kGo);
  EXPECT_NEAR(plan.value().remaining.guarded_mm, 0.576, 1e-3);
  ASSERT_TRUE(plan.value().depth.has_value());
  EXPECT_EQ(plan.value().depth->answer, Answer::kNoGo);
  EXPECT_EQ(plan.value().answer, Answer::kNoGo);
  EXPECT_THAT(ToText(plan.value()), HasSubstr("ultrasonic reading at the bottom"));
  EXPECT_EQ(json::parse(ToJson(plan.value())).at("answer"), "no-go");
}

TEST_F(Plan, AShallowBlendWithOwnEquipmentGoes) {
  file_["depth"] = {{"value_mm", 0.2}, {"u_mm", 0.05}};
  std::ofstream(folder_ / "own.json") << json{
      {"format", "rootscroll.equipment/1"},
      {"name", "own"},
      {"bore_from_mm", 100},
      {"bore_to_mm", 200},
      {"reach_mm", 2000},
      {"elbows_passed", 1},
      {"largest_sweep_deg", 60}}.dump();
  EXPECT_EQ(Make().value().answer, Answer::kTakeReading);  // the sample is invented
  file_["equipment"] = "own.json";
  const auto plan = Make().value();
  EXPECT_THAT(plan.reasons, ::testing::IsEmpty());
  EXPECT_EQ(plan.answer, Answer::kGo);
}

TEST_F(Plan, TheFilmAloneIsNoGoAheadUntilSeenInside) {
  file_.erase("place");
  file_["depth"] = {{"value_mm", 0.2}, {"u_mm", 0.05}};
  const auto plan = Make().value();
  EXPECT_EQ(plan.answer, Answer::kTakeReading);
  EXPECT_THAT(plan.reasons, Contains(words::Text(words::Print::kFilmOnly)));
  EXPECT_NEAR(plan.places.front().theta_deg, (100 + 9.0 / 52 * 50) / 528.6 * 360, 1e-9);
}

TEST_F(Plan, AnEllipseAsksWhichOfTheTwoUntilOneIsSeenInside) {
  file_["film"]["exposure"] = "double wall elliptic";
  EXPECT_THAT(Make().value().reasons, ::testing::Not(Contains(words::Text(words::Print::kTwoPlaces))));
  file_.erase("place");
  const auto plan = Make().value();
  EXPECT_EQ(plan.places.size(), 2u);
  EXPECT_THAT(plan.reasons, Contains(words::Text(words::Print::kTwoPlaces)));
}

TEST_F(Plan, APlaceOutsideTheFilmsBandIsAskedAbout) {
  file_["place"]["theta_deg"] = 286.0;  // the mirror image of 74
  EXPECT_THAT(Make().value().reasons, Contains(words::Text(words::Print::kOutsideBand, {words::Typed("286.0")})));
}

TEST_F(Plan, WhatIsMissingOrImpossibleIsOneSentence) {
  file_["wall"] = {{"readings", json::array()}};
  EXPECT_THAT(Message(), HasSubstr("wall"));
  file_["wall"] = {{"readings", {{{"value_mm", 0.9}, {"u_mm", 0.05}}}}};
  EXPECT_THAT(Message(), HasSubstr("grind through"));
  SetUp();
  file_.erase("floor");
  EXPECT_THAT(Message(), HasSubstr("floor is missing"));
  file_["floor"] = json::object();
  EXPECT_THAT(Message(), HasSubstr("floor is empty; it must hold at least one of"));
  SetUp();
  file_["joint_id"] = "LX-115";
  EXPECT_THAT(Message(), HasSubstr("LX-115"));
  SetUp();
  file_["film"]["number"] = 40;
  EXPECT_THAT(Message(), HasSubstr("numbers run from 0 to 10"));
  SetUp();
  file_["around"]["room_axial_mm"] = 8.0;
  EXPECT_THAT(Message(), HasSubstr("only 8.0 mm are free"));
}

}  // namespace
}  // namespace app::repair
