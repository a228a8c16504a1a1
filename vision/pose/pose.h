#pragma once

#include <Eigen/Core>
#include <opencv2/core.hpp>
#include <optional>
#include <string>
#include <vector>

#include "vision/base/job.h"
#include "vision/base/result.h"
#include "vision/bore/bore.h"
#include "vision/camera/lens.h"
#include "vision/pose/structure_options.h"

/// Where the camera stood in the bore, found from one frame without anybody's help.
///
/// Two kinds of structure, neither of which asks where the light stands: (1) drawing lines along the bore meet in its
/// axis, wherever the camera stands: the two tilts (axial_lines.h); (2) rings round it (toes, tint, steps) agree over
/// sectors only when tilt and offset are right (ring_agreement.h). A dark far end and a lamp beside the lens are one
/// hint among the places tried (light_pose.h); the picture's structure judges all of them.
namespace vision::pose {

/// Which way the camera looked along the bore.
enum class Facing { kPlusZ, kMinusZ, kSide };

std::optional<Facing> FacingFromName(const std::string& name);  ///< +z | -z | side
std::string NameOf(Facing facing);

/// How the head rides in the bore, as a person knows it; each a standard uncertainty. Absent: the wide defaults of
/// StructureOptions.
struct MountPrior {
  std::optional<double> centred_u_mm = std::nullopt;  ///< Of either offset from the axis; > 0.
  std::optional<double> tilt_u_deg = std::nullopt;    ///< Of either tilt against the axis; > 0.
  std::optional<double> distance_mm = std::nullopt;   ///< From the camera (the head's origin) to the weld, unsigned.
  double distance_u_mm = 10;                          ///< Where distance_mm is given; > 0.

  [[nodiscard]] Status Check() const;
};

/// What is known of a frame beforehand.
struct FrameSetting {
  camera::Lens lens;
  Facing facing = Facing::kPlusZ;
  double up_theta_deg = 0;  ///< Bore angle of the image's up vector projected on the cross-section.
  cv::Mat1b mask;           ///< 255 = never sees the wall there; empty = none.
  MountPrior mount = {};
};

/// The five numbers of a pose about a known roll, and how well they are known.
struct Pose {
  bore::BoreFromCam bore_from_cam;  ///< z = 0 at the weld's middle.
  Eigen::Matrix<double, 5, 5> covariance = Eigen::Matrix<double, 5, 5>::Zero();
  ///< Order: offset x, offset y, z [mm], tilt about the image's right, tilt about the image's down [rad].
  double ring_strength = 0;  ///< By light alone: how far the ring stood out (RingSeen::strength); else 0.
  double residual_px = 0;    ///< Root mean square distance of the ring from its circle.
  /// What the picture's structure says for this pose: agreement of drawing lines and rings, and by how much it falls
  /// towards the best pose that is another one. 0 where structure was not asked.
  double agreement = 0, margin = 0;
  double chance_wrong = 0;  ///< Of stand or weld (DoubtOptions); 0 where structure was not asked.
  bool trusted = true;      ///< False: for the eye only (DoubtOptions::most_wrong_weld, most_wrong_measured).
  bool axis_told = true;    ///< False: tilt and offset trade too freely to be told; the covariance holds that.
  std::string how;

  double tilt_deg() const;     ///< Unsigned, optical axis against bore axis.
  double offset_u_mm() const;  ///< Standard uncertainty of either offset.
  double z_u_mm() const;
  double tilt_u_deg() const;
};

/// Source: not noted, so taken as chosen; where a field says none.
struct PoseOptions {
  double max_tilt_deg = 20;        ///< Searched about the optical axis; in (0, 45].
  double max_offset_share = 0.35;  ///< Searched offset as a share of the radius; in (0, 0.8].
  double ring_wander_mm = 0.3;     ///< Standard deviation of the bead's own wander along the axis; > 0.
  /// Energy of the weld ring over the wall's own 90th percentile; below: no weld; > 1. On scenes with truth bare bores
  /// reach 11 and the weakest weld 130.
  double min_ring_strength = 25;
  /// Search by structure (lines and rings); off: by light alone, in tens of ms.
  bool by_structure = true;
  /// Standard uncertainty of a tilt that is not trusted, under a person's points; > 0.
  double doubtful_tilt_u_deg = 3;
  StructureOptions structure;
  std::vector<bore::BoreFromCam> near;  ///< Places of frames taken just before and after: tried too, and they confirm.
  double near_deg = 1, near_share = 0.03;  ///< Within these of one of them a pose is confirmed; > 0.

  [[nodiscard]] Status Check() const;
};

/// A first pose from the picture alone.
/// @return kNotFound "not a view along a bore: ..." or "no weld found: ..." with what was missing.
Result<Pose> FindPose(const cv::Mat3b& frame, const bore::Bore& bore, const FrameSetting& setting,
                      const PoseOptions& options = {}, const JobContext& job = {});

/// What is said of a pose that is not trusted.
Error InDoubt();

/// One point of a toe in the picture.
struct RingPoint {
  Eigen::Vector2d pixel;
  double sigma_mm = 0.3;  ///< How far along the axis the toe may stray from its circle here.
  bool left = true;       ///< The -z toe or the +z one.
};

/// Refines a pose so that each toe lies on one circle around the bore, the tilt held by the far end. Solved with Ceres,
/// covariance included.
/// @param points Six or more.
Result<Pose> RefinePose(const Pose& start, const std::vector<RingPoint>& points, const bore::Bore& bore,
                        const FrameSetting& setting, const PoseOptions& options = {});

/// A pose from six or more points that a person set on one toe: tilt (and offset) from structure where it is sure, the
/// rest from the points.
Result<Pose> PoseFromPoints(const cv::Mat3b& frame, const std::vector<Eigen::Vector2d>& points, const bore::Bore& bore,
                            const FrameSetting& setting, const PoseOptions& options = {});

/// Rotation of a camera whose viewing axis leans so that the bore's axis is seen in direction `axis_cam` (unit, camera
/// frame, pointing away from the camera), with the image's up at `up_theta_deg`.
Eigen::Matrix3d RotationFromAxis(const Eigen::Vector3d& axis_cam, double up_theta_deg, Facing facing);

}  // namespace vision::pose
