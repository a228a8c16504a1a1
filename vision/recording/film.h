#pragma once

#include <opencv2/videoio.hpp>
#include <optional>
#include <string>
#include <vector>

#include "vision/recording/frame_stream.h"

namespace vision::recording {

/// A recording read on from one of its moments, for people to look at: every picture full size, in order. What damage
/// leaves unreadable is passed over without a word; `FrameStream` is for measuring. Not for several threads at once.
class Film {
 public:
  /// The first picture is the one shown at `time_s`. Seeks, and reads from the start where the seek lands beyond it.
  /// @param source A video file, or a folder of stills (one a second).
  /// @param time_s From the first frame, >= 0; beyond the end gives the last frame.
  /// @return kIo when missing; kBadInput when it is no such recording (a device or a stream has no past); kCancelled.
  static Result<Film> OpenAt(const std::string& source, double time_s, const JobContext& job = {});

  /// The first picture is that of number `index`, counted from the recording's start.
  /// @return As OpenAt; kNotFound when there are fewer.
  static Result<Film> OpenAtFrame(const std::string& source, long index, const JobContext& job = {});

  /// @return The next picture; nullopt at the end; kCancelled. `index` is only counted for stills and from
  /// OpenAtFrame; else 0.
  Result<std::optional<StreamFrame>> Next(const JobContext& job = {});

 private:
  static Result<Film> Start(const std::string& source);
  Status ReadTo(double time_s, const JobContext& job);
  Status ReadLast(const JobContext& job);
  void Rewind();
  double Now() const;

  std::string source_;
  std::vector<std::filesystem::path> stills_;
  std::size_t next_still_ = 0;
  cv::VideoCapture video_;
  double first_s_ = 0;
  std::optional<StreamFrame> held_;  ///< The next one, read already.
  bool grabbed_ = false;             ///< The one after `held_` is grabbed.
  long count_ = 0;                   ///< Number of the picture grabbed last; only from OpenAtFrame.
  bool counted_ = false;
};

}  // namespace vision::recording
