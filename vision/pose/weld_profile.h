#pragma once

#include <Eigen/Core>
#include <vector>

#include "vision/pose/sphere_chart.h"

namespace vision::pose {

/// How the weld is told from steps, marks and a dam's seat on the profile round the bore. Lengths are a root's (mm
/// along the axis; common practice, no source); the rest on drawn scenes, but least_lead and tint: see Known limits.
struct WeldProfileOptions {
  double step_mm = 0.25;                           ///< Row; in [0.05, 1].
  int columns = 360;                               ///< Azimuths; >= 90.
  double from_share = 0.1, to_share = 2.1;         ///< Radii along the axis looked at; 0 < from < to.
  double seen_share = 0.35;                        ///< Of the circle a row needs; in (0, 1].
  double least_width_mm = 2.5, most_width_mm = 9;  ///< Of a root; 0 < least < most.
  double usual_width_mm = 5.2, width_u_mm = 1.8;   ///< Mean and standard deviation of root widths; > 0.
  double beside_mm = 4;                            ///< Wall compared with on either side; > 0.
  double edge_mm = 0.5;                            ///< Half of an edge's own breadth; > 0.
  double trend_mm = 30;                            ///< Slow change along the bore taken out; > most_width_mm.
  double least_light = 0.006, least_tint = 0.006, least_texture = 0.05;  ///< Of a channel's spread, ln; > 0. 8 bits.
  double tint_weight = 0.5, tint_over_rest = 2;  ///< Of tint, and how much of the rest it may back; >= 0.
  double least_lead = 1.1;        ///< Strength over the next ring's; less is doubt (Pose::trusted); >= 1.
  double most_of_a_channel = 60;  ///< One channel speaks for no more than this; > 0.
};

/// The root weld on the profile round the bore.
struct WeldSeen {
  double near_mm = 0, far_mm = 0;  ///< Toes along the axis from the search's origin.
  double strength = 0;             ///< Contrast with both sides over the profile's own spread, all channels together.
  double second = 0;               ///< Strength of the next ring that might be a weld.
  double light = 0, tint = 0, texture = 0;  ///< Its parts.
  double middle_mm() const { return 0.5 * (near_mm + far_mm); }
};

/// A bead differs from the wall on both its sides: brighter or darker, or bright on the flank that faces the camera and
/// dark on the other; in tint; in texture. A step differs from one side only.
/// @param lean, offset As AxisBasis and Stand.
/// @return The strongest first, apart from each other; nothing where too little of the wall is seen.
std::vector<WeldSeen> FindWelds(const std::vector<WallView>& views, const Eigen::Vector2d& lean,
                                const Eigen::Vector2d& offset, double radius_mm, const WeldProfileOptions& options);

}  // namespace vision::pose
