#pragma once

#include <Eigen/Core>
#include <vector>

#include "vision/pose/sphere_chart.h"

namespace vision::pose {

/// How the weld is told from steps and marks on the averaged profile. Lengths are a bead's (mm along the axis).
/// Source: common practice, no source, for the sizes; weights as StructureOptions.
struct WeldProfileOptions {
  double step_mm = 0.25;                     ///< Row; in [0.05, 1].
  int columns = 720;                         ///< Azimuths; >= 90.
  double from_share = 0.1, to_share = 1.75;  ///< Radii along the axis looked at; 0 < from < to.
  double seen_share = 0.35;                  ///< Of the circle a row needs; in (0, 1].
  double rise_clip = 0.03;  ///< Of the rise in ln luminance a row; > 0. A glint must not speak for the ring.
  double crest_mm = 3.5;    ///< The crest lies within this of the near toe; > 0.
  double before_mm = 4, after_from_mm = 2, after_to_mm = 9;              ///< Darker sides; > 0.
  double least_width_mm = 2.8, most_width_mm = 9.5, usual_width_mm = 5;  ///< Of a root; > 0.
  double width_u_mm = 1.5;                                               ///< Standard deviation of root widths; > 0.
  double trend_mm = 24;  ///< Slow change along the bore taken out; > most_width_mm.
};

/// The root weld on the profile round the bore.
struct WeldSeen {
  double near_mm = 0, far_mm = 0;  ///< Toes along the axis from the search's origin.
  bool far_seen = false;           ///< Else `far_mm` is a usual width on.
  double strength = 0;             ///< Crest over its darker sides in ln luminance, by texture.
  double second = 0;               ///< Strength of the next ring that might be a weld.
  double middle_mm() const { return 0.5 * (near_mm + far_mm); }
};

/// @param lean, offset As AxisBasis and Stand.
/// @return The strongest first; nothing where no ring rises and falls as a bead does.
std::vector<WeldSeen> FindWelds(const std::vector<WallView>& views, const Eigen::Vector2d& lean,
                                const Eigen::Vector2d& offset, double radius_mm, const WeldProfileOptions& options);

}  // namespace vision::pose
