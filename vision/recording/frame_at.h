#pragma once

#include "vision/recording/frame_stream.h"

namespace vision::recording {

/// The picture that a recording shows at a time, full size. Seeks, and reads from the start where the seek lands beyond
/// it.
/// @param source A video file, or a folder of stills (one for each `StreamOptions::stills_per_s`, as FrameStream takes
/// them). @param time_s From the first frame, >= 0; beyond the end gives the last frame.
/// @return kIo when missing; kBadInput when it is no such recording (a device or a stream has no past); kCancelled.
Result<StreamFrame> FrameAt(const std::string& source, double time_s, const JobContext& job = {});

}  // namespace vision::recording
