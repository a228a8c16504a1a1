#pragma once

#include <vector>

#include "vision/base/result.h"

namespace vision::surface {

/// The band of strip that is searched. Source: chosen; no other.
struct GroundOptions {
  double beside_mm = 6;  ///< Wall kept beside the outermost toe.
  double pad_mm = 8;     ///< Repeated past theta 0.
  /// Source pixels beside a blown-out cell that bicubic sampling rings in. Numerics: the kernel of bicubic sampling.
  double glare_rim_px = 2;
  int bridge_lines = 20;  ///< Lines (10 degrees) over which a toe out of sight is bridged.

  [[nodiscard]] Status Check() const;
};

/// Pits and burn-throughs. Contrasts are natural logarithms of brightness. Source: chosen; no other.
struct PoreOptions {
  /// Diameters of dark cores looked for, rising by about a quarter; each > 0.
  std::vector<double> cores_mm = {0.4, 0.5, 0.65, 0.85, 1.1, 1.45, 1.9, 2.5, 3.3};
  double mouth_over_core = 1.5;   ///< Diameter of a pit's mouth over its dark core's.
  int directions = 12;            ///< Places on the ring that a core is compared with.
  double ring = 0.85;             ///< Radius of the ring compared with, in core diameters.
  double darker_than_bead = 0.2;  ///< Than the bead's lower quarter near by: the gap between two glints is not.
  double sector_deg = 30;         ///< The bead's texture is told over so much of the ring.
  double hole_is_dark = 1.0;      ///< A burn-through shows no metal: under 37 % of the bead's lower quarter.
  double hole_mm = 3;             ///< Smallest burn-through looked for. Common practice, no source.
  double unusable_share = 0.05;   ///< Of a line's cells that may be hidden by glare.
  double gap_reach_mm = 1.2;      ///< Beside an original edge nothing is said about pores.

  [[nodiscard]] Status Check() const;
};

/// Groove along the far toe. Source: chosen; no other.
struct UndercutOptions {
  double blur_around_mm = 2;      ///< Light is averaged around over so much.
  double from_mm = -1.0;          ///< The groove's bright line is sought from so far beyond the toe, outward ...
  double to_mm = 1.4;             ///< ... to so far.
  double median_mm = 4;           ///< Of arc, over which what the lines say is settled by their median.
  int course_lines = 80;          ///< Lines (40 degrees) each way that give the toe's course.
  double off_course_mm = 1.0;     ///< A toe further from its course was taken for something on the bead.
  double coarsest_mm = 0.5;       ///< A groove about 1 mm wide must cover two pixels.
  double concave_beside_deg = 3;  ///< A concave root's far side is bright as well.

  [[nodiscard]] Status Check() const;
};

/// A root that looks concave. Source: chosen; no other.
struct ConcaveLookOptions {
  double median_mm = 8;  ///< Of arc, over which what the lines say is settled by their median.
  double least_mm = 8;   ///< Of arc: a shorter run is not called concave.

  [[nodiscard]] Status Check() const;
};

/// Wrinkled scale beside a toe. Source: chosen on welds of our own maker (make_scene --kind scale); no published one.
struct ScaleOptions {
  double fine_mm = 0.3;             ///< Means of light over so much and over `coarse_mm`: wrinkles lie between.
  double coarse_mm = 2.0;           ///< Means of light either side of the wrinkles looked for.
  double thin_mm = 0.3;             ///< Width of a line that is taken off ...
  double line_mm = 6;               ///< ... and its length.
  double window_around_mm = 3;      ///< Roughness is told over so much of arc ...
  double window_along_mm = 1.2;     ///< ... and along z.
  double from_mm = 0.9;             ///< Searched outward from the toe from here ...
  double to_mm = 3.7;               ///< ... to here ...
  double step_mm = 0.4;             ///< ... in such steps.
  double coarsest_mm = 0.5;         ///< A wrinkle about 1 mm wide must cover two pixels.
  double least_usable_share = 0.7;  ///< Of a window that must be wall in sight.
  double ends_share = 0.15;         ///< Of the length: from our own renders, up to 10 mm of 40 were not told.
  double rim_mm = 0.5;              ///< Beside what the picture does not show.
  int course_lines = 180;           ///< Lines (90 degrees) each way that give the toe's course.
  double off_course_mm = 1.2;       ///< A toe further from its course has taken the scale's own edge for the bead's.

  [[nodiscard]] Status Check() const;
};

}  // namespace vision::surface
