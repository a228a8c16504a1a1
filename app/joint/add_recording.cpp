#include "app/joint/add_recording.h"

#include <cctype>
#include <nlohmann/json.hpp>

namespace app::joint {
namespace {

using Ordered = nlohmann::ordered_json;
using vision::BadInput;

bool Has(const Ordered& list, const std::string& id) {
  for (const auto& one : list)
    if (one.value("id", "") == id) return true;
  return false;
}

Ordered BlockOf(const NewRecording& r) {
  Ordered look = {{"camera", r.camera}, {"looks", r.looks}};
  if (r.up_theta_deg) look["up_theta_deg"] = *r.up_theta_deg;
  Ordered block = {{"id", r.id}, {"stage", r.stage}};
  if (r.video) {
    block["video"] = *r.video;
    block.update(look);
    return block;
  }
  block["frames"] = Ordered::array();
  for (const auto& file : r.frames) {
    Ordered frame = {{"file", file}};
    frame.update(look);
    block["frames"].push_back(frame);
  }
  return block;
}

}  // namespace

vision::Status NewRecording::Check() const {
  if (id.empty()) return BadInput("The recording's id is empty; it must be a name of its own, such as root-2.");
  if (stage.empty()) return BadInput("The stage is empty; it must say the state of the weld, such as fit-up or root.");
  if (frames.empty() == !video) return BadInput("The recording must be stills or one video.");
  if (camera.empty()) return BadInput("The camera is not said; it must be one of the joint file's cameras.");
  if (looks != "+z" && looks != "-z" && looks != "side")
    return BadInput("The way the camera looked is not said; it must be +z (from piece a to b), -z or side.");
  return std::nullopt;
}

std::string NamedFrom(const std::filesystem::path& joint_file, const std::filesystem::path& file) {
  namespace fs = std::filesystem;
  std::error_code failed;
  const fs::path near = fs::relative(file, fs::absolute(joint_file).parent_path(), failed);
  const bool below = !failed && !near.empty() && *near.begin() != "..";
  return below ? near.string() : fs::absolute(file).string();
}

std::string IdOfStage(const std::string& stage) {
  std::string id;
  for (const char c : stage)
    if (std::isalnum(static_cast<unsigned char>(c)))
      id += static_cast<char>(std::tolower(c));
    else if (!id.empty() && id.back() != '-')
      id += '-';
  while (!id.empty() && id.back() == '-') id.pop_back();
  return id;
}

vision::Result<std::string> WithRecording(const std::string& text, const NewRecording& recording,
                                          const std::string& name) {
  if (auto broken = recording.Check()) return *broken;
  Ordered json = Ordered::parse(text, nullptr, false);
  if (!json.is_object() || !json.contains("recordings") || !json["recordings"].is_array() || !json.contains("cameras"))
    return BadInput(name + " is not a joint file with cameras and recordings.");
  if (Has(json["recordings"], recording.id))
    return BadInput(name + " has a recording " + recording.id + " already; the new one must have another id.");
  if (!Has(json["cameras"], recording.camera))
    return BadInput(name + " has no camera " + recording.camera + "; it must be one of its cameras.");
  json["recordings"].push_back(BlockOf(recording));
  return json.dump(2, ' ', false, Ordered::error_handler_t::replace) + "\n";
}

}  // namespace app::joint
