#include "vision/reading/film_frames.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "vision/base/median.h"
#include "vision/base/number.h"
#include "vision/base/says.h"
#include "vision/reading/look.h"

namespace vision::reading {
namespace {

/// A frame looked at that shows the weld well enough, with its distance.
struct Candidate {
  const scan::FrameLook* look;
  double distance_radii;
};

/// The frames in which the weld was looked for and seen, in order.
std::vector<const scan::FrameLook*> SeenIn(const scan::Scanned& scanned) {
  const scan::SortOptions sort;
  std::vector<const scan::FrameLook*> seen;
  for (const auto& look : scanned.looks)
    if (look.weld && scan::WeldSeen(*look.weld, sort.cue)) seen.push_back(&look);
  return seen;
}

/// Distance at a time between two frames that show the weld; nullopt where another looked for it in vain or they lie
/// too far apart.
std::optional<double> DistanceAt(const std::vector<const scan::FrameLook*>& seen, double time_s,
                                 const FilmOptions& options) {
  const auto after = std::find_if(seen.begin(), seen.end(),
                                  [&](const scan::FrameLook* look) { return look->time_s >= time_s - 1e-9; });
  if (after != seen.end() && (*after)->time_s - time_s < 1e-9) return (*after)->weld->distance_radii;
  if (after == seen.end() || after == seen.begin()) return std::nullopt;
  const scan::FrameLook &before = **(after - 1), &next = **after;
  const double apart_s = next.time_s - before.time_s;
  const bool in_vain =
      std::any_of(&before + 1, &next, [](const scan::FrameLook& look) { return look.weld.has_value(); });
  if (in_vain || apart_s > options.longest_gap_s) return std::nullopt;
  const double share = (time_s - before.time_s) / apart_s;
  return before.weld->distance_radii + share * (next.weld->distance_radii - before.weld->distance_radii);
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

/// Glare over the weld or, where that is not known, over the wall.
bool Glaring(const scan::FrameLook& look) {
  const bool known = look.weld && look.weld->glare >= 0;
  return known && look.weld->glare > scan::SortOptions().most_glare;
}

std::vector<Candidate> CandidatesOf(const scan::Scanned& scanned, const FilmOptions& options) {
  const auto seen = SeenIn(scanned);
  std::vector<Candidate> all;
  for (const auto& look : scanned.looks) {
    const auto distance = DistanceAt(seen, look.time_s, options);
    if (distance && Usable(scanned, look, options) && !Glaring(look)) all.push_back({&look, *distance});
  }
  double nearest = INFINITY;
  for (const Candidate& c : all)
    if (c.distance_radii >= options.nearest_radii) nearest = std::min(nearest, c.distance_radii);
  const double farthest = std::max(options.farthest_radii, nearest + options.travel_radii);
  std::vector<Candidate> near;
  for (const Candidate& c : all)
    if (c.distance_radii >= options.nearest_radii && c.distance_radii <= farthest) near.push_back(c);
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

Sentence Told(const std::vector<Candidate>& picked, bool stills) {
  double near = INFINITY, far = 0;
  for (const Candidate& p : picked) {
    near = std::min(near, p.distance_radii), far = std::max(far, p.distance_radii);
  }
  const auto moment = [&](const Candidate& p) -> Argument {
    if (stills) return Sentence{Says::kStill, {std::to_string(p.look->index + 1)}};
    return scan::ClockText(p.look->time_s);
  };
  return {Says::kFramesTaken,
          {picked.size(), moment(picked.front()), moment(picked.back()), NumberText(near, "%.1f"),
           NumberText(far, "%.1f")}};
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

}  // namespace

Status FilmOptions::Check() const {
  if (frames < 1 || frames > 200) return BadInput("FilmOptions::frames must be 1 to 200.");
  if (most_stills < frames) return BadInput("FilmOptions::most_stills must be at least frames.");
  if (!(nearest_radii >= 0 && nearest_radii < farthest_radii))
    return BadInput("FilmOptions::nearest_radii must be 0 or more and below farthest_radii.");
  if (!(travel_radii > 0)) return BadInput("FilmOptions::travel_radii must be above 0.");
  if (!(longest_gap_s > 0)) return BadInput("FilmOptions::longest_gap_s must be above 0 s.");
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
  chosen.told = Told(picked, scanned.info.kind == "stills");
  return chosen;
}

Result<FilmFrames> ChooseFrames(const std::filesystem::path& video, const FrameInput& input, const bore::Bore& bore,
                                const FilmOptions& options, const JobContext& job) {
  if (auto broken = options.Check()) return *broken;
  const auto setting = SettingOf(input);
  if (!setting.ok()) return setting.error();
  scan::CameraKnown camera{input.lens, bore.radius_mm, setting.value().mask, true};
  if (input.mirrored) {  // the film is looked at as it lies there: a mirrored lens sees it so
    camera.lens.cx_px = camera.lens.width_px - 1 - camera.lens.cx_px;
    if (!camera.mask.empty()) cv::flip(camera.mask, camera.mask, 1);
  }
  scan::ScanOptions scanning;
  scanning.weld_every_s = 0.5;
  scanning.structure = scan::Thorough();
  scanning.structure.key_every_s = 1;
  if (std::filesystem::is_directory(video)) scanning.weld_every_s = 2;  // a still stands for a second
  auto scanned = scan::Scan(video.string(), &camera, scanning, job);
  if (!scanned.ok()) return scanned.error();
  FilmFrames chosen = PickFrames(scanned.value(), options);
  for (const auto& text : scanned.value().burned_in) chosen.burned_in.push_back(text.place);
  if (!chosen.spans.empty()) return chosen;
  chosen.spans = EqualSpans(scanned.value().frames, options.frames);
  chosen.told = {Says::kNoWeldOnTheWay};
  return chosen;
}

}  // namespace vision::reading
