#pragma once

#include <limits>
#include <string>
#include <vector>

#include "vision/base/job.h"
#include "vision/base/result.h"
#include "vision/surface/surface_options.h"
#include "vision/unroll/strip.h"

/// Indications on the bead and its toes, from the strip of one frame, and an honest statement of what was searched:
/// an indication smaller than `smallest_mm` would have been missed, and so would one on a line that is not searched.
/// Cracks are not looked for: at the resolutions of a view along the bore (0.2 to 0.5 mm a pixel) a crack is thinner
/// than a pixel and cannot be told from a ripple's shadow.
namespace vision::surface {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();

/// Source: not noted, so taken as chosen; where a field says none.
struct SurfaceOptions {
  bool near_is_left = true;  ///< The camera looks along +z, so the left (-z) toe is the nearer one.
  double margin_mm = 1;      ///< Searched beyond each toe; in (0, 5].
  /// Smallest dark core looked for, in source pixels: fewer cannot show that it is round. In [2, 20].
  double least_core_px = 2.5;
  /// How much darker than all that surrounds it a pit's core must be, natural logarithm of brightness; in (0, 1].
  double least_contrast = 0.2;
  /// And by how many times the bead's own texture (scaled median deviation); in [3, 20].
  double over_texture = 5;
  /// A pit is taken to show at least this contrast; where texture asks for more, a pore would be missed. A judgement
  /// from rendered pits (0.24 to 0.43), no published source.
  double pit_contrast = 0.25;
  double undercut_contrast = 0.2;  ///< Bright line outside the far toe over the wall beyond and the flank before.
  double least_undercut_mm = 5;    ///< Along the toe; in [2, 100].
  /// Roughness of the wall's light beside the toe from which it is called wrinkled: root mean square of the natural
  /// logarithm of brightness between 0.3 and 2 mm, drawn lines and rings taken off; in [0.02, 1].
  double scale_roughness = 0.04;
  double over_wall = 3;            ///< And by how many times the bare wall's own roughness; in [1.5, 20].
  double least_scale_mm = 6;       ///< Along the toe; in [2, 100].
  double concave_contrast = 0.25;  ///< Far half of the bead over its near half, both over the wall.
  GroundOptions ground;
  PoreOptions pores;
  UndercutOptions undercut;
  ConcaveLookOptions concave;
  ScaleOptions scale;

  [[nodiscard]] Status Check() const;
};

/// Toes and fusion over the 720 station lines.
struct Bead {
  std::vector<double> left_z_mm, right_z_mm;      ///< NaN where not visible.
  std::vector<bool> unfused_left, unfused_right;  ///< An original edge is seen: its gap is no indication of this room.
};

/// Something seen. Depth is never measured here: one view cannot tell it.
struct Seen {
  std::string kind;  ///< pore | burn_through | undercut | scale
  std::string side;  ///< left | right for an undercut and for scale
  double theta_deg = 0, z_mm = 0;
  double length_mm = kNone, width_mm = kNone, length_u_mm = kNone, width_u_mm = kNone;  ///< Around | along the axis.
  double confidence = 0;
};

/// Per station line: the smallest that would have been seen, NaN where not searched, and then why.
struct Search {
  std::string kind, side;
  std::vector<double> smallest_mm;
  std::vector<Reason> why;
};

struct Surface {
  std::vector<Seen> seen;
  std::vector<Search> searched;    ///< pore | burn_through | undercut and scale, left and right
  std::vector<bool> concave_look;  ///< Per station line: near side dark, far side bright.
};

/// @param strip With resolution along z and around. Cost: about 0.1 s for NPS 6 at 0.1 mm.
/// @return kBadInput when the bead has not 720 lines or an option is out of range; kCancelled.
Result<Surface> FindSurface(const unroll::Strip& strip, const Bead& bead, const SurfaceOptions& options,
                            const JobContext& job = {});

}  // namespace vision::surface
