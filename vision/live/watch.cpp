#include "vision/live/watch.h"

#include <algorithm>
#include <cmath>

#include "vision/base/range.h"

namespace vision::live {

using Clock = std::chrono::steady_clock;

namespace {

double Ms(Clock::duration d) { return std::chrono::duration<double, std::milli>(d).count(); }
double Seconds(Clock::duration d) { return std::chrono::duration<double>(d).count(); }

/// Welding or looking, with a dead band and a few frames of patience, so that a spark switches nothing.
class SettingNow {
 public:
  Setting Of(double light, const WatchOptions& options) {
    const bool other = now_ == Setting::kLooking ? light > options.arc_light : light < options.lamp_light;
    against_ = other ? against_ + 1 : 0;
    if (against_ < options.steady_frames) return now_;
    against_ = 0;
    return now_ = now_ == Setting::kLooking ? Setting::kWelding : Setting::kLooking;
  }

 private:
  Setting now_ = Setting::kLooking;
  int against_ = 0;
};

/// One run.
class Run {
 public:
  Run(const WatchOptions& options, const WatchListener& listener)
      : options_(options),
        listener_(listener),
        tracker_(options.bore, options.setting, options.tracker),
        strip_(options.bore.radius_mm, options.strip),
        toes_(options.bore.radius_mm, options.setting.facing != pose::Facing::kMinusZ, options.toes) {
    if (options.record) recorder_.emplace(*options.record);
    figures_.memory_start_mib = ResidentMib();
  }

  Result<Watched> Go(const JobContext& job);

 private:
  void Take(const Grabbed& grabbed);
  std::optional<Tracked> PoseOf(const Grabbed& grabbed, const Drawing& drawing, Setting setting, std::string* why);
  Hint HintFor(const std::optional<Tracked>& tracked, Setting setting, double now_s) const;
  void Gather(const Reader& reader);
  double Now() const { return Seconds(Clock::now() - started_); }

