#include "vision/scan/scan.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <future>
#include <opencv2/imgproc.hpp>
#include <stop_token>

#include "vision/recording/video_check.h"

namespace vision::scan {
namespace {

int ReduceFor(int width, int wanted) {
  int reduce = 1;
  while (reduce < 8 && width / (2 * reduce) >= wanted) reduce *= 2;
  return reduce;
}

cv::Mat1b SmallGrey(const cv::Mat& picture, int width) {
  cv::Mat grey = picture, small;
  if (picture.channels() == 3) cv::cvtColor(picture, grey, cv::COLOR_BGR2GRAY);
  const double scale = std::min(1.0, static_cast<double>(width) / grey.cols);
  cv::resize(grey, small, {}, scale, scale, cv::INTER_AREA);
  return small;
}

/// A picture in which something can be seen at the size that is looked at.
bool CanBeLookedAt(cv::Size size) {
  constexpr int kLeast_px = 64, kLongest = 8;  // a side; the longer side over the shorter
  const int shorter = std::min(size.width, size.height), longer = std::max(size.width, size.height);
  return shorter >= kLeast_px && longer <= kLongest * shorter;
}

/// Can a weld be in this picture? What is dark or lit by an arc is not searched.
bool WorthSearching(const FrameLook& look, const SortOptions& o) {
  return look.bright >= o.dark_below && !ArcOn(look, o);
}

using Damages = std::vector<recording::Damage>;

/// What the decoder passes over in silence: found beside the scan, by decoding once more.
struct LookedForBeside {
  std::stop_source stop;
  std::future<Result<Damages>> found;

