#include "vision/reading/resolving.h"

#include <algorithm>
#include <cmath>

#include "vision/base/median.h"
#include "vision/base/says.h"
#include "vision/bore/angle.h"
#include "vision/bore/stations.h"
#include "vision/reading/explain.h"
#include "vision/recording/frame_source.h"

namespace vision::reading {
namespace {

struct Placed {
  unroll::Strip strip;
  std::string how;
};

/// The strip of one frame: by its given pose, else as Measure finds it.
Result<Placed> Place(const recording::Frame& frame, const FrameInput& setting, const MeasureInput& input,
                     const MeasureOptions& options, const JobContext& job) {
  if (setting.known_pose) {
    const double reach = options.zone_mm + 5;
    const auto grid = unroll::StripGrid::Over(input.bore.radius_mm, -reach, reach, options.pitch_mm);
    auto strip = unroll::Unroll(frame.image, unroll::BuildMap(setting.lens, *setting.known_pose, grid), 0, {}, job);
    if (!strip.ok()) return strip.error();
    return Placed{std::move(strip).value(), "given in the joint file"};
  }
  std::optional<pose::Sought> sought;
  auto look = TakeLook(frame, setting, input, options, job, sought);
  if (!look.ok()) return look.error();
  return Placed{look.value().strip, look.value().pose.how};
}

Status Add(const recording::Frame& frame, const FrameInput& setting, const MeasureInput& input,
           const MeasureOptions& options, const resolve::ResolveOptions& resolving, const JobContext& job,
           std::vector<unroll::Strip>& strips, Resolving& result) {
  auto placed = Place(frame, setting, input, options, job);
  if (!placed.ok() && placed.error().code != ErrorCode::kNotFound) return placed.error();
  if (!placed.ok()) {
    result.notes.push_back(EnglishOf({Says::kRefused, {frame.name, SaidBy(placed.error())}}));
    return std::nullopt;
  }
  auto& strip = placed.value().strip;
  strip.source_frame.setTo(static_cast<short>(strips.size()), strip.source_frame >= 0);
  strips.push_back(std::move(strip));
  result.sharpness.push_back(resolve::MeasureSharpness(frame.image, resolving));
  result.frames.push_back(frame.name);
  result.how.push_back(placed.value().how);
  if (!result.sharpness.back().measured)
    result.notes.push_back(frame.name + ": too few edges to measure its sharpness; a blur of " +
                           std::to_string(resolving.assumed_blur_px).substr(0, 4) + " px was assumed.");
  return std::nullopt;
}

Status AddAll(const RecordingInput& recording, const MeasureInput& input, const MeasureOptions& options,
              const resolve::ResolveOptions& resolving, const JobContext& job, std::vector<unroll::Strip>& strips,
              Resolving& result) {
  if (recording.video) {
    const auto& setting = recording.frames.front();
    auto frames = recording::ReadVideo(*recording.video, {setting.lens.width_px, setting.lens.height_px},
                                       options.video_frames, nullptr, job);
    if (!frames.ok()) return frames.error();
    for (const auto& frame : frames.value())
      if (auto failed = Add(frame, setting, input, options, resolving, job, strips, result)) return failed;
    return std::nullopt;
  }
  for (const auto& setting : recording.frames) {
    auto frame = recording::ReadStill(setting.file, {setting.lens.width_px, setting.lens.height_px});
    if (!frame.ok()) return frame.error();
    if (auto failed = Add(frame.value(), setting, input, options, resolving, job, strips, result)) return failed;
  }
  return std::nullopt;
}

}  // namespace

Result<Resolving> Resolve(const MeasureInput& input, const MeasureOptions& options,
                          const resolve::ResolveOptions& resolving, const JobContext& job) {
  if (auto broken = options.Check()) return *broken;
  if (auto broken = resolving.Check()) return *broken;
  Resolving result;
  std::vector<unroll::Strip> strips;
  for (const auto& recording : input.recordings)
    if (auto failed = AddAll(recording, input, options, resolving, job, strips, result)) return *failed;
  if (strips.empty())
    return NotFound("no frame of this recording could be placed in the bore" +
                    (result.notes.empty() ? std::string(".") : ": " + result.notes.front()) +
                    " Where there is no weld in the picture, give the frame's pose in the joint file.");
  auto merged = unroll::Merge(strips);
  if (!merged.ok()) return merged.error();
  result.strip = std::move(merged).value();
  result.smallest_line_mm = resolve::SmallestLineMm(result.strip, result.sharpness, resolving);
  return result;
}

double MedianAtBead(const unroll::StripGrid& grid, const cv::Mat1f& values, double half_mm, int every) {
  std::vector<float> told;
  const int from = std::max(0, static_cast<int>(grid.Row(-half_mm))),
            to = std::min(grid.rows - 1, static_cast<int>(grid.Row(half_mm)));
  for (int row = from; row <= to; ++row)
    for (int column = 0; column < grid.columns; column += every)
      if (const float value = values(row, column); value == value) told.push_back(value);
  return told.empty() ? kNotMeasured : static_cast<double>(MedianInPlace(told));
}

Unresolved UnresolvedIn(const unroll::StripGrid& grid, const cv::Mat1f& smallest_line_mm,
                        const resolve::ResolveOptions& options) {
  const cv::Mat1b fails(smallest_line_mm > options.line_mm);  // NaN compares false: not seen is not seen already
  return {grid, fails, {Says::kLineNotShown, {Rounded(options.line_mm)}}};
}

bool Unresolved::At(std::size_t line, double z_mm) const {
  const double row = grid.Row(std::isfinite(z_mm) ? z_mm : 0.0);
  return fails(std::clamp(static_cast<int>(std::lround(row)), 0, grid.rows - 1),
               grid.NearestColumn(static_cast<double>(line) * bore::kStationLine_deg)) != 0;
}

std::vector<bool> Unresolved::Zone(double zone_mm) const {
  const int from = std::max(0, static_cast<int>(grid.Row(-zone_mm))),
            to = std::min(grid.rows - 1, static_cast<int>(grid.Row(zone_mm)));
  std::vector<bool> zone;
  for (int line = 0; line < bore::kStationLines; ++line) {
    const int column = grid.NearestColumn(line * bore::kStationLine_deg);
    int failing = 0;
    for (int row = from; row <= to; ++row) failing += fails(row, column) != 0;
    zone.push_back(failing > 0.1 * (to - from + 1));
  }
  return zone;
}

}  // namespace vision::reading
