#include "app/viewer/joints_beside.h"

#include <algorithm>
#include <fstream>
#include <string>

namespace app::viewer {
namespace {

namespace fs = std::filesystem;

/// By its first lines, since there may be thousands.
bool CallsItselfAJoint(const fs::path& file) {
  std::ifstream in(file, std::ios::binary);
  std::string begin(512, '\0');
  in.read(begin.data(), static_cast<std::streamsize>(begin.size()));
  return begin.find("rootscroll.joint/1") != std::string::npos;
}

}  // namespace

std::vector<fs::path> JointsBeside(const fs::path& joint_file) {
  std::error_code failed;
  const fs::path own = fs::weakly_canonical(joint_file, failed), folder = own.parent_path();
  std::vector<fs::path> found{own};
  const auto take = [&](const fs::path& file) {
    if (file != own && fs::is_regular_file(file, failed) && CallsItselfAJoint(file)) found.push_back(file);
  };
  for (const auto& entry : fs::directory_iterator(folder, failed))
    if (entry.path().extension() == ".json") take(entry.path());
  for (const auto& entry : fs::directory_iterator(folder.parent_path(), failed))
    if (entry.is_directory(failed)) take(entry.path() / own.filename());
  std::sort(found.begin(), found.end());
  return found;
}

}  // namespace app::viewer
