#include "vision/recording/frame_stream.h"

#include <algorithm>
#include <cmath>

#include "vision/recording/picture_source.h"

namespace vision::recording {
namespace {

constexpr int kTriesAtABadPlace = 60;  ///< A decoder that gave nothing is asked again: it may find the next picture.

}  // namespace

Status StreamOptions::Check() const {
  if (!(look_every_s >= 0)) return BadInput("StreamOptions::look_every_s must be 0 s or more.");
  if (reduce != 1 && reduce != 2 && reduce != 4 && reduce != 8)
    return BadInput("StreamOptions::reduce is " + std::to_string(reduce) + "; it must be 1, 2, 4 or 8.");
  if (!(gap_s > 0)) return BadInput("StreamOptions::gap_s must be above 0 s.");
  if (!(distrust_s >= 0)) return BadInput("StreamOptions::distrust_s must be 0 s or more.");
  if (!(stills_per_s > 0)) return BadInput("StreamOptions::stills_per_s must be above 0.");
  if (!(most_pixels > 0)) return BadInput("StreamOptions::most_pixels must be above 0.");
  if (!(stop_after_s > 0)) return BadInput("StreamOptions::stop_after_s must be above 0 s.");
  return std::nullopt;
}

struct FrameStream::State {
  std::unique_ptr<PictureSource> source;
  StreamOptions options;
  std::vector<Damage> damage;
  long passed = 0, index = -1;
  double time_s = 0, first_s = 0, step_s = 0, next_look_s = 0, trusted_from_s = -1;
  bool any = false, ended = false, bad = false;

  void Lost(double from_s, double to_s, long frames, const std::string& what);
  void Tick();
  bool Skip();
  void End();
};

/// Notes a bad stretch; one that goes on from the last one of the same kind is the same stretch.
void FrameStream::State::Lost(double from_s, double to_s, long frames, const std::string& what) {
  if (!damage.empty() && damage.back().what == what && from_s <= damage.back().to_s + 2.5 * step_s) {
    damage.back().to_s = std::max(damage.back().to_s, to_s);
    damage.back().frames += frames;
    return;
  }
  damage.push_back({from_s, to_s, frames, what});
}

/// Moves the clock to the packet just grabbed. A clock that stands or falls (end of some files, a stream begun anew) is
/// carried on by the usual step.
void FrameStream::State::Tick() {
  ++passed;
  ++index;
  const auto told = source->TimeS();
  if (!any) {
    any = true;
    first_s = told.value_or(0);
    step_s = source->usual_step_s;
    return;
  }
  const double before = time_s, step = told ? *told - first_s - before : -1;
  time_s = step > 0 ? before + step : before + std::max(step_s, 1e-3);
  if (told && step<-options.gap_s&& * told> 0) first_s = *told - time_s;
  if (!(step > 0)) return;
  if (!bad && step > std::max(options.gap_s, 8 * step_s)) {
    const long frames = step_s > 0 ? std::lround(step / step_s) - 1 : 0;
    Lost(before, time_s, frames, "no frame recorded, or frames lost");
    return;
  }
  step_s = step_s > 0 ? 0.9 * step_s + 0.1 * step : step;
}

/// Nothing could be grabbed: asks again, then looks further on. @return false at the end.
bool FrameStream::State::Skip() {
  const double from = time_s;
  for (int i = 0; i < kTriesAtABadPlace && source->info.duration_s > 0; ++i)
    if (source->Grab() == PictureSource::Step::kFrame) return true;
  for (double ahead = 1; from + ahead < source->info.duration_s; ahead *= 1.5)
    if (source->SeekTo(first_s + from + ahead) && source->Grab() == PictureSource::Step::kFrame &&
        source->TimeS().value_or(0) - first_s > from)
      return true;
  return false;
}

void FrameStream::State::End() {
  ended = true;
  const double promised = source->info.duration_s, missing = promised - time_s - step_s;
  if (promised <= 0 || !any || missing <= std::max(options.gap_s, 4 * step_s)) return;
  if (time_s + 2 * step_s >= options.stop_after_s) return;
  const long frames = step_s > 0 ? std::lround(missing / step_s) : 0;
  Lost(time_s, promised, frames, "the recording ends before the time it promises: cut short");
}

FrameStream::FrameStream(std::unique_ptr<State> state) : state_(std::move(state)) {}
FrameStream::FrameStream(FrameStream&&) noexcept = default;
FrameStream& FrameStream::operator=(FrameStream&&) noexcept = default;
FrameStream::~FrameStream() = default;

Result<FrameStream> FrameStream::Open(const std::string& source, const StreamOptions& options) {
  if (auto broken = options.Check()) return *broken;
  auto opened = OpenSource(source, options);
  if (!opened.ok()) return opened.error();
  if (const cv::Size size = opened.value()->info.size; 1.0 * size.width * size.height > options.most_pixels)
    return BadInput(source + " has frames of " + std::to_string(size.width) + " x " + std::to_string(size.height) +
                    " px; at most " + std::to_string(std::llround(options.most_pixels)) + " px are taken.");
  auto state = std::make_unique<State>();
  state->source = std::move(opened.value());
  state->options = options;
  return FrameStream(std::move(state));
}

Result<std::optional<StreamFrame>> FrameStream::Next(const JobContext& job) {
  State& s = *state_;
  using Step = PictureSource::Step;
  const std::optional<StreamFrame> end;
  while (!s.ended) {
    if (job.Cancelled()) return Cancelled();
    const double before = s.time_s;
    Step step = s.source->Grab();
    const bool skipped = step == Step::kNothing;
    if (skipped) {
      s.bad = true;
      if (!s.Skip()) {
        s.End();
        break;
      }
      step = Step::kFrame;
    }
    s.Tick();
    if (s.time_s > s.options.stop_after_s) {
      s.ended = true;
      break;
    }
    if (s.source->info.duration_s > 0)
      job.Report(std::min(1.0, s.time_s / s.source->info.duration_s), "going through the recording");
    if (skipped) {
      s.trusted_from_s = s.time_s + (s.source->EachByItself() ? s.step_s / 2 : s.options.distrust_s);
      s.Lost(before, std::max(s.trusted_from_s, s.time_s), 0, "damaged: nothing could be decoded");
    }
    s.bad = false;
    if (step == Step::kDamaged) {
      s.Lost(s.time_s, s.time_s + s.step_s, 1, "damaged frames");
      continue;
    }
    if (s.time_s < s.trusted_from_s || s.time_s + 1e-9 < s.next_look_s) continue;
    StreamFrame frame{s.source->Picture(s.options.reduce), s.index, s.time_s};
    if (frame.image.empty()) {
      s.Lost(s.time_s, s.time_s + s.step_s, 1, "damaged frames");
      continue;
    }
    if (s.source->info.size.empty())
      s.source->info.size = {frame.image.cols * s.options.reduce, frame.image.rows * s.options.reduce};
    s.next_look_s = s.time_s + s.options.look_every_s - s.step_s / 2;
    return std::optional<StreamFrame>(std::move(frame));
  }
  if (!s.any) return BadInput("The recording holds no frame that can be decoded; it may be cut short.");
  return end;
}

const StreamInfo& FrameStream::info() const { return state_->source->info; }
const std::vector<Damage>& FrameStream::damage() const { return state_->damage; }
long FrameStream::frames_passed() const { return state_->passed; }
double FrameStream::time_s() const { return state_->time_s; }

}  // namespace vision::recording
