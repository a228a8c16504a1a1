#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "vision/base/job.h"
#include "vision/base/result.h"
#include "vision/match/align.h"
#include "vision/unroll/strip.h"

/// Registration of two recordings of one joint at different times: the roll is not known, camera, distance and light
/// differ, and part of the weld may have been ground away. The wall beside the weld holds still and carries the answer.
namespace vision::match {

/// A strip as it is kept in files.
struct FlatPicture {
  unroll::StripGrid grid;
  cv::Mat3b image;
  cv::Mat1b seen;  ///< 255 = examined.
};

/// One patch of wall found in both: where the moving strip shows what the fixed one shows at theta, z.
struct RingPatch {
  double theta_deg = 0, z_mm = 0;  ///< Middle of the patch, fixed strip.
  double moving_theta_deg = 0, moving_z_mm = 0;
  double correlation = 0;
};

/// moving(theta, z): theta_moving = theta + roll + turn(theta, side), z_moving = z + shift(theta, side).
struct RingMatch {
  double radius_mm = 0;
  double roll_deg = 0;                   ///< Moving minus fixed, in [0, 360).
  AroundBore left_z_mm, right_z_mm;      ///< By the walls on the -z and the +z side.
  AroundBore left_arc_mm, right_arc_mm;  ///< Beyond the roll.
  double residual_mm = 0;                ///< Root mean square of the used patches about the smooth functions.
  double agreeing = 0;                   ///< Share of the patches that agree, in [0, 1].
  double largest_gap_deg = 360;          ///< Longest arc without an agreeing patch on either side.
  double lead = 0;                       ///< Score of this roll over the best other one.
  bool trusted = false;
  Reason doubt;  ///< Why not trusted, for people; empty otherwise.
  std::vector<RingPatch> used;

  /// Where a place of the fixed strip lies in the moving one.
  void MovingFromFixed(double theta_deg, double z_mm, double* moving_theta_deg, double* moving_z_mm) const;
  /// And back, to a hundredth of a millimetre.
  void FixedFromMoving(double theta_deg, double z_mm, double* fixed_theta_deg, double* fixed_z_mm) const;
};

/// What came and what went, B G R. Blue and orange of Okabe and Ito (2008), apart for people who see colours
/// differently; whoever has a table of meanings gives its own.
struct TwoColours {
  cv::Vec3b more{0, 94, 213}, less{178, 114, 0};
};

/// Source: not noted, so taken as chosen; where a field says none.
struct RingOptions {
  double from_mm = 6.5, to_mm = 14.5;  ///< The wall's stretch beside the weld that is compared, each side.
  double reach_mm = 3;                 ///< How far along z the strips may lie apart; > 0.
  double wander_mm = 4;                ///< How far the arc may wander about the roll; > 0.
  int patches = 36;                    ///< Around the bore, each side; in [12, 360].
  double min_lead = 1.25;              ///< Below, the roll could be another one; > 1. No unit.
  double min_agreeing = 0.5;           ///< Share of patches; in (0, 1].
  double max_gap_deg = 75;             ///< An arc this long without a patch is not registered; in (0, 360].
  double max_residual_mm = 0.25;       ///< > 0.
  double max_radius_off = 0.01;        ///< Two bores that differ by a larger share are two joints; in (0, 1).
  double search_cell_mm = 0.2;         ///< Of the search over all rolls.
  double patch_arc_mm = 18;            ///< Width of a patch.
  double fine_mm = 0.3;                ///< Band of the drawing that is kept: finer is noise ...
  double coarse_mm = 2.5;              ///< ... coarser is light.

  [[nodiscard]] Status Check() const;
};

/// @return kBadInput when the bores differ in radius: another joint. kNotFound when no roll brings the walls together:
/// not the same wall. A match that is doubtful comes back with `trusted` false and the reason.
Result<RingMatch> MatchRing(const FlatPicture& fixed, const FlatPicture& moving, const RingOptions& options = {},
                            const JobContext& job = {});

/// The moving picture laid on the fixed one's grid.
FlatPicture LaidOn(const FlatPicture& moving, const unroll::StripGrid& fixed, const RingMatch& match);

/// What changed, for the eye: fixed in grey, lighter or darker where the moving one is, once both are freed of light
/// and brought to one contrast. Not a measurement.
/// @param colours Towards which grey turns where the moving one is lighter, and where it is darker.
cv::Mat3b Difference(const FlatPicture& fixed, const FlatPicture& laid, const TwoColours& colours = {});

}  // namespace vision::match
