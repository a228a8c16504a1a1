#pragma once

#include <filesystem>
#include <limits>
#include <memory>
#include <opencv2/core.hpp>
#include <optional>
#include <string>
#include <vector>

#include "vision/base/job.h"
#include "vision/base/result.h"

/// A recording of any length, drawn frame by frame: memory does not grow with it.
namespace vision::recording {

/// Source: not noted, so taken as chosen; where a field says none.
struct StreamOptions {
  double look_every_s = 0;  ///< Hand out at most one frame in so many seconds of the recording; 0 = every frame; >= 0.
  int reduce = 1;           ///< Pictures this many times smaller: one of 1, 2, 4, 8.
  double gap_s = 0.5;       ///< No frame for longer than this (and than eight usual steps) is reported; > 0.
  double distrust_s = 0.5;  ///< Nothing is handed out for so long after a failure, since a decoder then shows
                            ///< pictures pieced together; of pictures coded each by itself only the next one; >= 0.
  double stills_per_s = 1;  ///< Stills have no clock: they are taken to follow each other so; > 0.
  double most_pixels = 200e6;  ///< Of one frame; a recording of larger ones is refused; > 0.
  double stop_after_s = std::numeric_limits<double>::infinity();  ///< For sources that never end; > 0.

  [[nodiscard]] Status Check() const;
};

/// One frame, the picture reduced as asked.
struct StreamFrame {
  cv::Mat image;      ///< BGR or grey, 8 bit.
  long index = 0;     ///< Number of the frame in the recording, lost ones that could be counted included.
  double time_s = 0;  ///< By the recording's own clock, from its first frame; never falls.
};

/// A stretch that gave no trustworthy frame.
struct Damage {
  double from_s = 0, to_s = 0;
  long frames = 0;   ///< Lost or left out; 0 = not known.
  std::string what;  ///< For people.
};

struct StreamInfo {
  cv::Size size;           ///< Full size, px.
  double duration_s = -1;  ///< As the source promises; negative = not known (device, network).
  std::string kind;        ///< For people: video, stills, device, network stream.
  std::string clock;       ///< For people: what the times stand on.
  bool silent = false;     ///< A file whose decoder passes over damage without a word: DamageIn (video_check.h) tells.
};

/// What gives packets one after another; see frame_stream.cpp.
class PictureSource;

/// Pull reader over video files, folders of stills, V4L2 devices and network streams. Frames that are not handed out
/// are passed over without a picture being made of them. Not for several threads at once.
class FrameStream {
 public:
  /// @param source A video file; a folder of stills (in the order of their names); `/dev/videoN`; an address with
  /// `://`.
  /// @return kIo when missing; kBadInput when nothing in it can be decoded.
  static Result<FrameStream> Open(const std::string& source, const StreamOptions& options = {});
  FrameStream(FrameStream&&) noexcept;
  FrameStream& operator=(FrameStream&&) noexcept;
  ~FrameStream();

  /// @return The next frame; nullopt at the end; kCancelled. The job is told the share done where the length is known.
  Result<std::optional<StreamFrame>> Next(const JobContext& job = {});

  const StreamInfo& info() const;
  const std::vector<Damage>& damage() const;  ///< Complete once Next() has said the end.
  long frames_passed() const;                 ///< Frames met so far, handed out or not.
  double time_s() const;                      ///< Of the frame met last.

 private:
  struct State;
  explicit FrameStream(std::unique_ptr<State> state);
  std::unique_ptr<State> state_;
};

}  // namespace vision::recording
