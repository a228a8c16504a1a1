#include <gmock/gmock.h>

#include <cmath>

#include "tests/cli/program.h"

/// What people wrote in the window reaches every paper: `report`, `judge`, `book window-notes`, `book report`, `book
/// csv`.
namespace cli_test {
namespace {

using nlohmann::json;
using testing::HasSubstr;
using testing::Not;
namespace fs = std::filesystem;

const std::string kDecided = "overruled by R. Example, 2026-01-31T10:00:00Z: a scratch of the clamp";

/// As a ruling names a run: side and whole degrees.
std::string Named(const json& run) {
  const auto whole = [](double degrees) { return std::to_string(std::lround(degrees) % 360); };
  return "unfused " + run["side"].get<std::string>() + " " + whole(run["start_deg"].get<double>()) + "-" +
         whole(run["end_deg"].get<double>());
}

class Notes : public testing::Test {
 protected:
  static void SetUpTestSuite() {
    folder_ = DemoCopy("notes");
    Write(folder_ / "joint.json", DemoJoint().dump(1));
    before_ = RunProgram({"run", Joint(), "--recording", "root", "--out", Out()});
    runs_ = json::parse(Bytes(folder_ / "out" / "reading.json"))["unfused"];
    const json by{{"author", "R. Example"}, {"time", "2026-01-31T10:00:00Z"}};
    json notes{{"format", "rootscroll.notes/1"}, {"joint_id", "LX-114"}, {"toes", json::array()}};
    notes["notes"] = {{{"id", 1},
                       {"shape", "point"},
                       {"kind", "surface_pore"},
                       {"points", {{{"theta_deg", 30.0}, {"z_mm", 0.5}}}},
                       {"text", "dark spot"},
                       {"status", "open"},
                       {"reason", ""}}};
    notes["notes"][0].update(by);
    notes["rulings"] = {{{"about", Named(runs_[0])}, {"overruled", true}, {"reason", "a scratch of the clamp"}}};
    notes["rulings"][0].update(by);
    Write(folder_ / "joint.notes.json", notes.dump(1));
  }
  static void TearDownTestSuite() { fs::remove_all(folder_); }
  static std::string Joint() { return (folder_ / "joint.json").string(); }
  static std::string Out() { return (folder_ / "out").string(); }
  static void ExpectSaid(const std::string& page) {
    EXPECT_THAT(page, HasSubstr(kDecided));
    EXPECT_THAT(page, HasSubstr("dark spot"));
    EXPECT_THAT(page, HasSubstr("open, not judged; seen by R. Example"));
  }

  static inline fs::path folder_;
  static inline Outcome before_;
  static inline json runs_;
};

TEST_F(Notes, ReachTheReportAndItsVerdict) {
  ASSERT_FALSE(runs_.empty());
  EXPECT_THAT(before_.out, Not(HasSubstr("overruled")));
  const auto report = RunProgram({"report", Out(), "--joint", Joint()});
  EXPECT_EQ(report.err, "");
  ExpectSaid(Bytes(folder_ / "out" / "report.html"));
  const std::string verdict = Bytes(folder_ / "out" / "verdict.json");
  EXPECT_THAT(verdict, HasSubstr(kDecided));
  const auto judged = RunProgram({"judge", Out(), "--joint", Joint()});
  EXPECT_EQ(Bytes(folder_ / "out" / "verdict.json"), verdict);  // one answer, whichever command gives it
  EXPECT_THAT(judged.out, HasSubstr(kDecided));
}

TEST_F(Notes, ASpanishReportSaysThemInSpanish) {
  const auto report = RunProgram({"report", Out(), "--joint", Joint(), "--language", "es"});
  EXPECT_EQ(report.err, "");
  const std::string page = Bytes(folder_ / "out" / "report.html");
  EXPECT_THAT(page, HasSubstr("desestimado por R. Example, 2026-01-31T10:00:00Z: a scratch of the clamp"));
  EXPECT_THAT(page, HasSubstr("abierto, no juzgado; visto por R. Example"));
}

TEST_F(Notes, ReachTheBooksPaperAndItsTables) {
  const std::string book = (folder_ / "j.book").string(), out = (folder_ / "paper").string();
  const std::vector<std::string> by{"--author", "R. Example", "--reason", "test"};
  const auto with = [&](std::vector<std::string> words) {
    words.insert(words.end(), by.begin(), by.end());
    return RunProgram(words);
  };
  ASSERT_EQ(RunProgram({"book", "new", book}).exit_code, 0);
  ASSERT_EQ(with({"book", "add", book, Joint(), "--recording", "root"}).exit_code, 0);
  ASSERT_EQ(RunProgram({"batch", book}).exit_code, 0);
  const auto put = with({"book", "window-notes", book, "LX-114", (folder_ / "joint.notes.json").string()});
  ASSERT_EQ(put.exit_code, 0) << put.err;
  const auto printed = RunProgram({"book", "report", book, "LX-114", "--out", out});
  EXPECT_EQ(printed.err, "");
  const std::string page = Bytes(fs::path(out) / "report.html");
  ExpectSaid(page);
  EXPECT_THAT(page, HasSubstr("in the joint book, R0, revision"));
  EXPECT_THAT(page, Not(HasSubstr("are newer than this verdict")));
  const auto shown = RunProgram({"book", "show", book, "LX-114"});
  EXPECT_THAT(shown.out, HasSubstr("closed"));
  EXPECT_THAT(shown.out, HasSubstr(kDecided));
  EXPECT_THAT(shown.err, HasSubstr("supports and never replaces"));
  ASSERT_EQ(RunProgram({"book", "csv", book, "LX-114", "--out", out}).exit_code, 0);
  EXPECT_THAT(Bytes(fs::path(out) / "findings.csv"), HasSubstr("\"measured, overruled\""));
  EXPECT_THAT(Bytes(fs::path(out) / "profile.csv"), HasSubstr(",overruled,"));
  for (const std::vector<std::string>& words : {std::vector<std::string>{"book", "list", book},
                                                {"book", "list", book, "--csv"},
                                                {"book", "history", book, "LX-114"},
                                                {"book", "trends", book, "--of", "welders"}})
    EXPECT_THAT(RunProgram(words).out, HasSubstr("supports and never replaces")) << words[1];
}

}  // namespace
}  // namespace cli_test
