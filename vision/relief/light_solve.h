#pragma once

#include <Eigen/Core>
#include <array>
#include <vector>

#include "vision/base/result.h"
#include "vision/bore/bore.h"
#include "vision/pose/pose.h"
#include "vision/relief/light.h"
#include "vision/relief/light_track.h"

/// All poses of a push and the plane of light, in one robust least-squares problem on the cylinder.
namespace vision::relief {

/// The middle of the stripe on bare wall.
struct StripeSight {
  int frame = 0;
  Eigen::Vector2d slope{0, 0};
  bool left = true;  ///< On the -z wall.
};

/// Heights of the walls over the bore: the -z wall is the reference (its mean is 0), both share an ovality.
struct Walls {
  std::array<double, 3> right{};  ///< Mean, cos, sin of the +z wall.
  std::array<double, 2> oval{};   ///< cos 2 theta, sin 2 theta of both.

  double At(double theta_rad, bool left) const;
};

struct PathProblem {
  std::vector<bore::BoreFromCam> poses;             ///< First guess; frame 0 keeps its z and its roll.
  std::vector<const pose::FrameSetting*> settings;  ///< One a frame.
  std::vector<DrawingPoint> drawing;
  std::vector<StripeSight> stripe;
  LightPlane plane;  ///< First guess, with the uncertainty it is held by.
  Walls walls;
  bore::Bore bore;
  double weld_z_mm = 0;           ///< Drawing before is on the -z wall, behind on the +z wall.
  double stripe_sigma_mm = 0.05;  ///< Of one stripe sight: the wall's own unevenness and drawing.
};

struct PathSolved {
  std::vector<bore::BoreFromCam> poses;
  LightPlane plane;
  Walls walls;
  double drawing_rms_px = 0, stripe_rms_mm = 0;  ///< What the solution leaves: of the drawing per axis, of the stripe.
  std::vector<double> offset_u_mm, z_u_mm, tilt_u_deg;  ///< Of each pose.
  /// Standard uncertainty of the bore's middle in each frame's plane of light against the mean over all frames: what a
  /// cut errs by against the cuts beside it.
  std::vector<double> cut_u_mm;
};

/// kNotFound with the reason where a solution is none that a push in a pipe can be: the light does not lie on the
/// walls, or these come out further apart than pieces that are welded together.
/// @param stripe_rms_mm As PathSolved.
Status Distrusted(const Walls& walls, double stripe_rms_mm);

/// @return kNotFound when the problem does not converge, or leaves a pose free.
Result<PathSolved> SolvePath(const PathProblem& problem);

}  // namespace vision::relief
