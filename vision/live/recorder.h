#pragma once

#include <condition_variable>
#include <cstdint>
#include <deque>
#include <filesystem>
#include <mutex>
#include <opencv2/core.hpp>
#include <opencv2/videoio.hpp>
#include <string>
#include <thread>
#include <vector>

#include "vision/base/result.h"

namespace vision::live {

/// Source: not noted, so taken as chosen; where a field says none.
struct RecorderOptions {
  std::filesystem::path file;            ///< .avi; the parts after the first are name-2.avi, name-3.avi, ...
  int quality = 90;                      ///< Of each JPEG, in [1, 100].
  std::size_t waiting = 12;              ///< Frames that may wait for the disk; > 0.
  std::uintmax_t part_bytes = 1u << 30;  ///< A new part after about this much: AVI readers stumble beyond 2 GiB.

  [[nodiscard]] Status Check() const;
};

/// Writes frames to disk as motion JPEG in a thread of its own while the rest goes on. When the disk does not keep up
/// and the queue is full, a frame is lost, and counted.
class Recorder {
 public:
  explicit Recorder(const RecorderOptions& options);
  ~Recorder();  ///< Writes what waits, then closes.
  Recorder(const Recorder&) = delete;
  Recorder& operator=(const Recorder&) = delete;

  void Add(const cv::Mat3b& frame, double rate_hz);
  void Finish();  ///< Writes what waits and closes; later frames are lost.

  std::int64_t written() const;
  std::int64_t lost() const;
  std::vector<std::string> files() const;
  Status Fault() const;  ///< kIo when a part cannot be made.

 private:
  struct Waiting {
    cv::Mat3b image;
    double rate_hz;
  };
  void Run(const std::stop_token& stop);
  bool OpenPart(const Waiting& first);

  RecorderOptions options_;
  mutable std::mutex mutex_;
  std::condition_variable_any changed_;
  std::deque<Waiting> queue_;
  std::int64_t written_ = 0, lost_ = 0;
  std::vector<std::string> files_;
  Status fault_;
  cv::VideoWriter writer_;
  std::jthread thread_;  // last member: ends first
};

}  // namespace vision::live
