#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "app/joint/joint.h"
#include "vision/arc/follow.h"

namespace app::viewer {

/// When each place of the ring was welded, as `rootscroll arc` told it from one of the joint's recordings.
struct WeldedFilm {
  vision::arc::WeldedTimes times;
  std::filesystem::path video;

  /// s from the video's first frame; NaN = never in this video.
  double AtTheta(double theta_deg) const;
};

/// The newest arc.json in the measured folder, beside the joint file or in a folder beside it that belongs to one of
/// the joint's videos.
/// @param relative Is theta 0 of the reading unknown? Then nothing can be laid on the strip.
/// @param remarks Hears a sentence for each file that is there and cannot be used.
std::optional<WeldedFilm> FindWelded(const joint::Joint& joint, const std::filesystem::path& measured, bool relative,
                                     std::vector<std::string>& remarks);

}  // namespace app::viewer
