#include "app/viewer/timeline_data.h"

#include <algorithm>
#include <nlohmann/json.hpp>

#include "vision/base/file.h"
#include "vision/recording/frame_source.h"

namespace app::viewer {
namespace {

namespace fs = std::filesystem;
using vision::recording::StreamFrame;

vision::Result<vision::scan::CameraKnown> KnownCamera(const joint::Joint& joint, const joint::Camera& camera) {
  vision::scan::CameraKnown known;
  known.lens = camera.lens;
  known.radius_mm = 0.5 * joint.pipe.inside_diameter.value_mm;
  known.calibrated = true;
  if (!camera.mask) return known;
  auto mask = vision::recording::ReadMask(*camera.mask, {camera.lens.width_px, camera.lens.height_px});
  if (!mask.ok()) return mask.error();
  known.mask = std::move(mask).value();
  return known;
}

/// Finds the recording in the joint file beside it. @return Its camera; nullopt when no joint file names it.
vision::Result<std::optional<vision::scan::CameraKnown>> LookUpJoint(Timeline& timeline) {
  const auto request = Resolve(timeline.source);
  if (!request.ok() || request.value().bare()) return std::optional<vision::scan::CameraKnown>();
  const auto joint = joint::LoadJoint(request.value().joint_file);
  if (!joint.ok()) return joint.error();
  std::error_code failed;
  for (const auto& recording : joint.value().recordings) {
    if (!recording.video || !fs::equivalent(*recording.video, timeline.source, failed)) continue;
    timeline.joint_file = request.value().joint_file;
    timeline.recording = recording.id;
    const auto* camera = joint.value().FindCamera(recording.video_defaults.camera);
    if (!camera) break;
    auto known = KnownCamera(joint.value(), *camera);
    if (!known.ok()) return known.error();
    return std::optional(std::move(known).value());
  }
  return std::optional<vision::scan::CameraKnown>();
}

/// The sharpest frame of each of equal parts of a stretch.
vision::Result<std::vector<StreamFrame>> SharpestOf(const std::string& source, double from_s, double to_s, int parts,
                                                    const vision::JobContext& job) {
  vision::recording::StreamOptions options;
  options.stop_after_s = to_s + 1;
  auto stream = vision::recording::FrameStream::Open(source, options);
  if (!stream.ok()) return stream.error();
  std::vector<StreamFrame> best(static_cast<std::size_t>(parts));
  std::vector<double> sharpness(best.size(), -1);
  for (;;) {
    auto next = stream.value().Next(job);
    if (!next.ok()) return next.error();
    if (!next.value() || next.value()->time_s > to_s) break;
    if (next.value()->time_s < from_s) continue;
    const double share = (next.value()->time_s - from_s) / std::max(1e-9, to_s - from_s);
    const auto part = std::min(best.size() - 1, static_cast<std::size_t>(share * parts));
    const double sharp = vision::recording::Sharpness(next.value()->image);
    if (sharp <= sharpness[part]) continue;
    sharpness[part] = sharp;
    best[part] = std::move(*next.value());
    best[part].image = best[part].image.clone();
  }
  std::erase_if(best, [](const StreamFrame& frame) { return frame.image.empty(); });
  if (best.empty()) return vision::BadInput(source + " gives no frame in the stretch proposed; sort it again.");
  return best;
}

vision::Result<std::vector<fs::path>> WriteFrames(const std::vector<StreamFrame>& frames, const fs::path& folder) {
  if (auto failed = vision::MakeFolder(folder)) return *failed;
  std::vector<fs::path> files;
  for (const auto& frame : frames) {
    char name[40];
    std::snprintf(name, sizeof name, "frame_%07ld.png", frame.index);
    if (auto bad = vision::recording::WritePicture(folder / name, frame.image)) return *bad;
    files.push_back(folder / name);
  }
  return files;
}

/// "0m03s" of 3.2 s: fits into a file's name.
std::string NameOfTime(double time_s) {
  char text[40];
  std::snprintf(text, sizeof text, "%dm%02ds", static_cast<int>(time_s) / 60, static_cast<int>(time_s) % 60);
  return text;
}

vision::Result<fs::path> WriteJoint(const Timeline& timeline, const std::vector<fs::path>& stills,
                                    const std::string& tail) {
  auto text = vision::ReadFileWhole(timeline.joint_file);
  if (!text.ok()) return text.error();
  auto json = nlohmann::ordered_json::parse(text.value(), nullptr, false);
  if (json.is_discarded()) return vision::BadInput(timeline.joint_file.string() + " is no JSON any more.");
  const fs::path folder = fs::absolute(timeline.joint_file).parent_path();
  nlohmann::ordered_json kept = nlohmann::ordered_json::array();
  for (auto recording : json["recordings"]) {
    if (recording.value("id", "") != timeline.recording) continue;
    recording.erase("video");
    recording["frames"] = nlohmann::ordered_json::array();
    for (const auto& still : stills)
      recording["frames"].push_back({{"file", fs::absolute(still).lexically_relative(folder).generic_string()}});
    kept.push_back(recording);
  }
  if (kept.empty()) return vision::BadInput(timeline.joint_file.string() + " does not name this recording any more.");
  json["recordings"] = kept;
  const fs::path file = folder / (timeline.joint_file.stem().string() + tail + ".json");
  if (auto bad = vision::WriteFileWhole(file, json.dump(1) + "\n")) return *bad;
  return file;
}

}  // namespace

vision::Result<Timeline> SortRecording(const fs::path& source, const vision::JobContext& job) {
  Timeline timeline{source, {}, {}, {}};
  const auto camera = LookUpJoint(timeline);
  if (!camera.ok()) return camera.error();
  auto scanned = vision::scan::Scan(source.string(), camera.value() ? &*camera.value() : nullptr, {}, job);
  if (!scanned.ok()) return scanned.error();
  timeline.scanned = std::move(scanned).value();
  return timeline;
}

vision::Result<Request> TakeStretch(const Timeline& timeline, std::size_t weld, int frames,
                                    const vision::JobContext& job) {
  if (weld >= timeline.scanned.sorted.welds.size() || !timeline.scanned.sorted.welds[weld].proposed)
    return vision::BadInput("No stretch of that weld is fit for measuring; the reasons stand on the band.");
  const auto& found = timeline.scanned.sorted.welds[weld];
  auto taken = SharpestOf(timeline.source.string(), found.best_from_s, found.best_to_s, std::max(1, frames), job);
  if (!taken.ok()) return taken.error();
  const std::string tail = "-stretch-" + NameOfTime(found.best_from_s);
  const fs::path folder = fs::absolute(timeline.source).parent_path() / (timeline.source.stem().string() + tail);
  auto stills = WriteFrames(taken.value(), folder);
  if (!stills.ok()) return stills.error();
  Request request;
  request.stills = stills.value();
  if (timeline.joint_file.empty()) return request;
  auto joint = WriteJoint(timeline, stills.value(), tail);
  if (!joint.ok()) return joint.error();
  return Request{joint.value(), {}};
}

}  // namespace app::viewer
