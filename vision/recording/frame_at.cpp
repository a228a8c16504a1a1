#include "vision/recording/frame_at.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/videoio.hpp>

#include "vision/base/file.h"

namespace vision::recording {
namespace {

constexpr double kEarly_s = 1e-3;  ///< A time said to a tenth of a millisecond must find its own frame.
constexpr double kAhead_s = 0.2;   ///< The seek aims so much before, since a decoder may land a frame late.

double Time(const cv::VideoCapture& video) { return video.get(cv::CAP_PROP_POS_MSEC) / 1000.0; }

Result<StreamFrame> StillAt(const std::string& folder, double time_s) {
  const auto files = PicturesIn(folder);
  if (files.empty()) return BadInput(folder + " holds no pictures.");
  const double last = static_cast<double>(files.size() - 1);
  const auto index = static_cast<std::size_t>(std::clamp(std::floor(time_s + kEarly_s), 0.0, last));
  StreamFrame frame;
  frame.image = cv::imread(files[index].string(), cv::IMREAD_COLOR);
  if (frame.image.empty()) return BadInput(files[index].string() + " is not a picture that can be read.");
  frame.index = static_cast<long>(index);
  frame.time_s = static_cast<double>(index);
  return frame;
}

/// Reads on until the last frame not after the time. @return false: what came first lies after it already.
Result<bool> ReadTo(cv::VideoCapture& video, double first_s, double time_s, const JobContext& job, StreamFrame* frame) {
  bool any = false;
  while (video.grab()) {
    if (job.Cancelled()) return Cancelled();
    const double now = Time(video) - first_s;
    if (now > time_s + kEarly_s && any) return true;
    if (now > time_s + kEarly_s && time_s > 0) return false;
    cv::Mat image;
    if (now + 0.5 < time_s) continue;  // far before: no picture is made of it
    if (!video.retrieve(image)) continue;
    frame->image = image.clone();
    frame->time_s = std::max(0.0, now);
    any = true;
  }
  return any;
}

}  // namespace

Result<StreamFrame> FrameAt(const std::string& source, double time_s, const JobContext& job) {
  std::error_code ignored;
  if (std::filesystem::is_directory(source, ignored)) return StillAt(source, time_s);
  if (source.find("://") != std::string::npos || source.starts_with("/dev/"))
    return BadInput(source + " has no past that could be shown; a video file or a folder of pictures has.");
  if (!std::filesystem::is_regular_file(source, ignored)) return Error{ErrorCode::kIo, "No video file " + source + "."};
  cv::VideoCapture video(source, cv::CAP_FFMPEG);
  if (!video.isOpened() || !video.grab()) return BadInput(source + " is not a video that can be read.");
  const double first_s = Time(video), wanted = std::max(0.0, time_s);
  StreamFrame frame;
  for (const bool seek : {true, false}) {
    if (seek && wanted < 1) continue;
    frame = {};
    if (seek)
      video.set(cv::CAP_PROP_POS_MSEC, 1000.0 * (first_s + wanted - kAhead_s));
    else
      video.open(source, cv::CAP_FFMPEG);
    const auto reached = ReadTo(video, first_s, wanted, job, &frame);
    if (!reached.ok()) return reached.error();
    if (reached.value() && frame.time_s + 1 > wanted) return frame;
  }
  if (!frame.image.empty()) return frame;
  // Beyond the end: from the start once more, keeping the last.
  video.open(source, cv::CAP_FFMPEG);
  while (video.grab()) {
    if (job.Cancelled()) return Cancelled();
    frame.time_s = Time(video) - first_s;
    video.retrieve(frame.image);
  }
  if (frame.image.empty()) return BadInput(source + " shows no picture at that time.");
  return frame;
}

}  // namespace vision::recording
