#pragma once

#include <limits>
#include <string>
#include <vector>

#include "vision/base/job.h"
#include "vision/base/result.h"
#include "vision/base/sentence.h"
#include "vision/bead/bead_options.h"
#include "vision/unroll/strip.h"

/// Where the bead leaves the wall on either side, from the strip of one frame.
namespace vision::bead {

/// Source: not noted, so taken as chosen; where a field says none.
struct ToeOptions {
  bool near_is_left = true;        ///< The camera looks along +z, so the left (-z) toe is the nearer one.
  double camera_distance_mm = 50;  ///< From the camera to the weld, along the axis.
  double radius_mm = 77;           ///< Of the bore.
  /// Standard uncertainty of the step between the two walls: it moves the far toe by step * distance / radius, which
  /// one view cannot tell from width. As likely anywhere within 0.8 mm either way, the tighter of the usual hi-lo
  /// limits (common practice, no single source): 0.8 / sqrt(3), JCGM 100:2008 4.3.7.
  double misalignment_prior_mm = 0.46;
  double pose_scale_u = 0.01;  ///< Relative standard uncertainty of lengths along the axis that the pose leaves.
  /// Arc to either side over which the far toe is evened: alone, one line is mostly noise. Where other frames show the
  /// same toe from close by, less, since a toe wanders by 0.1 mm within 2 mm of arc.
  double far_even_mm = 2.5;
  EdgeOptions edge;
  HollowOptions hollow;
  WeldBandOptions weld;
  FinderOptions finder;

  /// nullopt if every value is usable, else a sentence naming the field.
  Status Check() const;
};

/// One toe over the 720 station lines (theta = 0.5 degree * index).
struct ToeLine {
  std::vector<double> z_mm;    ///< NaN where not visible.
  std::vector<double> u_mm;    ///< Standard uncertainty of z_mm; NaN where not visible, and of FindToes.
  std::vector<char> visible;   ///< 1 = stated.
  std::vector<Reason> reason;  ///< Why a line is not visible; empty where it is.
};

struct BeadToes {
  ToeLine left, right;
  std::vector<char> hollow;  ///< Per station line: 1 = the root looks hollow (dark near half, bright far half).
  bool weld_found = false;
  double contrast = 0;  ///< How far the bead stands out: its response over the strongest response of the bare wall.
};

/// For watching, not for measuring: no uncertainty is told.
/// @return kNotFound "no weld found ..." where nothing in the strip stands out from the wall all round.
Result<BeadToes> FindToes(const unroll::Strip& strip, const ToeOptions& options, const JobContext& job = {});

}  // namespace vision::bead
