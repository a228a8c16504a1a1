#include "vision/reading/gather.h"

#include <algorithm>
#include <cmath>

#include "vision/base/file.h"
#include "vision/base/says.h"
#include "vision/reading/film_frames.h"
#include "vision/recording/decode.h"
#include "vision/recording/frame_source.h"
#include "vision/recording/frame_stream.h"

namespace vision::reading {
namespace {

/// Says of stills that ask to be turned (EXIF orientation) that they are not: the sensor's rows were calibrated.
void NoteTurned(const RecordingInput& input, Reading& reading) {
  int turned = 0, tag = 1;
  for (const auto& frame : input.frames) {
    if (input.video) break;
    const auto bytes = ReadFileWhole(frame.file);
    const int told = bytes.ok() ? recording::OrientationOf(bytes.value()) : 1;
    turned += told != 1;
    if (told != 1) tag = told;
  }
  if (turned > 0) reading.notes.push_back({Says::kStillsTurned, {input.id, turned, tag}});
}

/// The frames of a video that the weld is measured by; which and why is a note.
Result<std::vector<Waiting>> FramesOfFilm(const RecordingInput& recording, std::size_t which, const bore::Bore& bore,
                                          const MeasureOptions& options, Reading& reading, const JobContext& job) {
  const std::string name = recording.video->filename().string();
  const auto& setting = recording.frames.front();
  auto chosen = ChooseFrames(*recording.video, setting, bore, {.frames = options.video_frames}, job.Part(0, 0.5));
  if (!chosen.ok()) return chosen.error();
  reading.notes.push_back({Says::kOfFilm, {name, chosen.value().told}});
  recording::VideoDamage damage;
  auto frames = recording::ReadSharpest(*recording.video, {setting.lens.width_px, setting.lens.height_px},
                                        chosen.value().spans, &damage, job.Part(0.5, 1));
  if (!frames.ok()) return frames.error();
  if (const Sentence hurt = damage.Said(); !hurt.empty()) reading.notes.push_back({Says::kOfFilm, {name, hurt}});
  FrameInput covered = setting;
  for (cv::Rect box : chosen.value().burned_in) {
    if (covered.mirrored) box.x = setting.lens.width_px - box.x - box.width;
    covered.covered_px.push_back(box);
  }
  if (!covered.covered_px.empty()) reading.notes.push_back({Says::kBurnedIn, {name, covered.covered_px.size()}});
  std::vector<Waiting> waiting;
  for (auto& frame : frames.value()) waiting.push_back({covered, std::move(frame), which});
  return waiting;
}

/// Pictures of one camera looking one way, all that lie in their folder, in the order of their names; empty where they
/// are not that.
std::filesystem::path FolderOf(const RecordingInput& recording) {
  const auto& first = recording.frames.front();
  const auto folder = first.file.parent_path();
  const auto alike = [&](const FrameInput& frame) {
    return frame.file.parent_path() == folder && frame.facing == first.facing && frame.lens.fx_px == first.lens.fx_px &&
           frame.lens.width_px == first.lens.width_px && !frame.known_pose && !frame.shot && frame.toe_points.empty();
  };
  const auto& frames = recording.frames;
  const bool in_order = std::is_sorted(frames.begin(), frames.end(),
                                       [](const FrameInput& a, const FrameInput& b) { return a.file < b.file; });
  if (!in_order || !std::all_of(frames.begin(), frames.end(), alike)) return {};
  const recording::StreamOptions a_second;
  auto stream = recording::FrameStream::Open(folder.string(), a_second);
  if (!stream.ok()) return {};
  const auto pictures = std::lround(stream.value().info().duration_s * a_second.stills_per_s);
  return pictures == static_cast<long>(frames.size()) ? folder : std::filesystem::path();
}

/// Of more stills than a push takes, those that a film's frames would be chosen by; which and why is a note.
Result<std::vector<FrameInput>> FramesOfStills(const RecordingInput& recording, const bore::Bore& bore,
                                               const MeasureOptions& options, Reading& reading, const JobContext& job) {
  const FilmOptions film{.frames = options.video_frames};
  if (recording.frames.size() <= static_cast<std::size_t>(film.most_stills)) return recording.frames;
  const auto folder = FolderOf(recording);
  if (folder.empty()) return recording.frames;
  auto chosen = ChooseFrames(folder, recording.frames.front(), bore, film, job);
  if (!chosen.ok()) return chosen.error();
  reading.notes.push_back({Says::kOfStills, {recording.id, recording.frames.size(), chosen.value().told}});
  std::vector<FrameInput> frames;
  for (const auto& span : chosen.value().spans) {
    const auto middle = static_cast<std::size_t>((span.first + span.last) / 2);
    if (middle < recording.frames.size()) frames.push_back(recording.frames[middle]);
  }
  return frames;
}

}  // namespace

Result<std::vector<Waiting>> Gather(const MeasureInput& input, const MeasureOptions& options, Reading& reading,
                                    const JobContext& job) {
  std::vector<Waiting> waiting;
  for (std::size_t which = 0; which < input.recordings.size(); ++which) {
    const auto& recording = input.recordings[which];
    reading.recordings.push_back(recording.id);
    reading.stage = recording.stage;
    if (recording.frames.empty())
      return BadInput("recording " + recording.id + " holds no frame; it needs at least one.");
    NoteTurned(recording, reading);
    if (recording.light_section) {  // read by itself: TakeLight
      continue;
    }
    if (!recording.video) {
      auto frames = FramesOfStills(recording, input.bore, options, reading, job);
      if (!frames.ok()) return frames.error();
      for (const auto& frame : frames.value()) waiting.push_back({frame, std::nullopt, which});
      continue;
    }
    auto frames = FramesOfFilm(recording, which, input.bore, options, reading, job);
    if (!frames.ok()) return frames.error();
    std::move(frames.value().begin(), frames.value().end(), std::back_inserter(waiting));
  }
  if (waiting.size() > static_cast<std::size_t>(options.max_frames))
    return BadInput("The recordings hold " + std::to_string(waiting.size()) + " frames; one run takes at most " +
                    std::to_string(options.max_frames) + ".");
  return waiting;
}

}  // namespace vision::reading
