#include "vision/live/recorder.h"

namespace vision::live {

namespace {
constexpr int kLookEvery = 64;  ///< Frames between two looks at a part's size.
}

Status RecorderOptions::Check() const {
  if (file.extension() != ".avi")
    return BadInput("watch: the recording's file is " + file.string() + "; its name must end in .avi (motion JPEG).");
  if (quality < 1 || quality > 100) return BadInput("RecorderOptions::quality must be 1 to 100.");
  if (waiting == 0 || part_bytes == 0) return BadInput("RecorderOptions: waiting and part_bytes must be above 0.");
  std::error_code failed;
  if (std::filesystem::exists(file, failed))
    return BadInput("watch: " + file.string() + " exists; a recording never replaces another, give a new name.");
  return std::nullopt;
}

Recorder::Recorder(const RecorderOptions& options) : options_(options) {
  thread_ = std::jthread([this](const std::stop_token& stop) { Run(stop); });
}

Recorder::~Recorder() { Finish(); }

void Recorder::Finish() {
  thread_.request_stop();
  if (thread_.joinable()) thread_.join();
}

void Recorder::Add(const cv::Mat3b& frame, double rate_hz) {
  {
    const std::lock_guard lock(mutex_);
    if (fault_ || queue_.size() >= options_.waiting || thread_.get_stop_token().stop_requested()) {
      ++lost_;
      return;
    }
    queue_.push_back({frame, rate_hz});
  }
  changed_.notify_one();
}

bool Recorder::OpenPart(const Waiting& first) {
  auto file = options_.file;
  const std::lock_guard lock(mutex_);
  if (!files_.empty())
    file.replace_filename(file.stem().string() + "-" + std::to_string(files_.size() + 1) + file.extension().string());
  writer_.open(file.string(), cv::CAP_OPENCV_MJPEG, cv::VideoWriter::fourcc('M', 'J', 'P', 'G'),
               first.rate_hz > 0 ? first.rate_hz : 30, first.image.size());
  if (!writer_.isOpened()) {
    fault_ = Error{ErrorCode::kIo, "watch: the recording " + file.string() + " cannot be written."};
    return false;
  }
  writer_.set(cv::VIDEOWRITER_PROP_QUALITY, options_.quality);
  files_.push_back(file.string());
  return true;
}

void Recorder::Run(const std::stop_token& stop) {
  std::int64_t in_part = 0;
  while (true) {
    Waiting next;
    {
      std::unique_lock lock(mutex_);
      changed_.wait(lock, stop, [this] { return !queue_.empty(); });
      if (queue_.empty()) break;  // asked to stop, and nothing waits
      next = std::move(queue_.front());
      queue_.pop_front();
    }
    if (!writer_.isOpened() && !OpenPart(next)) {
      const std::lock_guard lock(mutex_);
      lost_ += 1 + static_cast<std::int64_t>(queue_.size());
      queue_.clear();
      continue;
    }
    writer_.write(next.image);
    const std::lock_guard lock(mutex_);
    ++written_;
    std::error_code failed;
    if (++in_part % kLookEvery == 0 && std::filesystem::file_size(files_.back(), failed) > options_.part_bytes &&
        !failed)
      writer_.release(), in_part = 0;
  }
  writer_.release();
}

std::int64_t Recorder::written() const {
  const std::lock_guard lock(mutex_);
  return written_;
}
std::int64_t Recorder::lost() const {
  const std::lock_guard lock(mutex_);
  return lost_;
}
std::vector<std::string> Recorder::files() const {
  const std::lock_guard lock(mutex_);
  return files_;
}
Status Recorder::Fault() const {
  const std::lock_guard lock(mutex_);
  return fault_;
}

}  // namespace vision::live
