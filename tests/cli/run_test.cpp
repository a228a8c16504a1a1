#include <gmock/gmock.h>

#include "tests/cli/program.h"

namespace cli_test {
namespace {

using nlohmann::json;
using testing::HasSubstr;
namespace fs = std::filesystem;

const std::string kCaution = "supports and never replaces";

/// `run` on the demo's stills, once for all cases.
class Demo : public testing::Test {
 protected:
  static void SetUpTestSuite() {
    folder_ = DemoCopy("demo");
    Write(folder_ / "joint.json", DemoJoint().dump(1));
    run_ = RunProgram({"run", Joint(), "--recording", "root", "--out", Out()});
  }
  static void TearDownTestSuite() { fs::remove_all(folder_); }
  static std::string Joint() { return (folder_ / "joint.json").string(); }
  static std::string Out() { return (folder_ / "out").string(); }

  static inline fs::path folder_;
  static inline Outcome run_;
};

TEST_F(Demo, RunWritesReadingVerdictAndReport) {
  // The demo's truth holds an unfused run on either side; its criterion wants complete fusion: beyond, exit 1.
  EXPECT_EQ(run_.exit_code, 1) << run_.out << run_.err;
  EXPECT_EQ(run_.err, "");
  const auto reading = json::parse(Bytes(folder_ / "out" / "reading.json"));
  EXPECT_EQ(reading["format"], "rootscroll.reading/1");
  EXPECT_TRUE(reading["weld_found"].get<bool>());
  const auto verdict = json::parse(Bytes(folder_ / "out" / "verdict.json"));
  EXPECT_TRUE(verdict.is_object());
  EXPECT_THAT(Bytes(folder_ / "out" / "report.html"), HasSubstr("LX-114"));
  EXPECT_THAT(Bytes(folder_ / "out" / "report.html"), HasSubstr(kCaution));
  EXPECT_THAT(Bytes(folder_ / "out" / "report.pdf"), testing::StartsWith("%PDF-"));
  EXPECT_THAT(run_.out, HasSubstr(kCaution));
}

TEST_F(Demo, EveryPictureTheReadingNamesIsThere) {
  const auto reading = json::parse(Bytes(folder_ / "out" / "reading.json"));
  EXPECT_TRUE(fs::exists(folder_ / "out" / reading["strip"]["file"]));
  EXPECT_TRUE(fs::exists(folder_ / "out" / reading["strip"]["mask_file"]));
  EXPECT_FALSE(reading["unfused"].empty());
  for (const auto& run : reading["unfused"]) EXPECT_TRUE(fs::exists(folder_ / "out" / run["picture"]));
  for (const auto& entry : fs::directory_iterator(folder_ / "out"))
    EXPECT_THAT(entry.path().filename().string(), testing::Not(HasSubstr("tmp"))) << "a temporary file was left";
}

TEST_F(Demo, JudgeSaysTheSameAgainWithItsCaution) {
  const auto judged = RunProgram({"judge", Out(), "--joint", Joint()});
  EXPECT_EQ(judged.exit_code, run_.exit_code);
  EXPECT_THAT(judged.out, HasSubstr(kCaution));
  EXPECT_THAT(judged.out, HasSubstr("MIL-STD-2035A Class 1"));
  EXPECT_EQ(judged.err, "");
}

TEST_F(Demo, QuietIsSilent) {
  const auto judged = RunProgram({"--quiet", "judge", Out(), "--joint", Joint()});
  EXPECT_EQ(judged.exit_code, run_.exit_code);
  EXPECT_EQ(judged.out, "");
  EXPECT_EQ(judged.err, "");
}

TEST_F(Demo, QuietStillSaysErrors) {
  const auto judged = RunProgram({"--quiet", "judge", Out() + "/nowhere", "--joint", Joint()});
  EXPECT_EQ(judged.exit_code, 2);
  EXPECT_THAT(judged.err, HasSubstr("nowhere"));
}

TEST_F(Demo, JsonIsJsonAndNothingElse) {
  const auto judged = RunProgram({"judge", Out(), "--joint", Joint(), "--json"});
  const auto verdict = json::parse(judged.out, nullptr, false);
  ASSERT_FALSE(verdict.is_discarded()) << judged.out;
  EXPECT_EQ(verdict, json::parse(Bytes(folder_ / "out" / "verdict.json")));
  EXPECT_THAT(judged.out, HasSubstr(kCaution));
}

TEST_F(Demo, MeasuringOneStillGivesZeroAndAJsonSummary) {
  auto joint = DemoJoint();
  joint["recordings"][0]["frames"].erase(1);
  Write(folder_ / "one.json", joint.dump(1));
  const auto measured = RunProgram({"--json", "measure", (folder_ / "one.json").string(), "--recording", "root",
                                    "--out", (folder_ / "one").string()});
  EXPECT_EQ(measured.exit_code, 0) << measured.err;
  const auto summary = json::parse(measured.out, nullptr, false);
  ASSERT_FALSE(summary.is_discarded()) << measured.out;
  EXPECT_TRUE(summary["weld_found"].get<bool>());
}

TEST_F(Demo, NewWritesAJointFileAndNeverOverOne) {
  const auto file = (folder_ / "new.json").string();
  const std::vector<std::string> words{"new", file,         "--id", "Q-7",         "--nps",
                                       "6",   "--schedule", "40S",  "--criterion", "MIL-STD-2035A Class 1"};
  const auto first = RunProgram(words);
  EXPECT_EQ(first.exit_code, 0) << first.err;
  const std::string text = Bytes(file);
  EXPECT_EQ(json::parse(text)["format"], "rootscroll.joint/1");
  const auto second = RunProgram(words);
  EXPECT_EQ(second.exit_code, 2);
  EXPECT_THAT(second.err, HasSubstr("exists already"));
  EXPECT_EQ(Bytes(file), text);
}

}  // namespace
}  // namespace cli_test
