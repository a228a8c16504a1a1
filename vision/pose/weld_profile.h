#pragma once

#include <Eigen/Core>
#include <vector>

#include "vision/pose/sphere_chart.h"
#include "vision/pose/stand_reader.h"

namespace vision::pose {

/// ln of how much likelier a ring is the weld than that the profile holds none, as a sum over what it shows.
/// Conditional logit with "none" as one of the answers. Source: scripts/fit_pose_doubt.py on recordings of make_field
/// (tame looks, bare bores among them), see DEVELOPERS.md.
struct WeldOdds {
  double base = -2.987;
  double light = 0.313, tint = 1.086,
         texture = 2.140;      ///< Of ln(1 + contrast over the profile's spread), each channel.
  double light_jump = -4.572;  ///< Of |ln| of the wall beyond over the wall before.
  double ln_radius = -0.616;   ///< Of ln of the radius in mm: a larger bore shows more rings by chance.
  double read = 1.473;         ///< Of what the fitted reader of the stand says, ln (StandRead::LnWeldAt).
};

/// How the weld is told from steps, marks and a dam's seat on the profile round the bore. Lengths are a root's (mm
/// along the axis; common practice, no source).
/// Source: not noted, so taken as chosen; where a field says none.
struct WeldProfileOptions {
  double step_mm = 0.25;                           ///< Row; in [0.05, 1].
  int columns = 360;                               ///< Azimuths; >= 90.
  double from_share = 0.1, to_share = 2.1;         ///< Radii along the axis looked at; 0 < from < to.
  double seen_share = 0.35;                        ///< Of the circle a row needs; in (0, 1].
  double least_width_mm = 2.5, most_width_mm = 9;  ///< Of a root; 0 < least < most.
  double beside_mm = 4;                            ///< Wall compared with on either side; > 0.
  double edge_mm = 0.5;                            ///< Half of an edge's own breadth; > 0.
  double trend_mm = 30;                            ///< Slow change along the bore taken out; > most_width_mm.
  double least_light = 0.006, least_tint = 0.006, least_texture = 0.05;  ///< Of a channel's spread, ln; > 0. 8 bits.
  double most_of_a_channel = 60;  ///< One channel speaks for no more than this; > 0.
  WeldOdds odds;
};

/// The root weld on the profile round the bore.
struct WeldSeen {
  double near_mm = 0, far_mm = 0;           ///< Toes along the axis from the search's origin.
  double light = 0, tint = 0, texture = 0;  ///< Contrast with both sides over the profile's own spread.
  double light_jump = 0;                    ///< Wall beyond over wall before it, ln.
  double read = 0;                          ///< ln of how much likelier the fitted reader finds it than any place.
  double odds = 0;                          ///< ln, as WeldOdds.
  double chance = 0;                        ///< To be the weld, the other rings and "none" considered.
  double middle_mm() const { return 0.5 * (near_mm + far_mm); }
};

/// A bead differs from the wall on both its sides: brighter or darker, or bright on the flank that faces the camera and
/// dark on the other; in tint; in texture. A step differs from one side only.
/// @param lean, offset As AxisBasis and Stand.   @param read What the fitted reader says of that stand; may be null.
/// @return The likeliest first, apart from each other; nothing where too little of the wall is seen.
std::vector<WeldSeen> FindWelds(const std::vector<WallView>& views, const Eigen::Vector2d& lean,
                                const Eigen::Vector2d& offset, double radius_mm, const WeldProfileOptions& options,
                                const StandRead* read = nullptr);

/// Chances from odds: the rings and "none" (odds 0) together are certain.
void ShareChances(std::vector<WeldSeen>* welds);

}  // namespace vision::pose
