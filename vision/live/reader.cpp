#include "vision/live/reader.h"

#include <algorithm>
#include <cctype>
#include <filesystem>
#include <opencv2/videoio.hpp>

#include "vision/base/file.h"
#include "vision/recording/decode.h"

namespace vision::live {

using Clock = std::chrono::steady_clock;

namespace {

double Seconds(Clock::duration d) { return std::chrono::duration<double>(d).count(); }

}  // namespace

/// A source that is open: a capture of OpenCV's or a list of stills.
class Opened {
 public:
  static std::optional<Opened> Open(const ReaderOptions& options, SourceKind kind) {
    Opened opened;
    const int silent_ms = static_cast<int>(1000 * options.timeout_s);
    const std::vector<int> patience{cv::CAP_PROP_OPEN_TIMEOUT_MSEC, silent_ms, cv::CAP_PROP_READ_TIMEOUT_MSEC,
                                    silent_ms};
    if (kind == SourceKind::kStills) {
      opened.stills_ = PicturesIn(options.source);
      opened.rate_hz_ = options.stills_hz;
      if (opened.stills_.empty()) return std::nullopt;
      return opened;
    }
    if (kind == SourceKind::kDevice) {
      if (std::isdigit(static_cast<unsigned char>(options.source[0])) != 0)
        opened.capture_.open(std::stoi(options.source), cv::CAP_V4L2);
      else
        opened.capture_.open(options.source, cv::CAP_V4L2);
      opened.capture_.set(cv::CAP_PROP_FRAME_WIDTH, options.size.width);
      opened.capture_.set(cv::CAP_PROP_FRAME_HEIGHT, options.size.height);
    } else if (kind == SourceKind::kStream) {
      opened.capture_.open(options.source, cv::CAP_FFMPEG, patience);
    } else {
      opened.capture_.open(options.source, cv::CAP_FFMPEG);
    }
    if (!opened.capture_.isOpened()) return std::nullopt;
    const double rate = opened.capture_.get(cv::CAP_PROP_FPS);
    opened.rate_hz_ = rate >= 1 && rate <= 240 ? rate : 0;
    return opened;
  }

  bool Read(Grabbed* frame) {
    cv::Mat image;
    if (!stills_.empty() || capture_.isOpened() == false) {
      if (next_ >= stills_.size()) return false;
      const auto still = recording::ReadPicture(stills_[next_++]);
      if (!still.ok()) return Read(frame);
      image = still.value();
    } else if (!capture_.read(image) || image.empty()) {
      return false;
    }
    frame->captured = Clock::now();
    frame->image = image;
    return true;
  }

  double rate_hz() const { return rate_hz_; }

