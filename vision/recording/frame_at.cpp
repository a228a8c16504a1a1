#include "vision/recording/frame_at.h"

#include "vision/recording/film.h"

namespace vision::recording {

Result<StreamFrame> FrameAt(const std::string& source, double time_s, const JobContext& job) {
  auto film = Film::OpenAt(source, time_s, job);
  if (!film.ok()) return film.error();
  const auto frame = film.value().Next(job);
  if (!frame.ok()) return frame.error();
  if (!frame.value()) return BadInput(source + " shows no picture at that time.");
  return *frame.value();
}

}  // namespace vision::recording
