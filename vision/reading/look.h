#pragma once

#include <optional>
#include <string>
#include <vector>

#include "vision/base/job.h"
#include "vision/base/result.h"
#include "vision/bead/toes.h"
#include "vision/fusion/fusion.h"
#include "vision/match/align.h"
#include "vision/pose/pose.h"
#include "vision/reading/measure.h"
#include "vision/recording/frame_source.h"
#include "vision/unroll/unroll.h"

namespace vision::reading {

/// What one frame tells: its pose, its strip, its toes and its fusion. z = 0 at the middle of the weld as this frame
/// sees it.
struct Look {
  std::string name;
  pose::Looks looks = pose::Looks::kPlusZ;
  pose::Pose pose;
  unroll::Strip strip;
  bead::BeadToes toes;
  fusion::Fusion fusion;
  std::optional<match::Alignment> to_first;  ///< How the first look's wall lies in this one; none for the first itself.
  bool near_is_left() const { return looks != pose::Looks::kMinusZ; }
  double distance_mm() const { return std::abs(pose.bore_from_cam.translation_mm.z()); }
};

/// Frame to Look: pose, strip and toes by turns (the toes refine the pose), then fusion.
/// @return kNotFound with the reason when the frame is refused.
Result<Look> TakeLook(const recording::Frame& frame, const FrameInput& setting, const MeasureInput& input,
                      const MeasureOptions& options, const JobContext& job);

}  // namespace vision::reading
