#include "vision/reading/film_frames.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <limits>
#include <opencv2/core/utility.hpp>

#include "vision/base/median.h"
#include "vision/reading/look.h"

namespace vision::reading {
namespace {

/// A frame looked at that shows the weld well enough, with its distance.
struct Candidate {
  const scan::FrameLook* look;
  double distance_radii;
};

bool ShowsWeld(const scan::FrameLook& look, const scan::SortOptions& sort) {
  return look.weld && look.weld->bore && look.weld->ring_strength >= sort.cue.min_strength &&
         look.weld->around >= sort.cue.min_around;
}

/// Distance at a time, between the two searched frames around it; nullopt where either shows no weld.
std::optional<double> DistanceAt(const std::vector<const scan::FrameLook*>& searched, double time_s,
                                 const scan::SortOptions& sort) {
  const auto after = std::find_if(searched.begin(), searched.end(),
                                  [&](const scan::FrameLook* look) { return look->time_s >= time_s - 1e-9; });
  if (after == searched.end()) {
    const bool shows = !searched.empty() && ShowsWeld(*searched.back(), sort);
    return shows ? std::optional(searched.back()->weld->distance_radii) : std::nullopt;
  }
  if (!ShowsWeld(**after, sort)) return std::nullopt;
  if (after == searched.begin() || (*after)->time_s - time_s < 1e-9) return (*after)->weld->distance_radii;
  const scan::FrameLook& before = **(after - 1);
  if (!ShowsWeld(before, sort)) return std::nullopt;
  const double share = (time_s - before.time_s) / ((*after)->time_s - before.time_s);
  return before.weld->distance_radii + share * ((*after)->weld->distance_radii - before.weld->distance_radii);
}

bool Usable(const scan::Scanned& scanned, const scan::FrameLook& look, const FilmOptions& options) {
  const scan::SortOptions sort;
  const double blurred_above =
      std::max(scanned.sorted.blurred_above_px, options.blurred_times * scanned.sorted.usual_blur_px);
  const bool damaged = std::any_of(scanned.damage.begin(), scanned.damage.end(), [&](const recording::Damage& bad) {
    return look.time_s >= bad.from_s && look.time_s <= bad.to_s;
  });
  return !damaged && look.bright >= sort.dark_below && look.blur_px <= blurred_above && !scan::ArcOn(look, sort);
}

std::vector<Candidate> CandidatesOf(const scan::Scanned& scanned, const FilmOptions& options) {
  const scan::SortOptions sort;
  std::vector<const scan::FrameLook*> searched;
  for (const auto& look : scanned.looks)
    if (look.weld) searched.push_back(&look);
  std::vector<Candidate> near, all;
  for (const auto& look : scanned.looks) {
    const auto distance = DistanceAt(searched, look.time_s, sort);
    if (!distance || !Usable(scanned, look, options)) continue;
    all.push_back({&look, *distance});
    if (*distance >= options.nearest_radii && *distance <= options.farthest_radii) near.push_back(all.back());
  }
  return near.empty() ? all : near;
}

/// The sharpest of each of equal steps of distance; where a step is empty, the sharpest of those left.
std::vector<Candidate> OverDistances(std::vector<Candidate> candidates, std::size_t most) {
  const auto sharper = [](const Candidate& a, const Candidate& b) { return a.look->blur_px < b.look->blur_px; };
  std::sort(candidates.begin(), candidates.end(), sharper);
  if (candidates.size() <= most) return candidates;
  const auto [least, largest] =
      std::minmax_element(candidates.begin(), candidates.end(),
                          [](const Candidate& a, const Candidate& b) { return a.distance_radii < b.distance_radii; });
  const double from = least->distance_radii, step = (largest->distance_radii - from) / static_cast<double>(most);
  std::vector<bool> filled(most, false);
  std::vector<Candidate> picked, left;
  for (const Candidate& candidate : candidates) {
    const double bin = step > 0 ? (candidate.distance_radii - from) / step : 0;
    const auto at = std::min(most - 1, static_cast<std::size_t>(bin));
    (filled[at] ? left : picked).push_back(candidate);
    filled[at] = true;
  }
  for (std::size_t i = 0; picked.size() < most && i < left.size(); ++i) picked.push_back(left[i]);
  return picked;
}

std::string Told(const std::vector<Candidate>& picked) {
  double first_s = INFINITY, last_s = 0, near = INFINITY, far = 0;
  for (const Candidate& p : picked) {
    first_s = std::min(first_s, p.look->time_s), last_s = std::max(last_s, p.look->time_s);
    near = std::min(near, p.distance_radii), far = std::max(far, p.distance_radii);
  }
  char text[200];
  std::snprintf(
      text, sizeof text,
      "%zu frames were taken between %s and %s, %.1f to %.1f bore radii before the weld: near, lit and sharp.",
      picked.size(), scan::ClockText(first_s).c_str(), scan::ClockText(last_s).c_str(), near, far);
  return text;
}

/// Frames between two that were looked at.
int StepOf(const scan::Scanned& scanned) {
  std::vector<double> steps;
  for (std::size_t i = 1; i < scanned.looks.size(); ++i)
    steps.push_back(static_cast<double>(scanned.looks[i].index - scanned.looks[i - 1].index));
  return steps.empty() ? 1 : std::max(1, static_cast<int>(MedianInPlace(steps)));
}

std::vector<recording::FrameSpan> EqualSpans(long frames, int parts) {
  std::vector<recording::FrameSpan> spans;
  for (int part = 0; part < parts; ++part)
    spans.push_back({static_cast<int>(frames * part / parts), static_cast<int>(frames * (part + 1) / parts - 1)});
  return spans;
}

/// The cue that a pose gives; none where it is not trusted.
scan::WeldCue CueOf(const Result<pose::Pose>& pose, double radius_mm) {
  if (!pose.ok() || !pose.value().trusted) return {};
  const double distance_mm = std::abs(pose.value().bore_from_cam.translation_mm.z());
  return {true, std::numeric_limits<double>::infinity(), 1, distance_mm / radius_mm};
}

/// The film's looks with cues by structure in the place of those by light: at the key frames alone.
Result<scan::Scanned> ByStructure(scan::Scanned scanned, const std::filesystem::path& video,
                                  const pose::FrameSetting& setting, const bore::Bore& bore, const FilmOptions& options,
                                  const JobContext& job) {
  auto frames = recording::ReadSharpest(video, {setting.lens.width_px, setting.lens.height_px},
                                        EqualSpans(scanned.frames, options.key_frames), nullptr, job);
  if (!frames.ok()) return frames.error();
  const auto& keys = frames.value();
  std::vector<scan::WeldCue> cues(keys.size());
  cv::parallel_for_(cv::Range(0, static_cast<int>(keys.size())), [&](const cv::Range& range) {
    for (auto k = static_cast<std::size_t>(range.start); k < static_cast<std::size_t>(range.end); ++k)
      cues[k] = CueOf(pose::FindPose(keys[k].image, bore, setting, {}, job), bore.radius_mm);
  });
  if (job.Cancelled()) return Cancelled();
  for (auto& look : scanned.looks) look.weld.reset();
  for (std::size_t k = 0; k < keys.size(); ++k) {
    const auto nearest = std::min_element(
        scanned.looks.begin(), scanned.looks.end(), [&](const scan::FrameLook& a, const scan::FrameLook& b) {
          return std::abs(a.index - keys[k].index) < std::abs(b.index - keys[k].index);
        });
    nearest->weld = cues[k];
  }
  return scanned;
}

}  // namespace

Status FilmOptions::Check() const {
  if (frames < 1 || frames > 200) return BadInput("FilmOptions::frames must be 1 to 200.");
  if (key_frames < 2 || key_frames > 200) return BadInput("FilmOptions::key_frames must be 2 to 200.");
  if (!(nearest_radii >= 0 && nearest_radii < farthest_radii))
    return BadInput("FilmOptions::nearest_radii must be 0 or more and below farthest_radii.");
  if (!(blurred_times > 1)) return BadInput("FilmOptions::blurred_times must be above 1.");
  return std::nullopt;
}

FilmFrames PickFrames(const scan::Scanned& scanned, const FilmOptions& options) {
  auto picked = OverDistances(CandidatesOf(scanned, options), static_cast<std::size_t>(options.frames));
  FilmFrames chosen;
  if (picked.empty()) return chosen;
  std::sort(picked.begin(), picked.end(),
            [](const Candidate& a, const Candidate& b) { return a.look->time_s < b.look->time_s; });
  const int half = (StepOf(scanned) - 1) / 2;
  for (const Candidate& p : picked) {
    const int at = static_cast<int>(p.look->index);
    chosen.spans.push_back({std::max(0, at - half), at + half});
  }
  chosen.told = Told(picked);
  return chosen;
}

Result<FilmFrames> ChooseFrames(const std::filesystem::path& video, const FrameInput& input, const bore::Bore& bore,
                                const FilmOptions& options, const JobContext& job) {
  if (auto broken = options.Check()) return *broken;
  const auto setting = SettingOf(input);
  if (!setting.ok()) return setting.error();
  const scan::CameraKnown camera{input.lens, bore.radius_mm, setting.value().mask, true};
  scan::ScanOptions scanning;
  scanning.weld_every_s = 0.5;
  auto scanned = scan::Scan(video.string(), &camera, scanning, job.Part(0, 0.6));
  if (!scanned.ok()) return scanned.error();
  const long frames = scanned.value().frames;
  FilmFrames chosen = PickFrames(scanned.value(), options);
  if (!chosen.spans.empty()) return chosen;
  auto searched = ByStructure(std::move(scanned).value(), video, setting.value(), bore, options, job.Part(0.6, 1));
  if (!searched.ok()) return searched.error();
  chosen = PickFrames(searched.value(), options);
  if (!chosen.spans.empty()) return chosen;
  chosen.spans = EqualSpans(frames, options.frames);
  chosen.told = "no weld was found on the way, so the sharpest frames of equal stretches of the film were taken.";
  return chosen;
}

}  // namespace vision::reading