  ~LookedForBeside() { stop.request_stop(); }
  void Start(const std::string& source, double until_s) {
    found = std::async(std::launch::async, [source, until_s, token = stop.get_token()] {
      return recording::DamageIn(source, until_s, JobContext(token, {}));
    });
  }
};

/// A frame in a damaged stretch shows nothing that is to be believed.
void TakeOut(std::vector<FrameLook>& looks, const Damages& damages) {
  std::erase_if(looks, [&](const FrameLook& look) {
    return std::any_of(damages.begin(), damages.end(), [&](const recording::Damage& bad) {
      return look.time_s >= bad.from_s - 1e-6 && look.time_s < bad.to_s - 1e-6;
    });
  });
}

void AddNotes(Scanned& scanned) {
  if (!scanned.camera_known)
    scanned.notes.push_back(
        "No camera was given: a weld is told by a ring in the picture's middle with a guessed lens, distances are not "
        "known; give --joint for the full search.");
  scanned.notes.push_back("Times: " + scanned.info.clock + ".");
  if (scanned.sorted.welds.size() > 1)
    scanned.notes.push_back(
        "Where the camera stood along the pipe is not known: one weld looked at twice with travel "
        "between is counted twice.");
}

}  // namespace

Status ScanOptions::Check() const {
  if (auto broken = burned_in.Check()) return broken;
  if (!(look_every_s > 0)) return BadInput("ScanOptions::look_every_s must be above 0 s.");
  if (!(weld_every_s >= look_every_s)) return BadInput("ScanOptions::weld_every_s must be at least look_every_s.");
  if (!(width_px >= 160 && width_px <= 480)) return BadInput("ScanOptions::width_px must be between 160 and 480.");
  if (!(stop_after_s >= 0)) return BadInput("ScanOptions::stop_after_s must be 0 s or more.");
  if (auto broken = structure.Check()) return broken;
  return sort.Check();
}

Result<Scanned> Scan(const std::string& source, const CameraKnown* camera, const ScanOptions& options,
                     const JobContext& job) {
  if (auto broken = options.Check()) return *broken;
  recording::StreamOptions reading;
  reading.look_every_s = options.look_every_s;
  if (options.stop_after_s > 0) reading.stop_after_s = options.stop_after_s;
  int full_width = camera ? camera->lens.width_px : 0;
  if (!full_width) {
    auto peek = recording::FrameStream::Open(source, reading);
    if (!peek.ok()) return peek.error();
    full_width = peek.value().info().size.width;
  }
  const bool by_structure = options.structure.on && camera && camera->calibrated && camera->radius_mm > 0;
  reading.reduce = ReduceFor(full_width, by_structure ? options.structure.width_px : options.width_px);
  auto opened = recording::FrameStream::Open(source, reading);
  if (!opened.ok()) return opened.error();
  auto& stream = opened.value();
  Scanned scanned;
  scanned.source = source;
  scanned.camera_known = camera != nullptr;
  std::optional<FrameLooker> looker;
  std::optional<BurnedInFinder> burned_in;
  std::optional<StructureCue> structure;
  if (by_structure) structure.emplace(*camera, options.structure);
  CameraKnown known;
  cv::Size small;
  double reduce = 1, next_search_s = 0;
  LookedForBeside beside;
  for (;;) {
    auto next = stream.Next(job);
    if (!next.ok()) return next.error();
    if (!next.value()) break;
    const auto& frame = *next.value();
    const cv::Size whole(frame.image.cols * reading.reduce, frame.image.rows * reading.reduce);
    if (!CanBeLookedAt(whole)) {
      if (!looker)
        return BadInput(source + " is " + std::to_string(whole.width) + " x " + std::to_string(whole.height) +
                        " px; pictures of at least 64 px a side, none more than 8 times as long as wide, are wanted.");
      scanned.damage.push_back({frame.time_s, frame.time_s, 1, "another picture size"});
      continue;
    }
    const cv::Mat1b grey = SmallGrey(frame.image, options.width_px);
    if (!looker) {
      const cv::Size size = stream.info().size;
      if (camera) known = *camera;
      if (camera && size != cv::Size(known.lens.width_px, known.lens.height_px))
        return BadInput(source + " is " + std::to_string(size.width) + " x " + std::to_string(size.height) +
                        " px; the camera in the joint file is " + std::to_string(known.lens.width_px) + " x " +
                        std::to_string(known.lens.height_px) + " px.");
      if (stream.info().silent) beside.Start(source, reading.stop_after_s);
      small = grey.size();
      reduce = static_cast<double>(size.width) / small.width;
      looker.emplace(reduce);
      burned_in.emplace(reduce, options.burned_in);
    }
    if (grey.size() != small) {
      scanned.damage.push_back({frame.time_s, frame.time_s, 1, "another picture size"});
      continue;
    }
    auto look = looker->Look(grey, frame.time_s, frame.index, burned_in->Standing());
    if (frame.time_s + 1e-6 >= next_search_s && WorthSearching(look, options.sort)) {
      if (!camera) known = GuessedCamera(stream.info().size, grey);
      if (structure) look.weld = structure->Look(frame.image, reading.reduce, frame.time_s, job);
      if (!structure || (look.weld && !look.weld->bore)) {
        const WeldCue by_light = FindWeldCue(grey, known, reduce, options.sort.cue);
        look.weld = structure ? WeldCue{by_light.bore} : by_light;
      }
      next_search_s = frame.time_s + options.weld_every_s;
    }
    burned_in->Add(grey, look.time_s, look.bright > 0.1);
    scanned.looks.push_back(look);
  }
  if (scanned.looks.empty()) return BadInput(source + " holds no frame that can be decoded; it may be cut short.");
  scanned.info = stream.info();
  scanned.frames = stream.frames_passed();
  scanned.looked_at = static_cast<long>(scanned.looks.size());
  for (const auto& bad : stream.damage()) scanned.damage.push_back(bad);
  if (beside.found.valid()) {
    while (beside.found.wait_for(std::chrono::milliseconds(50)) != std::future_status::ready)
      if (job.Cancelled()) return Cancelled();
    auto found = beside.found.get();
    if (!found.ok()) return found.error();
    TakeOut(scanned.looks, found.value());
    for (auto& bad : found.value()) scanned.damage.push_back(bad);
    if (scanned.looks.empty()) return BadInput(source + " is damaged in every frame that was looked at.");
  }
  scanned.duration_s = stream.time_s();
  scanned.burned_in = burned_in->Finish();
  if (structure) SettleCues(scanned.looks, options.structure);
  scanned.sorted = Sort(scanned.looks, scanned.damage, reduce, camera && camera->calibrated, options.sort);
  AddNotes(scanned);
  return scanned;
}

}  // namespace vision::scan
