#include "vision/reading/gather.h"

#include "vision/base/file.h"
#include "vision/reading/film_frames.h"
#include "vision/recording/decode.h"
#include "vision/recording/frame_source.h"

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
  if (turned > 0)
    reading.notes.push_back("Recording " + input.id + ": " + std::to_string(turned) +
                            " stills ask to be turned (EXIF orientation " + std::to_string(tag) +
                            "); they were read as the sensor laid them down.");
}

/// The frames of a video that the weld is measured by; which and why is a note.
Result<std::vector<recording::Frame>> FramesOfFilm(const RecordingInput& recording, const bore::Bore& bore,
                                                   const MeasureOptions& options, Reading& reading,
                                                   const JobContext& job) {
  const std::string name = recording.video->filename().string();
  const auto& setting = recording.frames.front();
  auto chosen = ChooseFrames(*recording.video, setting, bore, {.frames = options.video_frames}, job.Part(0, 0.5));
  if (!chosen.ok()) return chosen.error();
  reading.notes.push_back(name + ": " + chosen.value().told);
  recording::VideoDamage damage;
  auto frames = recording::ReadSharpest(*recording.video, {setting.lens.width_px, setting.lens.height_px},
                                        chosen.value().spans, &damage, job.Part(0.5, 1));
  if (frames.ok() && !damage.Text().empty()) reading.notes.push_back(name + ": " + damage.Text());
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
      for (const auto& frame : recording.frames) waiting.push_back({frame, std::nullopt, which});
      continue;
    }
    auto frames = FramesOfFilm(recording, input.bore, options, reading, job);
    if (!frames.ok()) return frames.error();
    for (auto& frame : frames.value()) waiting.push_back({recording.frames.front(), std::move(frame), which});
  }
  if (waiting.size() > static_cast<std::size_t>(options.max_frames))
    return BadInput("The recordings hold " + std::to_string(waiting.size()) + " frames; one run takes at most " +
                    std::to_string(options.max_frames) + ".");
  return waiting;
}

}  // namespace vision::reading
