#include <gmock/gmock.h>
#include <unistd.h>

#include <cmath>

#include "tests/cli/program.h"
#include "vision/reading/reading.h"

namespace cli_test {
namespace {

using nlohmann::json;
using testing::HasSubstr;
namespace fs = std::filesystem;

const std::string kReferences = ROOTSCROLL_SOURCE_DIR "/fixtures/references/";

class Study : public testing::Test {
 protected:
  void SetUp() override {
    folder_ = fs::temp_directory_path() / ("rootscroll_study_" + std::to_string(::getpid()));
    fs::create_directories(folder_);
  }
  void TearDown() override { fs::remove_all(folder_); }

  /// A reading whose width has a shape round the circle and lies higher by `own`.
  std::string ReadingFile(const std::string& name, double own, const std::string& joint = "J-1") {
    vision::reading::Reading reading;
    reading.joint_id = joint;
    reading.weld_found = true;
    reading.bore_radius_mm = 77;
    reading.profile.Resize(720);
    for (std::size_t i = 0; i < 720; ++i) {
      reading.profile.width_mm[i] = 5 + 0.5 * std::sin(0.02 * static_cast<double>(i)) + own;
      reading.profile.width_u_mm[i] = 0.01;
    }
    const auto file = folder_ / name;
    Write(file, vision::reading::ToJson(reading));
    return file.string();
  }

