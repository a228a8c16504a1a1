#pragma once

#include <optional>
#include <vector>

#include "vision/base/result.h"
#include "vision/reading/look.h"
#include "vision/reading/push.h"

/// Several cameras fixed to one head. Frames taken together (one shot) share the head's pose: cameras that look along
/// the bore find it, each is weighted by its own uncertainty, and every camera, one that looks sideways too, then reads
/// the wall from there.
namespace vision::reading {

/// The head's pose put together from what several cameras found.
struct HeadPose {
  bore::BoreFromCam bore_from_head;  ///< z = 0 at the weld's middle.
  /// Order: offset x, offset y, z of the head's origin [mm], turn about bore x, turn about bore y [rad].
  Eigen::Matrix<double, 5, 5> covariance = Eigen::Matrix<double, 5, 5>::Zero();
  double worst_gap_mm = 0;   ///< Largest distance of one camera's head from the common one.
  double worst_gap_deg = 0;  ///< Largest turn between them, the turn about the bore's axis left out.
  bool axis_told = true;     ///< As pose::Pose.
  bool agree = true;         ///< Gaps no larger than RigOptions::largest_gap of their uncertainty.
};

/// What one camera found, brought to the head.
struct HeadSeen {
  bore::BoreFromCam bore_from_head;
  double offset_u_mm = 0, z_u_mm = 0, tilt_u_rad = 0;  ///< Of the head's origin and axis, by that camera alone.
  bool axis_told = true;                               ///< As pose::Pose.
  bool up_known = true;                                ///< Its image's up is given in the joint file.
};

/// Source: not noted, so taken as chosen; where a field says none.
struct RigOptions {
  double largest_gap = 3;      ///< Of the standard uncertainty of the difference; > 0.
  double along_bore_deg = 20;  ///< A camera turned off the head by more is not read alone (PoseOptions::max_tilt_deg);
                               ///< in (0, 90).

  [[nodiscard]] Status Check() const;
};

/// @param pose As found for the camera; @param head_from_cam where the camera sits on the head.
HeadSeen BroughtToHead(const pose::Pose& pose, const bore::BoreFromCam& head_from_cam);

/// Weighted mean of offsets, z and the axis's direction; the turn about the bore's axis is that of the
/// surest camera whose up is given.
/// @param seen One or more.
HeadPose PutTogether(const std::vector<HeadSeen>& seen, const RigOptions& options = {});

/// The pose of a camera on the head, its uncertainty with the lever from the head's origin.
pose::Pose OfCamera(const HeadPose& head, const bore::BoreFromCam& head_from_cam);

/// First frame of the shot's end: frames of one recording that follow each other and carry the same shot number.
/// @return `begin` where the frame there belongs to no shot.
std::size_t EndOfShot(const std::vector<Waiting>& waiting, std::size_t begin);

/// Looks of every camera of one shot. A camera that found no pose of its own (sideways, or refused) is read from the
/// head's; cameras that disagree are a note, and then the surest alone gives the head.
/// @return kNotFound when no camera of the shot finds the head's pose.
Result<std::vector<Look>> TakeShot(std::vector<Waiting>& waiting, std::size_t begin, std::size_t end,
                                   const MeasureInput& input, const MeasureOptions& options, Reading& reading,
                                   const JobContext& job);

}  // namespace vision::reading
