#pragma once

#include "vision/base/result.h"
#include "vision/pose/doubt.h"

namespace vision::pose {

/// How a camera's picture is laid on the sphere of its sights.
/// Source: not noted, so taken as chosen; where a field says none.
struct ChartOptions {
  double rim_deg = 2;  ///< Left out at the edge of the lens's circle; in [0, 10]. Vignetting and the circle's edge.
  int rim_px = 2;      ///< Left out at the picture's edge; >= 0.
  /// Added to 0..255 before the logarithm of luminance; > 0. About the noise of dark metal; grey levels.
  double dark_level = 12;
  double tint_level = 20;  ///< The same for red over blue; > 0. Coarse chroma of compressed pictures; codes.
};

/// How tilt and offset are searched.
/// Source: steps from a trial on other renders; weights looked at again, floors and levels from drawn scenes
/// (pose_population; DEVELOPERS.md).
struct StructureOptions {
  ChartOptions chart;
  int coarse_width_px = 480, fine_width_px = 1280;  ///< Pictures are made smaller to these first; >= 160.
  double outward_deg = 60;     ///< A camera of a head turned outward by less still looks along the bore; in (0, 80].
  double search_deg = 14;      ///< Tilts tried at no offset; in (0, 40].
  double search_step_deg = 2;  ///< In (0, 5].
  double valley = 0.45;        ///< Tilt [rad] that undoes an offset of one radius for the rings in sight; in [0.1, 1].
  double walk_deg = 6;         ///< Walked along that valley each way; in (0, 20].
  double walk_step_deg = 1;    ///< In (0, 3].
  int keep = 4;                ///< Places of the valley refined; in [1, 12].
  int read_places = 2, most_looks = 3;  ///< Led on by the fitted reader; looks at each; in [0, 6], [1, 6].
  double still = 0.5;                   ///< Standard deviations; a smaller step ends the looks; > 0.
  double read_variance = 3;  ///< What the reader's own variance is multiplied by; > 0. Own frames: 95 % inside.
  double read_freedom = 5;   ///< Of its t distribution, as it was trained; > 2.
  double coarse_lines = 1, fine_lines = 0.4;     ///< Weight of the lines' energy beside the rings' agreement; >= 0.
  double tilt_u_deg = 6, offset_u_share = 0.15;  ///< Wide prior where no mount is given; > 0.
  double prior_cost = 0.02;                      ///< Of one standard uncertainty of that prior, in score; > 0.
  double most_offset_share = 0.45, most_tilt_deg = 17;  ///< Not looked at beyond; (0, 0.8], (0, 45].
  double beyond_toe_share = 0.12;  ///< Rows kept past the far toe, in radii: beyond the bore may bend; >= 0.
  double margin_deg = 1.5;         ///< Along the valley, where the margin is taken; > 0.
  double margin_share = 0.05;      ///< And of the offset alone, in radii; > 0.
  double least_kept = 0.4;         ///< Of the rings' agreement that rows up to the weld must hold; in [0, 1].
  /// Of lines and rings with the prior; less, and no margin either, is no bore; >= 0. Noise and photographs of other
  /// things reach 0.29, with margins up to 0.06, faint bores of our own maker begin at 0.01 and 0.03: what lies between
  /// shows its strip to the eye.
  double min_score = 0.28;
  double min_margin = 0.03;  ///< Less, and a low score, is no bore; >= 0.
  DoubtOptions doubt;
  double score_unit = 0.04;                                      ///< Score that is worth a factor e in likelihood; > 0.
  double least_tilt_u_deg = 0.15, least_offset_u_share = 0.004;  ///< Standard uncertainty of the sharpest peak; > 0.
  double misalignment_mm = 0.5;  ///< First harmonic of the step between the walls; >= 0. Common practice, no source.
  double middle_u_mm = 0.7, distance_u_share = 0.003;  ///< Of the weld's middle on the profile; >= 0.

  [[nodiscard]] Status Check() const;
};

}  // namespace vision::pose