  fs::path folder_;
};

// Published with the data (fixtures/references/pod/README.md); bounds by another program,
// tests/study/hit_miss_test.cpp.
TEST_F(Study, PodWritesThePublishedAnswerItsCurveAndItsPicture) {
  const auto out = (folder_ / "pod").string();
  const auto run = RunProgram({"pod", kReferences + "pod/pod_hitmiss_60.csv", "--out", out, "--json"});
  ASSERT_EQ(run.exit_code, 0) << run.err;
  const auto said = json::parse(run.out, nullptr, false);
  ASSERT_FALSE(said.is_discarded()) << run.out;
  EXPECT_EQ(said, json::parse(Bytes(folder_ / "pod" / "pod.json")));
  EXPECT_NEAR(said["b0"].get<double>(), -11.832651, 1e-6);
  EXPECT_NEAR(said["b1"].get<double>(), 45.306784, 1e-6);
  EXPECT_NEAR(said["ap"].get<double>(), 0.309663906, 1e-9);
  EXPECT_NEAR(said["ap_bound_likelihood_ratio"].get<double>(), 0.356454, 1e-6);
  EXPECT_NEAR(said["ap_bound_wald"].get<double>(), 0.381497, 1e-6);
  EXPECT_THAT(Bytes(folder_ / "pod" / "pod.svg"), testing::StartsWith("<svg"));
  EXPECT_THAT(Bytes(folder_ / "pod" / "pod.csv"), HasSubstr("\n0.90,0.309663906,0.3564"));
}

TEST_F(Study, PodSaysInWordsWhichBoundIsWhich) {
  const auto run = RunProgram({"pod", kReferences + "pod/pod_hitmiss_60.csv"});
  EXPECT_THAT(run.out, HasSubstr("a90/95 0.356454 by the likelihood ratio"));
  EXPECT_THAT(run.out, HasSubstr("a90/95 0.381497 by Wald"));
  EXPECT_THAT(run.out, HasSubstr("never replaces, the qualified examiner"));
}

TEST_F(Study, PodRefusesWithExitTwoAndOneSentence) {
  std::string separated = "size_mm,hit\n";
  for (int i = 1; i <= 40; ++i) separated += std::to_string(i) + (i > 20 ? ",hit\n" : ",miss\n");
  Write(folder_ / "data.csv", separated);
  const auto data = (folder_ / "data.csv").string(), out = (folder_ / "none").string();
  const auto run = RunProgram({"pod", data, "--out", out});
  EXPECT_EQ(run.exit_code, 2);
  EXPECT_THAT(run.err, HasSubstr("data.csv: the sizes of hits and misses do not overlap"));
  EXPECT_FALSE(fs::exists(out));
  EXPECT_THAT(RunProgram({"pod", data, "--hit", "seen"}).err, HasSubstr("no column `seen`"));
  EXPECT_THAT(RunProgram({"pod", data, "--hit", "size_mm"}).err, HasSubstr("it must be 1 (found) or 0 (missed)"));
  EXPECT_EQ(RunProgram({"pod", data, "--scale", "square"}).exit_code, 2);
}

// Printed results of the worked study, tests/study/gauge_test.cpp.
TEST_F(Study, RepeatGivesThePrintedGaugeStudyAndWhatItIsFitFor) {
  const auto run = RunProgram({"repeatability", kReferences + "gauge_10x3x3.csv", "--limit", "value=2.5"});
  ASSERT_EQ(run.exit_code, 0) << run.err;
  EXPECT_THAT(run.out, HasSubstr("(26.68 %)"));
  EXPECT_THAT(run.out, HasSubstr("(27.86 %)"));
  EXPECT_THAT(run.out, HasSubstr("(28.75 %)"));
  EXPECT_THAT(run.out, HasSubstr("fit for judging this limit at worst"));
  EXPECT_THAT(run.out, HasSubstr("supports and never replaces"));
}

TEST_F(Study, RepeatOfReadingsByTwoOperators) {
  std::vector<std::string> words{"repeatability"};
  for (const double own : {0.02, -0.02, 0.05, -0.05})
    words.push_back(ReadingFile("r" + std::to_string(words.size()), own));
  for (const char* who : {"A", "A", "B", "B"}) words.insert(words.end(), {"--operator", who});
  words.insert(words.end(), {"--limit", "width_mm=1", "--out", (folder_ / "out").string()});
  const auto run = RunProgram(words);
  ASSERT_EQ(run.exit_code, 0) << run.err;
  const auto report = json::parse(Bytes(folder_ / "out" / "repeatability.json"));
  const auto& width = report["quantities"].at(0);
  EXPECT_EQ(width["quantity"], "width_mm");
  // A's two readings lie 0.04 apart on every line, B's 0.10: variances 0.0008 and 0.005, pooled 0.0029.
  EXPECT_NEAR(width["pooled_s"].get<double>(), std::sqrt(0.0029), 5e-4);
  EXPECT_EQ(width["gauge_study"]["operators"], 2);
  EXPECT_THAT(width["fitness"]["fit_for"].get<std::string>(), HasSubstr("at worst"));
  EXPECT_EQ(report["quantities"].size(), 1u) << "quantities that were not measured are left out";
  EXPECT_THAT(Bytes(folder_ / "out" / "repeatability.csv"),
              testing::StartsWith("theta_deg,width_mm_mean,width_mm_s\n0.0,"));
}

TEST_F(Study, RepeatRefusesOtherJointsAndMiscountedOperators) {
  const auto a = ReadingFile("a.json", 0.02), b = ReadingFile("b.json", 0.03), c = ReadingFile("c.json", 0.03, "J-2");
  EXPECT_THAT(RunProgram({"repeatability", a, c}).err, HasSubstr("c.json is of joint J-2"));
  EXPECT_THAT(RunProgram({"repeatability", a, b, "--operator", "A"}).err, HasSubstr("one for each"));
  EXPECT_THAT(RunProgram({"repeatability", a}).err, HasSubstr("at least 2 readings"));
  EXPECT_THAT(RunProgram({"repeatability", a, b, "--limit", "width_mm"}).err, HasSubstr("like width_mm=1.5"));
  EXPECT_EQ(RunProgram({"repeatability", a, b, "--criterion", "MIL-STD-2035A Class 1"}).exit_code, 2);
}

}  // namespace
}  // namespace cli_test
