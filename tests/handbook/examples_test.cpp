// Every block of the handbook that is marked `sh` is run as it stands, in a folder that holds the demo.
#include <gtest/gtest.h>
#include <sys/wait.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>

#include "app/handbook/handbook.h"

namespace handbook_test {
namespace {

namespace fs = std::filesystem;
const fs::path kFixtures = ROOTSCROLL_SOURCE_DIR "/fixtures";

struct Command {
  std::string line;
  int exit_code = 0;  ///< What `# exit N` after it says.
};

std::vector<Command> CommandsOf(const QString& markdown) {
  std::vector<Command> commands;
  bool inside = false, goes_on = false;
  for (QString line : markdown.split('\n')) {
    if (line.startsWith("```")) {
      inside = line == "```sh";
      continue;
    }
    if (!inside) continue;
    Command command;
    if (const auto mark = line.indexOf("# exit "); mark >= 0) {
      command.exit_code = line.mid(mark + 7).toInt();
      line.truncate(mark);
    }
    const bool ends_open = line.endsWith('\\');
    if (ends_open) line.chop(1);
    command.line = line.trimmed().toStdString();
    if (goes_on)
      commands.back().line += " " + command.line, commands.back().exit_code = command.exit_code;
    else
      commands.push_back(command);
    goes_on = ends_open;
  }
  return commands;
}

fs::path WorkFolder(const std::string& name) {
  const fs::path folder = fs::path(testing::TempDir()) / ("rootscroll_handbook_" + name + std::to_string(::getpid()));
  fs::remove_all(folder);
  fs::create_directories(folder);
  fs::copy(kFixtures / "demo", folder);
  fs::create_directory_symlink(kFixtures / "boards" / "fisheye_chessboard", folder / "board");
  fs::copy(kFixtures / "references" / "gauge_10x3x3.csv", folder / "study.csv");
  fs::copy(kFixtures / "references" / "pod" / "pod_hitmiss_60.csv", folder / "hits.csv");
  return folder;
}

class Examples : public testing::TestWithParam<std::string> {};

TEST_P(Examples, RunAsTheyStand) {
  const fs::path folder = WorkFolder(GetParam());
  const fs::path said = folder / "said.txt";
  const std::string path = fs::path(ROOTSCROLL_PROGRAM).parent_path().string();
  for (const auto& chapter : app::handbook::Chapters("en")) {
    if (chapter.name.toStdString() != GetParam()) continue;
    for (const Command& command : CommandsOf(chapter.markdown)) {
      const std::string line = "cd '" + folder.string() + "' && PATH='" + path + "':\"$PATH\" && " + command.line +
                               " >'" + said.string() + "' 2>&1";
      const int status = std::system(line.c_str());
      std::ifstream in(said);
      EXPECT_EQ(WIFEXITED(status) ? WEXITSTATUS(status) : -1, command.exit_code)
          << command.line << "\n"
          << std::string{std::istreambuf_iterator<char>(in), {}};
    }
  }
  fs::remove_all(folder);
}

const std::string kWithExamples[] = {"first_joint", "camera", "repair", "book", "moving", "criteria", "commands"};

INSTANTIATE_TEST_SUITE_P(Handbook, Examples, testing::ValuesIn(kWithExamples),
                         [](const auto& one) { return one.param; });

TEST(ExampleList, NoChapterWithExamplesIsLeftOut) {
  std::vector<std::string> found;
  for (const auto& chapter : app::handbook::Chapters("en"))
    if (!CommandsOf(chapter.markdown).empty()) found.push_back(chapter.name.toStdString());
  std::vector<std::string> listed(std::begin(kWithExamples), std::end(kWithExamples));
  std::sort(found.begin(), found.end());
  std::sort(listed.begin(), listed.end());
  EXPECT_EQ(found, listed);
}

}  // namespace
}  // namespace handbook_test
