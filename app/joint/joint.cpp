#include "app/joint/joint.h"

#include <algorithm>
#include <set>

#include "app/joint/joint_parts.h"
#include "vision/base/file.h"

namespace app::joint {
namespace {
namespace fs = std::filesystem;

constexpr std::size_t kMaxBytes = 16u << 20;

Insert ReadInsert(const Json& json) {
  return {Text(json, "class").value_or(""), Number(json, "width_mm"), Number(json, "width_u_mm")};
}

Datum ReadDatum(const Json& json) {
  return {Text(json, "zero").value_or(""), Text(json, "positive_z").value_or(""), Text(json, "evidence").value_or("")};
}

vision::Status ReadHead(const Json& json, const Where& where, Joint* joint) {
  joint->id = json.at("id").get<std::string>();
  joint->line = Text(json, "line").value_or("");
  joint->material = Text(json, "material").value_or("");
  auto pipe = ReadPipe(json.at("pipe"), where.Child("pipe"));
  if (!pipe.ok()) return pipe.error();
  joint->pipe = pipe.value();
  for (const char* side : {"a", "b"}) {
    auto piece = ReadPiece(json.at("pieces").at(side), where.Child("pieces").Child(side));
    if (!piece.ok()) return piece.error();
    (side[0] == 'a' ? joint->a : joint->b) = piece.value();
  }
  joint->flow = Text(json, "flow");
  joint->camera_entered_from = Text(json, "camera_entered_from");
  if (json.contains("insert")) joint->insert = ReadInsert(json.at("insert"));
  if (json.contains("datum")) joint->datum = ReadDatum(json.at("datum"));
  joint->criterion = json.at("criterion").get<std::string>();
  joint->outside_cap_height_mm = Number(json, "outside_cap_height_mm");
  joint->minimum_wall_mm = Number(json, "minimum_wall_mm");
  return std::nullopt;
}

vision::Status ReadCameras(const Json& json, const Where& where, const fs::path& folder, Joint* joint) {
  for (std::size_t i = 0; i < json.size(); ++i) {
    const Where here = where.Child(std::to_string(i));
    auto camera = ReadCamera(json[i], here, folder);
    if (!camera.ok()) return camera.error();
    if (joint->FindCamera(camera.value().id))
      return here.Child("id").Wrong("\"" + camera.value().id + "\" is used twice; every camera needs its own id.");
    joint->cameras.push_back(std::move(camera).value());
  }
  return std::nullopt;
}

std::string CameraIds(const Joint& joint) {
  std::string ids;
  for (const Camera& camera : joint.cameras) ids += (ids.empty() ? "" : ", ") + camera.id;
  return ids;
}

/// A frame that names no camera gets the only one there is; none where no camera is known yet.
vision::Status Settle(FrameEntry* frame, const Where& where, const Joint& joint) {
  if (frame->camera.empty() && joint.cameras.empty()) return std::nullopt;
  if (frame->camera.empty() && joint.cameras.size() == 1) frame->camera = joint.cameras[0].id;
  if (frame->camera.empty())
    return where.Child("camera").Wrong("is missing; with several cameras it must be one of " + CameraIds(joint) + ".");
  if (!joint.FindCamera(frame->camera))
    return where.Child("camera").Wrong("is \"" + frame->camera + "\"; it must be one of " + CameraIds(joint) + ".");
  return std::nullopt;
}

vision::Status SettleCameras(Recording* recording, const Where& where, const Joint& joint) {
  for (std::size_t i = 0; i < recording->frames.size(); ++i)
    if (auto wrong = Settle(&recording->frames[i], where.Child("frames").Child(std::to_string(i)), joint)) return wrong;
  FrameEntry& defaults = recording->video_defaults;
  if (recording->video || !defaults.camera.empty()) return Settle(&defaults, where, joint);
  return std::nullopt;
}

vision::Status ReadRecordings(const Json& json, const Where& where, const fs::path& folder, Joint* joint) {
  for (std::size_t i = 0; i < json.size(); ++i) {
    const Where here = where.Child(std::to_string(i));
    auto recording = ReadRecording(json[i], here, folder);
    if (!recording.ok()) return recording.error();
    if (joint->FindRecording(recording.value().id))
      return here.Child("id").Wrong("\"" + recording.value().id +
                                    "\" is used twice; every recording needs its own id.");
    if (auto wrong = SettleCameras(&recording.value(), here, *joint)) return wrong;
    joint->recordings.push_back(std::move(recording).value());
  }
  return std::nullopt;
}

vision::Status ReadRig(const Json& json, const Where& where, Joint* joint) {
  for (std::size_t i = 0; i < json.size(); ++i) {
    const Json& place = json[i];
    const std::string id = place.at("camera").get<std::string>();
    const Where here = where.Child(std::to_string(i)).Child("camera");
    if (!joint->FindCamera(id)) return here.Wrong("is \"" + id + "\"; it must be one of " + CameraIds(*joint) + ".");
    if (joint->FindPlace(id)) return here.Wrong("\"" + id + "\" is used twice; every camera has one place in the rig.");
    joint->rig.push_back({id, place.at("x_mm").get<double>(), place.at("y_mm").get<double>(),
                          place.at("z_mm").get<double>(), place.at("rotation_deg").get<std::vector<double>>()});
  }
  return std::nullopt;
}

/// Frames of a shot need their camera's place on the head.
vision::Status CheckShots(const Joint& joint, const Where& root) {
  for (std::size_t r = 0; r < joint.recordings.size(); ++r)
    for (std::size_t i = 0; i < joint.recordings[r].frames.size(); ++i) {
      const FrameEntry& frame = joint.recordings[r].frames[i];
      if (!frame.shot || joint.FindPlace(frame.camera)) continue;
      const Where here = root.Child("recordings").Child(std::to_string(r)).Child("frames").Child(std::to_string(i));
      return here.Child("shot").Wrong("is given, but camera \"" + frame.camera +
                                      "\" has no place in rig; list it under rig.cameras.");
    }
  return std::nullopt;
}

std::optional<Sized> Smaller(const std::optional<Sized>& a, const std::optional<Sized>& b) {
  if (!a || !b) return a ? a : b;
  return a->value_mm <= b->value_mm ? a : b;
}

}  // namespace

const Camera* Joint::FindCamera(const std::string& name) const {
  const auto found = std::find_if(cameras.begin(), cameras.end(), [&](const Camera& c) { return c.id == name; });
  return found == cameras.end() ? nullptr : &*found;
}

const RigCamera* Joint::FindPlace(const std::string& camera) const {
  const auto found =
      std::find_if(rig.begin(), rig.end(), [&](const RigCamera& place) { return place.camera == camera; });
  return found == rig.end() ? nullptr : &*found;
}

const Recording* Joint::FindRecording(const std::string& name) const {
  const auto found =
      std::find_if(recordings.begin(), recordings.end(), [&](const Recording& r) { return r.id == name; });
  return found == recordings.end() ? nullptr : &*found;
}

std::optional<Sized> Joint::ThinnerWall() const {
  return Smaller(a.wall ? a.wall : pipe.wall, b.wall ? b.wall : pipe.wall);
}

std::optional<Sized> Joint::SmallerOutsideDiameter() const {
  return Smaller(a.outside_diameter ? a.outside_diameter : pipe.outside_diameter,
                 b.outside_diameter ? b.outside_diameter : pipe.outside_diameter);
}

vision::Result<Joint> LoadJoint(const fs::path& file) {
  const auto text = vision::ReadFileWhole(file, kMaxBytes);
  if (!text.ok())
    return vision::BadInput(text.error().message + " It must be a joint file (rootscroll new writes a starting one).");
  const auto json = ParseJson(text.value(), file.string());
  if (!json.ok()) return json.error();
  if (auto wrong = CheckSchema(json.value(), "joint.schema.json", file.string())) return *wrong;
  Joint joint;
  joint.file = file;
  const Where root{file.string(), ""};
  const fs::path folder = file.parent_path();
  const Json& all = json.value();
  if (auto wrong = ReadHead(all.at("joint"), root.Child("joint"), &joint)) return *wrong;
  if (auto wrong = ReadCameras(all.at("cameras"), root.Child("cameras"), folder, &joint)) return *wrong;
  if (auto wrong = ReadRecordings(all.at("recordings"), root.Child("recordings"), folder, &joint)) return *wrong;
  if (all.contains("rig"))
    if (auto wrong = ReadRig(all.at("rig").at("cameras"), root.Child("rig").Child("cameras"), &joint)) return *wrong;
  if (auto wrong = CheckShots(joint, root)) return *wrong;
  return joint;
}

}  // namespace app::joint
