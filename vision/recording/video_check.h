#pragma once

#include <filesystem>
#include <limits>
#include <vector>

#include "vision/base/job.h"
#include "vision/base/result.h"
#include "vision/recording/frame_stream.h"

namespace vision::recording {

/// Frames of a video file, by their number in the order they are shown, that its decoder finds fault with: an error
/// while decoding, a packet or a frame marked as corrupt; of Motion JPEG what JpegDamage says of each picture. A change
/// that the decoder takes for other picture content does not show.
/// @return Rising numbers; empty for a file that the library does not take apart (others say why). kCancelled.
Result<std::vector<int>> DamagedFrames(const std::filesystem::path& file, const JobContext& job = {});

/// The same as stretches of the recording's own time, from its first frame; nothing behind `until_s` is looked at.
Result<std::vector<Damage>> DamageIn(const std::filesystem::path& file,
                                     double until_s = std::numeric_limits<double>::infinity(),
                                     const JobContext& job = {});

/// "12, 14 to 18 and 40": for people. At most `most` stretches are named.
std::string FramesText(const std::vector<int>& frames, std::size_t most = 12);

}  // namespace vision::recording
