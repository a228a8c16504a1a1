#include "app/cameras/library.h"

#include <algorithm>
#include <cctype>
#include <cstdlib>
#include <nlohmann/json.hpp>
#include <optional>
#include <tuple>

#include "vision/base/file.h"

namespace app::cameras {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::json;

std::string TextAt(const Json& json, const char* key) {
  return json.is_object() && json.contains(key) && json[key].is_string() ? json[key].get<std::string>() : std::string();
}

int NumberAt(const Json& json, const char* key) {
  return json.contains(key) && json[key].is_number_integer() ? json[key].get<int>() : 0;
}

std::optional<KeptCamera> CameraIn(const std::string& text) {
  const Json json = Json::parse(text, nullptr, false);
  KeptCamera camera;
  camera.id = TextAt(json, "id"), camera.model = TextAt(json, "model");
  if (camera.id.empty() || camera.model.empty()) return std::nullopt;
  camera.width_px = NumberAt(json, "width"), camera.height_px = NumberAt(json, "height");
  if (camera.width_px <= 0 || camera.height_px <= 0) return std::nullopt;
  const Json calibration = json.value("calibration", Json::object());
  camera.date = TextAt(calibration, "date"), camera.lens_serial = TextAt(calibration, "lens_serial");
  return camera;
}

/// A file's name that any disk takes.
std::string NameOf(const KeptCamera& camera) {
  std::string name;
  for (const char c : camera.id + "_" + camera.date)
    name += std::isalnum(static_cast<unsigned char>(c)) || c == '-' ? c : '_';
  return name + ".json";
}

}  // namespace

fs::path LibraryFolder() {
  const char *data = std::getenv("XDG_DATA_HOME"), *home = std::getenv("HOME");
  if (data != nullptr && *data != '\0') return fs::path(data) / "rootscroll" / "cameras";
  if (home != nullptr && *home != '\0') return fs::path(home) / ".local" / "share" / "rootscroll" / "cameras";
  return {};
}

std::vector<KeptCamera> CamerasIn(const fs::path& folder) {
  std::vector<KeptCamera> cameras;
  std::error_code missing;
  for (fs::directory_iterator entry(folder, missing), end; !missing && entry != end; entry.increment(missing)) {
    if (entry->path().extension() != ".json") continue;
    const auto text = vision::ReadFileWhole(entry->path(), 1u << 20);
    if (!text.ok()) continue;
    if (auto camera = CameraIn(text.value())) {
      camera->file = entry->path();
      cameras.push_back(*camera);
    }
  }
  std::sort(cameras.begin(), cameras.end(), [](const KeptCamera& one, const KeptCamera& other) {
    return std::tie(one.id, other.date) < std::tie(other.id, one.date);  // the newest calibration of a camera first
  });
  return cameras;
}

vision::Result<fs::path> Keep(const std::string& block, const fs::path& folder) {
  const auto camera = CameraIn(block);
  if (!camera) return vision::BadInput("The camera to keep has no id, lens or size; it must be a calibrated camera.");
  if (folder.empty()) return vision::BadInput("No folder for cameras is known; HOME or XDG_DATA_HOME must be set.");
  if (auto failed = vision::MakeFolder(folder)) return *failed;
  const fs::path file = folder / NameOf(*camera);
  if (fs::exists(file))
    return vision::BadInput(file.string() + " exists already; give the camera another name or date.");
  if (auto failed = vision::WriteFileWhole(file, block + "\n")) return *failed;
  return file;
}

}  // namespace app::cameras
