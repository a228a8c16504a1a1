#include "tests/cli/program.h"

#include <sys/wait.h>
#include <unistd.h>

#include <cstdlib>
#include <fstream>

namespace cli_test {

namespace fs = std::filesystem;

namespace {
const fs::path kDemo = ROOTSCROLL_SOURCE_DIR "/fixtures/demo";
}

std::string Bytes(const fs::path& file) {
  std::ifstream in(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

void Write(const fs::path& file, const std::string& bytes) { std::ofstream(file, std::ios::binary) << bytes; }

Outcome RunProgram(const std::vector<std::string>& arguments) {
  const fs::path base = fs::temp_directory_path() / ("rootscroll_cli_" + std::to_string(::getpid()));
  // Qt, inside the report, grumbles on standard error where a session has no run-time folder (a bare container).
  std::string command = "XDG_RUNTIME_DIR=\"${XDG_RUNTIME_DIR:-/tmp}\" '" ROOTSCROLL_PROGRAM "'";
  for (const auto& argument : arguments) command += " '" + argument + "'";
  const int status = std::system((command + " >'" + base.string() + ".out' 2>'" + base.string() + ".err'").c_str());
  Outcome outcome{WIFEXITED(status) ? WEXITSTATUS(status) : -1, Bytes(base.string() + ".out"),
                  Bytes(base.string() + ".err")};
  fs::remove(base.string() + ".out");
  fs::remove(base.string() + ".err");
  return outcome;
}

fs::path DemoCopy(const std::string& name) {
  const fs::path folder = fs::temp_directory_path() / ("rootscroll_cli_" + name + "_" + std::to_string(::getpid()));
  fs::remove_all(folder);
  fs::create_directories(folder);
  for (const char* file : {"from_a.jpg", "from_b.jpg", "push.avi"}) fs::create_symlink(kDemo / file, folder / file);
  return folder;
}

nlohmann::json DemoJoint() { return nlohmann::json::parse(Bytes(kDemo / "joint.json")); }

}  // namespace cli_test
