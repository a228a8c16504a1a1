#pragma once

#include <vector>

#include "vision/pose/structure_search.h"

namespace vision::pose {

/// One camera of a head and the picture it took.
struct HeadView {
  cv::Mat3b picture;
  FrameSetting setting;
  bore::BoreFromCam head_from_cam = {};  ///< Its place on the head.
  bool up_known = true;                  ///< Its image's up is given.
};

/// The pose of a head, of its origin and its z direction; order of the covariance as Pose's.
struct HeadFound {
  bore::BoreFromCam bore_from_head;
  Pose origin;  ///< bore_from_cam = bore_from_head, with covariance, agreement, margin, trusted.
  Structure structure;
};

/// Tilt and offset alone, with a weld or without: z = 0 lies at the weld's middle where structure.weld is set, else at
/// the middle of the cameras.
/// @return kNotFound "not a view along a bore: ..."
Result<HeadFound> FindHeadStand(const std::vector<HeadView>& views, const bore::Bore& bore,
                                const PoseOptions& options = {}, const JobContext& job = {});

/// Finds where a head stands from all its cameras together; none of them has to look along the bore, as long as each
/// looks less than 60 degrees off it. A camera that sees nothing costs its sector only.
/// @param views One or more, all looking the same way along the bore.
/// @return kNotFound as FindPose.
Result<HeadFound> FindHeadPose(const std::vector<HeadView>& views, const bore::Bore& bore,
                               const PoseOptions& options = {}, const JobContext& job = {});

/// What the search says of one frame, believed or not.
struct Sought {
  Result<Pose> pose;         ///< As FindPose, but a place in doubt is an error too (kPlaceInDoubt).
  std::optional<Pose> best;  ///< The best place all the same; where no weld was found, a radius before z = 0.
};

Sought SeekPose(const cv::Mat3b& frame, const bore::Bore& bore, const FrameSetting& setting,
                const PoseOptions& options = {}, const JobContext& job = {});

}  // namespace vision::pose
