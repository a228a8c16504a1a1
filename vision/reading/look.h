#pragma once

#include <optional>
#include <string>
#include <vector>

#include "vision/base/job.h"
#include "vision/base/result.h"
#include "vision/bead/toes.h"
#include "vision/evidence/evidence.h"
#include "vision/match/align.h"
#include "vision/pose/head.h"
#include "vision/pose/pose.h"
#include "vision/pose/push.h"
#include "vision/reading/edges.h"
#include "vision/reading/measure.h"
#include "vision/reading/reading.h"
#include "vision/recording/frame_source.h"
#include "vision/resolve/resolve.h"
#include "vision/unroll/unroll.h"

namespace vision::reading {

/// What one frame tells: its pose, its strip, its toes and its near edge. z = 0 at the middle of the weld as this frame
/// sees it.
struct Look {
  std::string name;
  std::optional<std::size_t> recording;  ///< Index of its recording in the input; none for the plane of light's look.
  std::optional<int> shot;               ///< Taken together with the other looks of this shot (rig.h).
  pose::Facing facing = pose::Facing::kPlusZ;
  pose::Pose pose;
  unroll::Strip strip;
  evidence::StripEvidence said;  ///< What the fitted reader saw on the strip.
  bead::BeadToes toes;
  NearEdge edge;
  std::vector<BoreRing> rings;  ///< Beside the weld (bore_rings.h).
  resolve::Sharpness sharpness;
  std::optional<match::Alignment> to_first;  ///< How the first look's wall lies in this one; none for the first itself.
  std::optional<pose::WallLevels>
      levels;  ///< When the pose was solved together with other frames: both walls' heights.
  bool near_is_left() const { return facing != pose::Facing::kMinusZ; }
  double distance_mm() const { return std::abs(pose.bore_from_cam.translation_mm.z()); }
};

/// Frame to Look: pose, strip and toes by turns (the toes refine the pose), then the edge.
/// @return kNotFound with the reason when the frame is refused.
/// @param sought What the search said of the frame already; filled where it is empty and the search is made.
Result<Look> TakeLook(const recording::Frame& frame, const FrameInput& setting, const MeasureInput& input,
                      const MeasureOptions& options, const JobContext& job, std::optional<pose::Sought>& sought);

/// The same from a pose solved together with other frames, which is kept as it is.
/// @param step_u_mm Standard uncertainty of the step between the walls, where that was solved too.
Result<Look> TakeLookFrom(const recording::Frame& frame, const FrameInput& setting, const pose::Pose& pose,
                          std::optional<double> step_u_mm, const MeasureInput& input, const MeasureOptions& options,
                          const JobContext& job);

/// What a frame's settings say to the pose, with its mask read.
Result<pose::FrameSetting> SettingOf(const FrameInput& input);

/// The zone of the weld laid flat from a pose.
Result<unroll::Strip> StripOf(const recording::Frame& frame, const pose::FrameSetting& setting, const pose::Pose& pose,
                              const bore::Bore& bore, const MeasureOptions& options, const JobContext& job);

/// Middle between a look's toes (or near toe and half the insert where only that one is seen), mm along z.
double MiddleOfWeld(const Look& look, double insert_width_mm);

}  // namespace vision::reading
