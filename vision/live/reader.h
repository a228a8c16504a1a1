#pragma once

#include <chrono>
#include <condition_variable>
#include <cstdint>
#include <functional>
#include <mutex>
#include <opencv2/core.hpp>
#include <optional>
#include <string>
#include <thread>
#include <vector>

#include "vision/base/result.h"

namespace vision::live {

enum class SourceKind { kDevice, kStream, kFile, kStills };

/// A number or /dev/video* is a device, what has :// in it a stream, a folder a still set, all else a video file.
SourceKind KindOf(const std::string& source);

/// Source: not noted, so taken as chosen; where a field says none.
struct ReaderOptions {
  std::string source;
  cv::Size size;             ///< What the camera of the joint file says.
  bool every_frame = false;  ///< Files and still sets only: wait for the taker, let none go by, no pacing.
  double timeout_s = 3;      ///< A stream that is silent this long is lost; > 0.
  double retry_s = 0.5;      ///< Between two tries to open it again; > 0.
  double give_up_s = 120;    ///< A source lost this long has ended; >= 0.
  double stills_hz = 10;     ///< Pace of a still set; > 0.

  [[nodiscard]] Status Check() const;
};

struct Grabbed {
  cv::Mat3b image;
  std::int64_t number = 0;                         ///< Counts all frames that came, from 0.
  std::chrono::steady_clock::time_point captured;  ///< When its bytes were all there and decoded.
};

/// One time that the source was gone.
struct Outage {
  double at_s = 0;                 ///< Since the start.
  std::optional<double> lasted_s;  ///< nullopt: it did not come back.
};

/// Pulls frames in a thread of its own and keeps only the newest: whoever is slow sees the present, and what went by is
/// counted. A lost source is opened again until it is back.
class Reader {
 public:
  using Tap = std::function<void(const Grabbed&, double rate_hz)>;

  /// @param tap Called in the reader's thread with every frame, for recording; may be empty. Must not change the image.
  Reader(const ReaderOptions& options, Tap tap);
  ~Reader();
  Reader(const Reader&) = delete;
  Reader& operator=(const Reader&) = delete;

  /// The newest frame not yet taken. @return nullopt when none came in time, or the source has ended.
  std::optional<Grabbed> Next(std::chrono::milliseconds wait);

  bool Ended() const;
  /// Why nothing could be read at all: missing, not a picture source, or of another size than the camera.
  Status Fault() const;
  std::int64_t grabbed() const;
  std::int64_t overwritten() const;  ///< Came and were never taken.
  std::vector<Outage> outages() const;
  bool lost() const;       ///< Gone at the moment.
  double rate_hz() const;  ///< As the source says; 0 when it does not.

 private:
  void Run(const std::stop_token& stop);
  bool ReadAll(const std::stop_token& stop, class Opened& source);
  void Put(Grabbed frame, const std::stop_token& stop);
  void Pace(const std::stop_token& stop, double rate_hz);

  ReaderOptions options_;
  Tap tap_;
  SourceKind kind_;
  mutable std::mutex mutex_;
  std::condition_variable_any changed_;
  std::optional<Grabbed> slot_;
  std::int64_t grabbed_ = 0, overwritten_ = 0;
  std::vector<Outage> outages_;
  Status fault_;
  bool ended_ = false, lost_ = false;
  double rate_hz_ = 0;
  std::chrono::steady_clock::time_point started_, due_;
  std::jthread thread_;  // last member: ends first
};

}  // namespace vision::live
