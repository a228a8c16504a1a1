#include <gmock/gmock.h>

#include "tests/cli/program.h"

namespace cli_test {
namespace {

using nlohmann::json;
using testing::HasSubstr;
using testing::Not;

namespace fs = std::filesystem;

const fs::path kDemoFolder = fs::path(ROOTSCROLL_SOURCE_DIR) / "fixtures/demo";

class Blend : public testing::Test {
 protected:
  void SetUp() override {
    folder_ = DemoCopy("blend");
    Write(folder_ / "joint.json", DemoJoint().dump(1));
    repair_ = json::parse(Bytes(kDemoFolder / "repair.json"));
  }
  void TearDown() override { fs::remove_all(folder_); }
  Outcome Run(const std::vector<std::string>& more = {}) {
    Write(folder_ / "repair.json", repair_.dump(1));
    std::vector<std::string> words{"blend",   (folder_ / "repair.json").string(),
                                   "--joint", (folder_ / "joint.json").string(),
                                   "--out",   (folder_ / "out").string()};
    words.insert(words.end(), more.begin(), more.end());
    return RunProgram(words);
  }
  fs::path folder_;
  json repair_;
};

TEST_F(Blend, NoGoTellsBothChecksAndGivesTheGrinderNoDepth) {
  const auto run = Run();
  EXPECT_EQ(run.exit_code, 1) << run.err;
  EXPECT_EQ(run.err, "");
  EXPECT_THAT(run.out, HasSubstr("after U 0.576 mm: go"));
  EXPECT_THAT(run.out, HasSubstr("limit 0.397 mm"));
  EXPECT_THAT(run.out, HasSubstr("supports and never replaces"));
  const std::string card = Bytes(folder_ / "out" / "card.html");
  EXPECT_THAT(card, HasSubstr("supports and never replaces"));
  EXPECT_THAT(card, HasSubstr("Below 19.5 % or above 23.5 % oxygen stay out"));
  EXPECT_THAT(card, HasSubstr("hexavalent chromium"));
  EXPECT_THAT(card, HasSubstr("the floor is not a target"));
  EXPECT_THAT(Bytes(folder_ / "out" / "card.pdf"), HasSubstr("/Count 1\n")) << "the card must be one page";
  const auto plan = json::parse(Bytes(folder_ / "out" / "repair_plan.json"));
  EXPECT_EQ(plan.at("answer"), "no-go");
  EXPECT_EQ(plan.at("released"), false);
  EXPECT_THAT(plan.at("cautions").dump(), HasSubstr("never replaces the qualified examiner"));
}

TEST_F(Blend, ASpanishGrinderGetsASpanishCard) {
  const auto run = Run({"--language", "es"});
  EXPECT_EQ(run.err, "");
  EXPECT_THAT(run.out, Not(HasSubstr("without other words"))) << "a citation stays as it is and misses none";
  const std::string card = Bytes(folder_ / "out" / "card.html");
  EXPECT_THAT(card, HasSubstr("Pare y firme en cada punto"));
  EXPECT_THAT(card, HasSubstr("cromo hexavalente"));
  EXPECT_THAT(Bytes(folder_ / "out" / "card.pdf"), HasSubstr("/Count 1\n")) << "the card must be one page";
}

TEST_F(Blend, OpenPointsEndWithThree) {
  repair_["depth"] = {{"value_mm", 0.2}, {"u_mm", 0.05}};
  repair_.erase("place");
  const auto run = Run();
  EXPECT_EQ(run.exit_code, 3) << run.err;
  EXPECT_THAT(run.out, HasSubstr("confirm it from inside"));
}

TEST_F(Blend, BadInputLeavesNoCard) {
  repair_["blend"]["taper"] = 0;
  const auto run = Run();
  EXPECT_EQ(run.exit_code, 2);
  EXPECT_THAT(run.err, HasSubstr("taper"));
  EXPECT_FALSE(fs::exists(folder_ / "out" / "card.pdf"));
}

}  // namespace
}  // namespace cli_test