 private:
  cv::VideoCapture capture_;
  std::vector<std::filesystem::path> stills_;
  std::size_t next_ = 0;
  double rate_hz_ = 0;
};

SourceKind KindOf(const std::string& source) {
  const bool number = !source.empty() &&
                      std::all_of(source.begin(), source.end(), [](unsigned char c) { return std::isdigit(c) != 0; });
  if (number || source.starts_with("/dev/video")) return SourceKind::kDevice;
  if (source.find("://") != std::string::npos) return SourceKind::kStream;
  std::error_code failed;
  return std::filesystem::is_directory(source, failed) ? SourceKind::kStills : SourceKind::kFile;
}

Status ReaderOptions::Check() const {
  if (source.empty())
    return BadInput("watch: the source is empty; give a stream's address, a device, a file or a folder.");
  if (size.width <= 0 || size.height <= 0) return BadInput("ReaderOptions::size must be above 0.");
  if (!(timeout_s > 0 && retry_s > 0 && stills_hz > 0) || !(give_up_s >= 0))
    return BadInput("ReaderOptions: timeout_s, retry_s and stills_hz must be above 0, give_up_s 0 or more.");
  return std::nullopt;
}

Reader::Reader(const ReaderOptions& options, Tap tap)
    : options_(options), tap_(std::move(tap)), kind_(KindOf(options.source)), started_(Clock::now()), due_(started_) {
  thread_ = std::jthread([this](const std::stop_token& stop) { Run(stop); });
}

Reader::~Reader() {
  thread_.request_stop();
  changed_.notify_all();
}

void Reader::Pace(const std::stop_token& stop, double rate_hz) {
  const bool recorded = kind_ == SourceKind::kFile || kind_ == SourceKind::kStills;
  if (!recorded || options_.every_frame) return;
  due_ = std::max(due_ + std::chrono::duration_cast<Clock::duration>(std::chrono::duration<double>(1 / rate_hz)),
                  Clock::now() - std::chrono::seconds(1));
  std::unique_lock lock(mutex_);
  changed_.wait_until(lock, stop, due_, [] { return false; });
}

void Reader::Put(Grabbed frame, const std::stop_token& stop) {
  std::unique_lock lock(mutex_);
  const bool recorded = kind_ == SourceKind::kFile || kind_ == SourceKind::kStills;
  if (options_.every_frame && recorded) changed_.wait(lock, stop, [this] { return !slot_; });
  if (slot_) ++overwritten_;
  frame.number = grabbed_++;
  slot_ = std::move(frame);
  lock.unlock();
  changed_.notify_all();
}

/// @return Was at least one frame read?
bool Reader::ReadAll(const std::stop_token& stop, Opened& source) {
  Grabbed frame;
  bool any = false;
  while (!stop.stop_requested() && source.Read(&frame)) {
    if (frame.image.size() != options_.size) {
      const std::lock_guard lock(mutex_);
      fault_ = BadInput(options_.source + " gives pictures of " + std::to_string(frame.image.cols) + " x " +
                        std::to_string(frame.image.rows) + "; the camera of the joint file has " +
                        std::to_string(options_.size.width) + " x " + std::to_string(options_.size.height) + ".");
      return any;
    }
    if (!any) {
      const std::lock_guard lock(mutex_);
      if (lost_) outages_.back().lasted_s = Seconds(frame.captured - started_) - outages_.back().at_s;
      lost_ = false, rate_hz_ = source.rate_hz();
    }
    any = true;
    if (tap_) tap_(frame, source.rate_hz());
    Put(frame, stop);
    frame.image = cv::Mat3b();
    Pace(stop, source.rate_hz() > 0 ? source.rate_hz() : 30);
  }
  return any;
}

void Reader::Run(const std::stop_token& stop) {
  const bool recorded = kind_ == SourceKind::kFile || kind_ == SourceKind::kStills;
  auto gone = Clock::now();
  bool ever = false;
  while (!stop.stop_requested()) {
    if (auto source = Opened::Open(options_, kind_)) {
      if (ReadAll(stop, *source)) ever = true, gone = Clock::now();
    }
    std::unique_lock lock(mutex_);
    if (fault_) break;
    if (!ever) fault_ = BadInput("watch: " + options_.source + " cannot be opened, or gives no picture.");
    if (!ever || recorded || stop.stop_requested()) break;
    if (!lost_) outages_.push_back({Seconds(gone - started_), std::nullopt});
    lost_ = true;
    if (Seconds(Clock::now() - gone) > options_.give_up_s) break;
    changed_.wait_for(lock, stop, std::chrono::duration<double>(options_.retry_s), [] { return false; });
  }
  {
    const std::lock_guard lock(mutex_);
    ended_ = true;
  }
  changed_.notify_all();
}

std::optional<Grabbed> Reader::Next(std::chrono::milliseconds wait) {
  std::unique_lock lock(mutex_);
  changed_.wait_for(lock, wait, [this] { return slot_ || ended_; });
  if (!slot_) return std::nullopt;
  std::optional<Grabbed> taken = std::move(slot_);
  slot_.reset();
  lock.unlock();
  changed_.notify_all();
  return taken;
}

bool Reader::Ended() const {
  const std::lock_guard lock(mutex_);
  return ended_ && !slot_;
}
Status Reader::Fault() const {
  const std::lock_guard lock(mutex_);
  return fault_;
}
std::int64_t Reader::grabbed() const {
  const std::lock_guard lock(mutex_);
  return grabbed_;
}
std::int64_t Reader::overwritten() const {
  const std::lock_guard lock(mutex_);
  return overwritten_;
}
std::vector<Outage> Reader::outages() const {
  const std::lock_guard lock(mutex_);
  return outages_;
}
bool Reader::lost() const {
  const std::lock_guard lock(mutex_);
  return lost_;
}
double Reader::rate_hz() const {
  const std::lock_guard lock(mutex_);
  return rate_hz_;
}

}  // namespace vision::live
