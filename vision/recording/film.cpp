#include "vision/recording/film.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "vision/base/file.h"
#include "vision/recording/decode.h"

namespace vision::recording {
namespace {

constexpr double kEarly_s = 1e-3;  ///< A time said to a tenth of a millisecond must find its own frame.
constexpr double kAhead_s = 0.2;   ///< The seek aims so much before, since a decoder may land a frame late.

}  // namespace

Result<Film> Film::Start(const std::string& source) {
  Film film;
  film.source_ = source;
  std::error_code ignored;
  if (std::filesystem::is_directory(source, ignored)) {
    film.stills_ = PicturesIn(source);
    if (film.stills_.empty()) return BadInput(source + " holds no pictures.");
    return film;
  }
  if (source.find("://") != std::string::npos || source.starts_with("/dev/"))
    return BadInput(source + " has no past that could be shown; a video file or a folder of pictures has.");
  if (!std::filesystem::is_regular_file(source, ignored)) return Error{ErrorCode::kIo, "No video file " + source + "."};
  film.video_.open(source, cv::CAP_FFMPEG);
  if (!film.video_.isOpened() || !film.video_.grab()) return BadInput(source + " is not a video that can be read.");
  film.first_s_ = film.video_.get(cv::CAP_PROP_POS_MSEC) / 1000.0;
  film.grabbed_ = true;
  return film;
}

double Film::Now() const { return std::max(0.0, video_.get(cv::CAP_PROP_POS_MSEC) / 1000.0 - first_s_); }

void Film::Rewind() {
  video_.open(source_, cv::CAP_FFMPEG);
  grabbed_ = false;
}

/// Reads on until the last picture not after the time is held and the one after it grabbed.
Status Film::ReadTo(double time_s, const JobContext& job) {
  held_.reset();
  while (grabbed_ || video_.grab()) {
    grabbed_ = true;
    if (job.Cancelled()) return Cancelled();
    const double now = Now();
    if (now > time_s + kEarly_s && (held_ || time_s > 0)) return std::nullopt;
    grabbed_ = false;
    StreamFrame frame;
    if (now + 0.5 < time_s) continue;  // far before: no picture is made of it
    if (!video_.retrieve(frame.image)) continue;
    frame.image = frame.image.clone();
    frame.time_s = now;
    held_ = frame;
  }
  return std::nullopt;
}

Status Film::ReadLast(const JobContext& job) {
  Rewind();
  StreamFrame frame;
  while (video_.grab()) {
    if (job.Cancelled()) return Cancelled();
    frame.time_s = Now();
    video_.retrieve(frame.image);
  }
  if (frame.image.empty()) return BadInput(source_ + " shows no picture at that time.");
  held_ = frame;
  return std::nullopt;
}

Result<Film> Film::OpenAt(const std::string& source, double time_s, const JobContext& job) {
  auto film = Start(source);
  if (!film.ok()) return film;
  Film& f = film.value();
  const double wanted = std::max(0.0, time_s);
  if (!f.stills_.empty()) {
    f.next_still_ = std::min(f.stills_.size() - 1, static_cast<std::size_t>(std::floor(wanted + kEarly_s)));
    return film;
  }
  for (const bool seek : {true, false}) {
    if (seek && wanted < 1) continue;
    if (seek) {
      f.video_.set(cv::CAP_PROP_POS_MSEC, 1000.0 * (f.first_s_ + wanted - kAhead_s));
      f.grabbed_ = false;
    } else {
      f.Rewind();
    }
    if (auto failed = f.ReadTo(wanted, job)) return *failed;
    if (f.held_ && f.held_->time_s + 1 > wanted) return film;
  }
  if (f.held_) return film;
  if (auto failed = f.ReadLast(job)) return *failed;  // beyond the end: from the start once more, keeping the last
  return film;
}

Result<Film> Film::OpenAtFrame(const std::string& source, long index, const JobContext& job) {
  auto film = Start(source);
  if (!film.ok()) return film;
  Film& f = film.value();
  const Error none = NotFound(source + " has no frame " + std::to_string(index) + ".");
  if (index < 0) return none;
  if (!f.stills_.empty()) {
    if (static_cast<std::size_t>(index) >= f.stills_.size()) return none;
    f.next_still_ = static_cast<std::size_t>(index);
    return film;
  }
  f.counted_ = true;
  // Frame by frame: a seek lands on the nearest key frame with some decoders.
  for (; f.count_ < index; ++f.count_) {
    if (job.Cancelled()) return Cancelled();
    if (!f.video_.grab()) return none;
  }
  return film;
}

Result<std::optional<StreamFrame>> Film::Next(const JobContext& job) {
  if (job.Cancelled()) return Cancelled();
  if (!stills_.empty()) {
    if (next_still_ >= stills_.size()) return std::optional<StreamFrame>();
    auto still = ReadPicture(stills_[next_still_]);
    if (!still.ok()) return still.error();
    StreamFrame frame{still.value(), static_cast<long>(next_still_), static_cast<double>(next_still_)};
    ++next_still_;
    return std::optional<StreamFrame>(frame);
  }
  if (held_) return std::exchange(held_, std::nullopt);
  while (grabbed_ || video_.grab()) {
    if (job.Cancelled()) return Cancelled();
    grabbed_ = false;
    StreamFrame frame{{}, counted_ ? count_++ : 0, Now()};
    if (!video_.retrieve(frame.image) || frame.image.empty()) continue;
    frame.image = frame.image.clone();
    return std::optional<StreamFrame>(frame);
  }
  return std::optional<StreamFrame>();
}

}  // namespace vision::recording
