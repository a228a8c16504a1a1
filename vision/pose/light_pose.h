#pragma once

#include "vision/pose/pose.h"

namespace vision::pose {

/// A pose from light alone: a far end that darkens about the axis, a lamp beside the lens, one ring (axis.h, ring.h).
/// @return kNotFound "not a view along a bore: ..." or "no weld found: ..." with what was missing.
Result<Pose> FindPoseByLight(const cv::Mat3b& frame, const bore::Bore& bore, const FrameSetting& setting,
                             const PoseOptions& options, const JobContext& job);

}  // namespace vision::pose