  const WatchOptions& options_;
  const WatchListener& listener_;
  Tracker tracker_;
  GrowingStrip strip_;
  ToesNow toes_;
  SettingNow setting_;
  std::optional<Recorder> recorder_;
  WatchFigures figures_;
  std::map<Hint, std::int64_t> hints_;
  Hint hint_ = Hint::kNoPicture;
  double new_wall_s_ = 0, searched_s_ = -1e9, covered_ = 0;
  Clock::time_point started_ = Clock::now();
};

std::optional<Tracked> Run::PoseOf(const Grabbed& grabbed, const Drawing& drawing, Setting setting, std::string* why) {
  const bool may_search = setting == Setting::kLooking && Now() - searched_s_ >= options_.search_every_s;
  auto tracked = tracker_.Follow(grabbed.image, drawing, may_search);
  if (tracked.ok()) {
    if (tracked.value().found_afresh) searched_s_ = Now();
    return tracked.value();
  }
  if (may_search) searched_s_ = Now();
  *why = tracked.error().message;
  return std::nullopt;
}

Hint Run::HintFor(const std::optional<Tracked>& tracked, Setting setting, double now_s) const {
  if (setting == Setting::kWelding) return Hint::kWelding;
  if (!tracked) return Hint::kLookingForWeld;
  const double radius = options_.bore.radius_mm, off = tracked->pose.translation_mm.head<2>().norm();
  if (radius - off < options_.close_share * radius) return Hint::kTooClose;
  if (tracked->moved_px > options_.blur_share * options_.setting.lens.width_px) return Hint::kHoldStill;
  if (covered_ > 0.99) return Hint::kCovered;
  return now_s - new_wall_s_ > options_.still_s ? Hint::kMoveOn : Hint::kGood;
}

void Run::Take(const Grabbed& grabbed) {
  const auto a = Clock::now();
  const Drawing drawing = MakeDrawing(grabbed.image);
  const Setting setting = setting_.Of(LightInFew(drawing.grey), options_);
  const auto b = Clock::now();
  std::string why;
  const auto tracked = PoseOf(grabbed, drawing, setting, &why);
  const auto c = Clock::now();
  auto d = c;
  if (tracked && setting == Setting::kLooking) {
    strip_.Add(grabbed.image, options_.setting, tracked->pose, Now());
    d = Clock::now();
    toes_.Update(strip_, tracked->pose.translation_mm.z(), Now());
  }
  const auto e = Clock::now();
  ++figures_.processed;
  figures_.latency.Add(Ms(e - grabbed.captured));
  figures_.drawing.Add(Ms(b - a));
  if (tracked && !tracked->found_afresh) ++figures_.followed, figures_.track.Add(Ms(c - b));
  if (tracked && tracked->found_afresh) ++figures_.found_afresh;
  if (!tracked) ++figures_.no_pose;
  if (setting == Setting::kWelding) ++figures_.welding;
  if (d != c) figures_.strip.Add(Ms(d - c)), figures_.toes.Add(Ms(e - d));
  figures_.coverage = strip_.Coverage();
  double covered = 0;
  for (const double part : figures_.coverage) covered += part / static_cast<double>(figures_.coverage.size());
  if (covered > covered_ + 1e-3) new_wall_s_ = Now();
  covered_ = covered;
  hint_ = HintFor(tracked, setting, Now());
  ++hints_[hint_];
  if (listener_.on_frame)
    listener_.on_frame({grabbed.image, tracked, strip_, toes_.lines(), hint_, setting, why, Ms(e - grabbed.captured),
                        grabbed.captured});
}

void Run::Gather(const Reader& reader) {
  figures_.seconds = Now();
  figures_.came = reader.grabbed();
  figures_.dropped = reader.overwritten();
  figures_.outages = reader.outages();
  figures_.keyframes = static_cast<int>(tracker_.keyframes());
  figures_.memory_now_mib = ResidentMib(), figures_.memory_peak_mib = PeakMib();
  if (figures_.coverage.empty()) figures_.coverage = strip_.Coverage();
  for (const auto& [hint, count] : hints_)
    figures_.hints[Words(hint)] =
        static_cast<double>(count) / static_cast<double>(std::max<std::int64_t>(1, figures_.processed));
  if (!recorder_) return;
  figures_.recorded = recorder_->written(), figures_.record_lost = recorder_->lost();
  figures_.record_files = recorder_->files();
}

Result<Watched> Run::Go(const JobContext& job) {
  Reader::Tap tap;
  if (recorder_) tap = [this](const Grabbed& grabbed, double rate_hz) { recorder_->Add(grabbed.image, rate_hz); };
  Reader reader(options_.reader, tap);
  double told_s = 0;
  while (true) {
    const bool over = options_.seconds > 0 && Now() >= options_.seconds;
    figures_.ended_by = job.Cancelled() ? "stopped" : over ? "time was over" : reader.Ended() ? "the source ended" : "";
    if (!figures_.ended_by.empty()) break;
    if (const auto grabbed = reader.Next(std::chrono::milliseconds(50)))
      Take(*grabbed);
    else if (reader.lost())
      hint_ = Hint::kNoPicture;
    if (auto fault = reader.Fault()) return *fault;
    if (recorder_)
      if (auto fault = recorder_->Fault()) return *fault;
    if (Now() - told_s < options_.say_every_s) continue;
    told_s = Now();
    Gather(reader);
    if (listener_.on_tell) listener_.on_tell(figures_, hint_);
  }
  if (auto fault = reader.Fault()) return *fault;
  if (recorder_) recorder_->Finish();
  Gather(reader);
  return Watched{figures_, strip_.image().clone(), strip_.grid()};
}

}  // namespace

std::string Words(Hint hint) {
  switch (hint) {
    case Hint::kNoPicture:
      return "no picture";
    case Hint::kWelding:
      return "welding: the strip waits";
    case Hint::kLookingForWeld:
      return "looking for the weld";
    case Hint::kTooClose:
      return "too close to the wall";
    case Hint::kHoldStill:
      return "hold still";
    case Hint::kMoveOn:
      return "move on";
    case Hint::kCovered:
      return "covered all round";
    case Hint::kGood:
      return "good";
  }
  return "";
}

Status WatchOptions::Check() const {
  if (auto broken = toes.Check()) return broken;
  if (auto broken = FirstOutside(
          "WatchOptions", {{"steady_frames", steady_frames, 1, 1000}, {"search_every_s", search_every_s, 0, 60}}))
    return broken;
  for (const auto& broken : {reader.Check(), tracker.Check(), strip.Check(), setting.lens.Check()})
    if (broken) return broken;
  if (record)
    if (auto broken = record->Check()) return broken;
  if (!(bore.radius_mm > 0)) return BadInput("WatchOptions::bore must have a radius above 0 mm.");
  if (setting.facing == pose::Facing::kSide) return BadInput("watch: the camera must look along the bore, +z or -z.");
  if (!(seconds >= 0) || !(say_every_s > 0) || !(still_s > 0))
    return BadInput("watch: seconds must be 0 or more, the time between two lines above 0.");
  if (!(close_share > 0 && close_share < 1) || !(blur_share > 0))
    return BadInput("WatchOptions::close_share must lie in (0, 1) and blur_share be above 0.");
  if (!(lamp_light > 0 && lamp_light < arc_light && arc_light < 1))
    return BadInput("WatchOptions: lamp_light and arc_light must lie in (0, 1), in this order.");
  return std::nullopt;
}

Result<Watched> Watch(const WatchOptions& options, const WatchListener& listener, const JobContext& job) {
  if (auto broken = options.Check()) return *broken;
  return Run(options, listener).Go(job);
}

}  // namespace vision::live
