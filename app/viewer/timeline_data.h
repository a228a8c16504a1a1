#pragma once

#include <filesystem>
#include <string>

#include "app/viewer/opened.h"
#include "vision/scan/scan.h"

namespace app::viewer {

/// A recording sorted into stretches, and the joint file that names it.
struct Timeline {
  std::filesystem::path source;
  vision::scan::Scanned scanned;
  std::filesystem::path joint_file;  ///< Empty: none names this recording.
  std::string recording;             ///< Its id there.
};

/// Sorts a video or a folder of stills. The camera is that of the joint file beside it that names it, else guessed.
/// @return As vision::scan::Scan.
vision::Result<Timeline> SortRecording(const std::filesystem::path& source, const vision::JobContext& job = {});

/// Takes the sharpest frames of the stretch proposed for a weld out of the recording, as PNG files in a folder beside
/// it, and writes a joint file for them beside the one that names the recording, so that they can be measured.
/// @param weld Index into scanned.sorted.welds; must be proposed. @param frames At most so many; > 0.
/// @return The new joint file; without a joint file a bare request with the stills. kIo when nothing can be written.
vision::Result<Request> TakeStretch(const Timeline& timeline, std::size_t weld, int frames = 6,
                                    const vision::JobContext& job = {});

}  // namespace app::viewer
