#include "app/joint/starting_file.h"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "app/joint/add_recording.h"
#include "app/joint/criteria.h"
#include "app/joint/embedded.h"
#include "app/joint/json_check.h"
#include "app/joint/pipe_table.h"

namespace app::joint {
namespace {

using Ordered = nlohmann::ordered_json;

bool Positive(const std::optional<double>& value) { return !value || (std::isfinite(*value) && *value > 0); }

Ordered PipeBlock(const StartingFileOptions& o) {
  Ordered pipe = Ordered::object();
  if (o.nps) pipe["nps"] = *o.nps;
  if (o.schedule) pipe["schedule"] = *o.schedule;
  if (o.outside_diameter_mm) pipe["outside_diameter_mm"] = *o.outside_diameter_mm;
  if (o.inside_diameter_mm) pipe["inside_diameter_mm"] = *o.inside_diameter_mm;
  if (o.wall_mm) pipe["wall_mm"] = *o.wall_mm;
  if (o.source) pipe["source"] = *o.source;
  return pipe;
}

Ordered JointBlock(const StartingFileOptions& o) {
  Ordered joint = {{"id", o.id}};
  if (!o.line.empty()) joint["line"] = o.line;
  if (!o.material.empty()) joint["material"] = o.material;
  joint["pipe"] = PipeBlock(o);
  joint["pieces"] = {{"a", "piece a"}, {"b", "piece b"}};  // insert and datum: only who knows them puts them in
  joint["criterion"] = o.criterion;
  return joint;
}

bool IsCamera(const Ordered& json) {
  return json.is_object() && json.contains("model") && json.contains("id") && json["id"].is_string();
}

/// The camera of `text`; null where there is none, or more than one to choose from.
Ordered CameraOf(const std::string& text) {
  const Ordered json = Ordered::parse(text, nullptr, false);
  if (json.contains("cameras")) {
    const Ordered& all = json["cameras"];
    return all.is_array() && all.size() == 1 && IsCamera(all[0]) ? all[0] : Ordered(nullptr);
  }
  return IsCamera(json) ? json : Ordered(nullptr);
}

/// @param camera Its id; empty = none is known.
Ordered RecordingBlock(const StartingFileOptions& o, const std::string& camera) {
  const std::string id = IdOfStage(o.stage);
  const auto seen_by = [&](Ordered entry, bool back = false) {
    if (!camera.empty()) entry["camera"] = camera;
    entry["looks"] = back ? (o.looks == "+z" ? "-z" : "+z") : o.looks;
    return entry;
  };
  if (o.video) return seen_by({{"id", id}, {"stage", o.stage}, {"video", *o.video}});
  const std::vector<std::string> files = o.frames.empty() ? std::vector<std::string>{"frame_000.jpg"} : o.frames;
  Ordered frames = Ordered::array();
  for (const std::string& file : files) frames.push_back(seen_by({{"file", file}}));
  for (const std::string& file : o.frames_back) frames.push_back(seen_by({{"file", file}}, true));
  return {{"id", id}, {"stage", o.stage}, {"frames", frames}};
}

bool Required(const Json& schema, const std::string& key) {
  if (!schema.contains("required")) return false;
  const Json& keys = schema.at("required");
  return std::find(keys.begin(), keys.end(), key) != keys.end();
}

void Explain(const Json& schema, const std::string& path, std::string* out) {
  if (schema.contains("items")) return Explain(schema.at("items"), path + "[]", out);
  if (!schema.contains("properties")) return;
  for (const auto& [key, child] : schema.at("properties").items()) {
    const std::string here = path.empty() ? key : path + "." + key;
    *out += here + (Required(schema, key) ? "  (must be given)\n    " : "\n    ") + DescribeRule(child) + "\n";
    Explain(child, here, out);
  }
}

}  // namespace

vision::Status StartingFileOptions::Check() const {
  if (id.empty()) return vision::BadInput("The joint's id is empty; it must be the number people call the joint by.");
  if (criterion.empty())
    return vision::BadInput("The criterion is empty; a person must choose one (there is no default).");
  if (IdOfStage(stage).empty())
    return vision::BadInput("The stage is empty; it must say the state of the weld, such as root or fit-up.");
  if (nps.has_value() != schedule.has_value())
    return vision::BadInput("Nominal size and schedule must be given together.");
  if (!Positive(outside_diameter_mm) || !Positive(wall_mm) || !Positive(inside_diameter_mm))
    return vision::BadInput("A diameter or wall is not a number above 0 mm; every size must be > 0 mm.");
  const bool by_outside = outside_diameter_mm && wall_mm;
  if (!nps && !by_outside && !inside_diameter_mm)
    return vision::BadInput(
        "The bore is not given; it must be nominal size with schedule, or outside diameter with wall, or inside "
        "diameter "
        "with its source.");
  if (looks != "+z" && looks != "-z" && looks != "side")
    return vision::BadInput("The way the camera looked is not said; it must be +z (from piece a to b), -z or side.");
  if (!frames_back.empty() && (looks == "side" || frames.empty()))
    return vision::BadInput(
        "Frames that look back are given, so there must be others, and the way these look must be +z or -z.");
  if (video && !frames.empty()) return vision::BadInput("Frames and a video are given; it must be one of them.");
  if (!camera_json.empty() && CameraOf(camera_json).is_null())
    return vision::BadInput(
        "The camera file does not hold one camera; it must be what rootscroll calibrate wrote, or a joint file "
        "with one camera.");
  if (inside_diameter_mm && (!source || source->empty()))
    return vision::BadInput("The source of the inside diameter is missing; it must be given, such as \"bore gauge\".");
  if (nps) {
    const auto size = NominalPipe(*nps, *schedule);
    if (!size.ok()) return size.error();
  }
  return std::nullopt;
}

vision::Result<std::string> StartingFile(const StartingFileOptions& options) {
  if (auto broken = options.Check()) return *broken;
  Ordered cameras = Ordered::array();
  if (!options.camera_json.empty()) cameras.push_back(CameraOf(options.camera_json));
  const auto camera_id = cameras.empty() ? std::string() : cameras[0]["id"].get<std::string>();
  const Ordered file = {{"format", "rootscroll.joint/1"},
                        {"joint", JointBlock(options)},
                        {"cameras", cameras},
                        {"recordings", Ordered::array({RecordingBlock(options, camera_id)})}};
  return file.dump(2, ' ', false, Ordered::error_handler_t::replace) + "\n";
}

std::string ExplainJointFile() {
  std::string out = "Every key of a joint file (units are in the key; an unknown key is an error).\n";
  Explain(Json::parse(EmbeddedText("joint.schema.json")), "", &out);
  out += "\nShipped criteria (a person must choose one; there is no default):\n";
  for (const std::string& name : ShippedCriteria()) out += "    " + name + "\n";
  return out;
}

}  // namespace app::joint
