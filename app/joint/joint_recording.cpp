#include "app/joint/joint_parts.h"
#include "app/joint/mount.h"

namespace app::joint {
namespace {
namespace fs = std::filesystem;

fs::path Resolved(const std::string& file, const fs::path& folder) { return (folder / file).lexically_normal(); }

std::optional<ScaleCheck> ReadScale(const Json& json, const char* key) {
  if (!json.contains(key)) return std::nullopt;
  const Json& scale = json.at(key);
  return ScaleCheck{Text(scale, "when").value_or(""), scale.at("known_mm").get<double>(),
                    scale.at("measured_mm").get<double>()};
}

KnownPose ReadPose(const Json& json) {
  return {json.at("offset_x_mm").get<double>(), json.at("offset_y_mm").get<double>(), json.at("z_mm").get<double>(),
          Number(json, "pitch_deg").value_or(0), Number(json, "yaw_deg").value_or(0)};
}

FrameEntry ReadDefaults(const Json& recording) {
  FrameEntry defaults;
  defaults.camera = Text(recording, "camera").value_or("");
  defaults.looks = Text(recording, "looks").value_or("+z");
  defaults.up_theta_deg = Number(recording, "up_theta_deg");
  return defaults;
}

FrameEntry ReadFrame(const Json& json, const FrameEntry& defaults, const fs::path& folder) {
  FrameEntry frame = defaults;
  frame.file = Resolved(json.at("file").get<std::string>(), folder);
  frame.camera = Text(json, "camera").value_or(defaults.camera);
  frame.looks = Text(json, "looks").value_or(defaults.looks);
  if (const auto up = Number(json, "up_theta_deg")) frame.up_theta_deg = up;
  frame.travel_mm = Number(json, "travel_mm");
  if (json.contains("shot")) frame.shot = json.at("shot").get<int>();
  if (json.contains("pose")) frame.pose = ReadPose(json.at("pose"));
  if (json.contains("toe_points"))
    for (const Json& point : json.at("toe_points"))
      frame.toe_points.push_back({point[0].get<double>(), point[1].get<double>()});
  return frame;
}

}  // namespace

vision::Result<Camera> ReadCamera(const Json& json, const Where& where, const fs::path& folder) {
  Camera camera;
  camera.id = json.at("id").get<std::string>();
  vision::camera::Lens& lens = camera.lens;
  lens.model = *vision::camera::LensModelFromName(json.at("model").get<std::string>());
  lens.width_px = json.at("width").get<int>();
  lens.height_px = json.at("height").get<int>();
  lens.fx_px = json.at("fx").get<double>();
  lens.fy_px = json.at("fy").get<double>();
  lens.cx_px = json.at("cx").get<double>();
  lens.cy_px = json.at("cy").get<double>();
  lens.xi = Number(json, "xi").value_or(0);
  if (json.contains("distortion")) lens.distortion = json.at("distortion").get<std::vector<double>>();
  const auto edge_deg = Number(json, "max_angle_deg");
  if (!edge_deg && lens.model != vision::camera::LensModel::kPinhole)
    return where.Wrong("has no max_angle_deg; give the edge of its image circle, degrees from the optical axis.");
  lens.max_angle_deg = edge_deg.value_or(vision::camera::kWidestPinhole_deg);
  if (lens.model == vision::camera::LensModel::kOmni && !json.contains("xi"))
    return where.Wrong("has the model omni without xi; give xi (mirror parameter, >= 0).");
  if (auto broken = lens.Check()) return vision::BadInput(where.file + ": " + where.path + ": " + broken->message);
  if (!edge_deg) lens.max_angle_deg = vision::camera::PictureEdgeDeg(lens);
  if (const auto mask = Text(json, "mask")) camera.mask = Resolved(*mask, folder);
  camera.mirrored = json.value("mirrored", false);
  if (json.contains("calibration")) {
    const Json& c = json.at("calibration");
    camera.calibration =
        Calibration{Text(c, "date").value_or(""), Text(c, "target").value_or(""), Text(c, "lens_serial").value_or(""),
                    ReadScale(c, "scale_before"), ReadScale(c, "scale_after"),    Number(c, "sight_u_deg")};
  }
  return camera;
}

vision::Result<Recording> ReadRecording(const Json& json, const Where& where, const fs::path& folder) {
  Recording recording;
  recording.id = json.at("id").get<std::string>();
  recording.stage = json.at("stage").get<std::string>();
  recording.operator_name = Text(json, "operator").value_or("");
  recording.video_defaults = ReadDefaults(json);
  if (json.contains("frames") == json.contains("video"))
    return where.Wrong(json.contains("video") ? "has frames and video; give one of them."
                                              : "is empty; give frames (still pictures) or video (one file).");
  if (const auto video = Text(json, "video")) recording.video = Resolved(*video, folder);
  if (json.contains("frames"))
    for (const Json& frame : json.at("frames"))
      recording.frames.push_back(ReadFrame(frame, recording.video_defaults, folder));
  if (json.contains("mount")) recording.mount = MountFromJson(json.at("mount"));
  if (json.contains("light_section")) {
    const Json& light = json.at("light_section");
    recording.light_section =
        LightSection{Number(light, "distance_mm"), Number(light, "tilt_x_deg"), Number(light, "tilt_y_deg")};
  }
  if (json.contains("white")) {
    const Json& white = json.at("white");
    recording.white = WhiteTarget{Resolved(white.at("file").get<std::string>(), folder), {}};
    if (white.contains("box_px")) recording.white->box_px = white.at("box_px").get<std::vector<int>>();
  }
  return recording;
}

}  // namespace app::joint
