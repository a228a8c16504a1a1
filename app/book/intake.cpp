#include "app/book/intake.h"

#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <map>
#include <nlohmann/json.hpp>

#include "app/book/text_gate.h"
#include "app/joint/joint.h"
#include "app/joint/json_check.h"
#include "vision/base/file.h"
#include "vision/base/text.h"

namespace app::book {

namespace {
namespace fs = std::filesystem;
using Json = nlohmann::json;

/// Every place in a joint file that names a file for the recording, as pointers into `json`.
std::vector<Json*> NamesIn(Json& json, const std::string& recording_id) {
  std::vector<Json*> names;
  const auto add = [&names](Json& object, const char* key) {
    if (object.is_object() && object.contains(key) && object[key].is_string()) names.push_back(&object[key]);
  };
  const auto list = [](Json& object, const char* key) -> Json& {
    static Json none;
    none = Json::array();
    return object.is_object() && object.contains(key) && object[key].is_array() ? object[key] : none;
  };
  for (auto& recording : list(json, "recordings")) {
    if (!recording.is_object() || recording.value("id", Json()) != recording_id) continue;
    add(recording, "video");
    if (recording.contains("white")) add(recording["white"], "file");
    for (auto& frame : list(recording, "frames")) add(frame, "file");
  }
  for (auto& camera : list(json, "cameras")) add(camera, "mask");
  return names;
}

/// The joint file with this recording alone.
Json OnlyWith(Json json, const std::string& recording_id) {
  Json kept = Json::array();
  for (const auto& recording : json["recordings"])
    if (recording.value("id", "") == recording_id) kept.push_back(recording);
  json["recordings"] = kept;
  return json;
}

std::string TextOf(const Json& own) { return own.dump(1) + "\n"; }

vision::Result<FileRef> TakeFile(Book& book, const IntakeRequest& request, const std::string& named) {
  const fs::path path = request.joint_file.parent_path() / named;
  auto ref = request.refer ? book.evidence().Refer(path) : book.evidence().Copy(path);
  if (!ref.ok()) return ref;
  ref.value().named = named;
  ref.value().name = Composed(ref.value().name);
  ref.value().clock = request.clock;
  ref.value().zone = request.zone;
  return ref;
}

vision::Result<RecordingEntry> TakeRecording(Book& book, const IntakeRequest& request, const std::string& id,
                                             const Json& json, const app::joint::Joint& joint) {
  RecordingEntry entry;
  entry.id = id;
  const auto* recording = joint.FindRecording(id);
  if (recording == nullptr)
    return vision::BadInput(request.joint_file.string() + " has no recording `" + id + "`; name one that it lists.");
  entry.stage = recording->stage;
  Json own = OnlyWith(json, id);
  auto file = book.evidence().Keep(TextOf(own), request.joint_file.filename().string());
  if (!file.ok()) return file.error();
  entry.joint_file = file.value();
  std::vector<std::string> names;
  for (const auto* name : NamesIn(own, id)) names.push_back(name->get<std::string>());
  std::error_code ignored;
  if (fs::is_regular_file(request.joint_file.parent_path() / joint.criterion, ignored))
    names.push_back(joint.criterion);
  std::sort(names.begin(), names.end());
  names.erase(std::unique(names.begin(), names.end()), names.end());
  for (const auto& name : names) {
    auto ref = TakeFile(book, request, name);
    if (!ref.ok()) return ref.error();
    entry.files.push_back(ref.value());
  }
  return entry;
}

vision::Status CheckAgainst(const Record& record, const IntakeRequest& request, const app::joint::Joint& joint) {
  const std::string file = request.joint_file.string();
  if (request.recordings.empty()) return vision::BadInput("Name at least one recording of " + file + ".");
  if (!record.joint.empty() && record.joint != joint.id)
    return vision::BadInput(file + " is of joint " + joint.id + ", not " + record.joint + ".");
  const std::string next = "R" + std::to_string(record.cycles.size());
  const auto at = std::find_if(record.cycles.begin(), record.cycles.end(),
                               [&](const Cycle& cycle) { return cycle.id == request.cycle; });
  if (at == record.cycles.end() && request.cycle != next)
    return vision::BadInput("Joint " + joint.id + " has no cycle " + request.cycle + "; the next one is " + next + ".");
  if (at == record.cycles.end()) return std::nullopt;
  for (const auto& recording : at->recordings)
    if (std::find(request.recordings.begin(), request.recordings.end(), recording.id) != request.recordings.end())
      return vision::BadInput("Joint " + joint.id + ", cycle " + request.cycle + " holds a recording `" + recording.id +
                              "` already; give the new one another id or cycle.");
  return std::nullopt;
}
}  // namespace

vision::Result<std::string> OwnJointFile(const fs::path& joint_file, const std::string& recording) {
  const auto text = vision::ReadFileWhole(joint_file);
  if (!text.ok()) return text.error();
  auto json = app::joint::ParseJson(text.value(), joint_file.string());
  if (!json.ok()) return json.error();
  return TextOf(OnlyWith(std::move(json).value(), recording));
}

vision::Status TakeIn(Book& book, const IntakeRequest& request, Record& record) {
  auto joint = app::joint::LoadJoint(request.joint_file);
  if (!joint.ok()) return joint.error();
  if (auto wrong = CheckAgainst(record, request, joint.value())) return wrong;
  auto text = vision::ReadFileWhole(request.joint_file);
  if (!text.ok()) return text.error();
  auto parsed = app::joint::ParseJson(text.value(), request.joint_file.string());
  if (!parsed.ok()) return parsed.error();
  const Json& json = parsed.value();
  std::vector<RecordingEntry> entries;
  for (const auto& id : request.recordings) {
    auto entry = TakeRecording(book, request, id, json, joint.value());
    if (!entry.ok()) return entry.error();
    entries.push_back(std::move(entry).value());
  }
  record.joint = joint.value().id;
  record.line = joint.value().line;
  record.material = joint.value().material;
  record.insert_class = joint.value().insert.insert_class;
  record.criterion = joint.value().criterion;
  record.piece_a = joint.value().a.name;
  record.piece_b = joint.value().b.name;
  if (record.FindCycle(request.cycle) == nullptr) {
    record.cycles.emplace_back();
    record.cycles.back().id = request.cycle;
  }
  Cycle& cycle = *record.FindCycle(request.cycle);
  if (!request.welder.empty()) cycle.welder = request.welder;
  if (!request.welded_on.empty()) cycle.welded_on = request.welded_on;
  cycle.recordings.insert(cycle.recordings.end(), entries.begin(), entries.end());
  return record.Check();
}

vision::Result<WorkFolder> WorkFolder::Lay(Book& book, const RecordingEntry& recording, const fs::path& named) {
  static std::atomic<int> counter{0};
  const fs::path folder = !named.empty()
                              ? named
                              : fs::temp_directory_path() / ("rootscroll_work_" + std::to_string(::getpid()) + "_" +
                                                             std::to_string(counter.fetch_add(1)));
  for (const auto& file : recording.files)  // a book of before this was asked may hold another
    if (!IsPlainName(file.name))
      return vision::BadInput("The record calls a file of recording " + recording.id + " " +
                              vision::Printable(file.name) +
                              "; a name without a folder is wanted, nothing was laid out.");
  std::error_code failed;
  for (const char* part : {"files", "out"}) fs::remove_all(folder / part, failed);
  fs::create_directories(folder / "files", failed);
  if (failed) return vision::Error{vision::ErrorCode::kIo, "Cannot make the folder " + folder.string() + "."};
  WorkFolder work(folder, !named.empty());
  auto text = book.evidence().Read(recording.joint_file);
  if (!text.ok()) return text.error();
  auto parsed = app::joint::ParseJson(text.value(), "The joint file of recording " + recording.id);
  if (!parsed.ok()) return parsed.error();
  Json& json = parsed.value();
  std::map<std::string, std::string> laid;
  for (const auto& file : recording.files) {
    if (auto changed = book.evidence().Prove(file)) return *changed;
    if (laid.contains(file.named)) continue;
    const std::string within = "files/" + file.sha256.substr(0, 8), name = within + "/" + file.name;
    fs::create_directories(folder / within, failed);
    fs::create_symlink(fs::absolute(book.evidence().PathOf(file)), folder / name, failed);
    if (failed)
      return vision::Error{vision::ErrorCode::kIo, "Cannot lay out " + file.name + ": " + failed.message() + "."};
    laid[file.named] = name;
  }
  for (auto* name : NamesIn(json, recording.id)) {
    const auto at = laid.find(name->get<std::string>());
    if (at == laid.end())
      return vision::BadInput("The joint file of recording " + recording.id + " names " +
                              vision::Printable(name->get<std::string>()) + ", which the record does not hold.");
    *name = at->second;
  }
  if (json.is_object() && json.contains("joint") && json["joint"].is_object() && json["joint"].contains("criterion")) {
    Json& criterion = json["joint"]["criterion"];
    if (criterion.is_string() && laid.contains(criterion.get<std::string>()))
      criterion = laid[criterion.get<std::string>()];
    else if (criterion.is_string() && criterion.get<std::string>().find_first_of("/\\") != std::string::npos)
      return vision::BadInput("The joint file of recording " + recording.id +
                              " names a criterion's file that the record does not hold.");
  }
  if (auto wrong = vision::WriteFileWhole(work.joint_file(), json.dump(1))) return *wrong;
  return work;
}

WorkFolder::~WorkFolder() {
  std::error_code ignored;
  if (!folder_.empty() && !kept_) fs::remove_all(folder_, ignored);
}

}  // namespace app::book
