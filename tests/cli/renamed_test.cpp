#include <gmock/gmock.h>

#include "tests/cli/program.h"

namespace cli_test {
namespace {

using testing::HasSubstr;

using Words = std::vector<std::string>;

/// A command line as it was written before, and how the name is written now (README of the version before, and --help).
struct OldName {
  Words before, now;
  std::string says;
};

const OldName kOld[] = {
    {{"resolve", "j.json"}, {"smallest-line"}, "smallest-line"},
    {{"repeat", "a", "b"}, {"repeatability"}, "repeatability"},
    {{"--quiet", "repeat"}, {"repeatability"}, "repeatability"},
    {{"book", "close", "b"}, {"book", "close-finding"}, "book close-finding"},
    {{"book", "closeout", "b"}, {"book", "foreign-material"}, "book foreign-material"},
    {{"book", "note", "b"}, {"book", "annotate"}, "book annotate"},
    {{"book", "notes", "b"}, {"book", "window-notes"}, "book window-notes"},
    {{"report", "f", "--paper", "Letter"}, {"report"}, "--page-size"},
    {{"book", "report", "b", "--house=p.json"}, {"book", "report"}, "--company-paper"},
};

TEST(Renamed, AnOldNameIsRefusedAndTheNewOneNamed) {
  for (const OldName& name : kOld) {
    const auto run = RunProgram(name.before);
    EXPECT_EQ(run.exit_code, 2) << name.says;
    EXPECT_THAT(run.err, HasSubstr("is called `" + name.says + "` now")) << run.err;
  }
}

TEST(Renamed, TheNewNameIsThere) {
  for (const OldName& name : kOld) {
    Words help = name.now;
    help.push_back("--help");
    const auto run = RunProgram(help);
    EXPECT_EQ(run.exit_code, 0) << name.says;
    if (name.says.front() == '-') {
      EXPECT_THAT(run.out, HasSubstr(name.says));
    }
  }
}

}  // namespace
}  // namespace cli_test
