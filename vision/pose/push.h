#pragma once

#include <Eigen/Core>
#include <array>
#include <optional>
#include <vector>

#include "vision/pose/pose.h"

namespace vision::pose {

/// Poses of all frames of a push, solved together.
///
/// Unknowns: six numbers a frame (three of place, three of turn), two a wall point (arc, z), the two walls' levels, and
/// if asked three of the lens. Wall points lie on the cylinder of the bore's radius less their wall's level; a sighting
/// is a point's pixel in one frame. A point seen from several distances tells an offset of the camera from a tilt,
/// which no ring in one frame can; what each frame shows of them alone (Pose::agreement > 0) is kept as a prior. Scale
/// comes from the radius alone.

/// One place on the wall that several frames saw.
struct WallPoint {
  double theta_deg = 0, z_mm = 0;
  bool left = true;  ///< On the -z wall or on the +z one.
};

/// Where one frame saw one point.
struct WallSighting {
  std::size_t frame = 0, point = 0;
  Eigen::Vector2d pixel = Eigen::Vector2d::Zero();
  Eigen::Matrix2d covariance_px2 = Eigen::Matrix2d::Identity();
};

/// What is known of a frame before the solution.
struct PushFrame {
  Pose start;
  FrameSetting setting;
  std::optional<double> travel_mm;  ///< Reading of a travel counter, growing as the camera moves forward.
};

/// Heights of the two walls over the bore's radius, mm, as harmonics round the bore. The axis and the radius are those
/// of the -z wall: a step is the other's alone.
struct WallLevels {
  /// Right minus left: 1, cos, sin, cos 2, sin 2; then what both share: 1 (held by the radius's
  /// uncertainty), cos 2, sin 2 (ovality).
  std::array<double, 8> c{};
  Eigen::Matrix<double, 8, 8> covariance = Eigen::Matrix<double, 8, 8>::Zero();

  static Eigen::Matrix<double, 8, 1> Basis(double theta_deg, bool left);
  double Height(double theta_deg, bool left) const;
  double Step(double theta_deg) const;  ///< Height of the right wall minus that of the left.
  double StepU(double theta_deg) const;
};

/// Source: not noted, so taken as chosen; where a field says none.
struct PushOptions {
  double up_u_deg = 0.5;       ///< How well each frame's up_theta_deg is known (k = 1); > 0.
  double counter_u_mm = 1;     ///< How well a travel counter's steps are known (k = 1); > 0.
  double step_prior_mm = 1;    ///< Standard deviation of a wall's step and of its harmonics beforehand; > 0.
  double oval_prior_mm = 0.3;  ///< The same of ovality; > 0.
  double lens_u = 0;           ///< Relative standard deviation of the focal length; 0 = the lens is held; in [0, 0.1].
  double robust = 2;           ///< Sightings farther off than this many of their deviations pull less; > 0.
  int threads = 2;             ///< In [1, 64].
  int fewest_sightings = 12;   ///< A point of wall needs so many for the walls' levels; in [3, 10000]. Chosen.
  /// How far the principal point may wander when the lens is refined. In [0, 100]. Chosen.
  double centre_px = 2;

  [[nodiscard]] Status Check() const;
};

/// Covariance of a pushed frame: offset x, offset y, z [mm], turn about the image's right, down and forward [rad].
using PoseCovariance = Eigen::Matrix<double, 6, 6>;

struct PushSolution {
  std::vector<Pose> poses;                  ///< One a frame, in the order given; 5 x 5 covariance as everywhere.
  std::vector<PoseCovariance> covariances;  ///< With the roll.
  std::vector<int> sightings;               ///< Used, per frame.
  std::vector<WallPoint> points;            ///< As solved.
  WallLevels levels;
  double focal_scale = 1;  ///< Of the lens, when it was refined.
  double residual_px = 0;  ///< Root mean square of the sightings that count (within 3 robust deviations).
  double chi = 0;          ///< Robust deviation of the residuals over what their covariances promised; near 1.
  double used_share = 0;   ///< Of all sightings.
};

/// @return kNotFound when a frame shares too few points with the others (fewer than 12 sightings) or nothing settles;
/// kBadInput for indices out of range.
Result<PushSolution> SolvePush(const std::vector<PushFrame>& frames, const std::vector<WallPoint>& points,
                               const std::vector<WallSighting>& sightings, const bore::Bore& bore,
                               const PushOptions& options = {}, const JobContext& job = {});

}  // namespace vision::pose
