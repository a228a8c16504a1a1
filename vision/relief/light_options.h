#pragma once

#include <cstddef>

#include "vision/base/result.h"

namespace vision::relief {

/// From stripe edges to heights. Source: trials on rendered welds of our own maker (make_scene --kind light_section),
/// where a field says no other.
struct LightCutOptions {
  double edge_scatter_mm = 0.045;  ///< One edge in one column: the wall's drawing and noise (least value).
  double drawing_mm = 0.02;        ///< What of the surface's own brightness does not average out, two edges.
  /// An edge read in the stripe's own light where a pixel is half a millimetre of height: colour is coded coarsely
  /// and flattens the crest. From trials on made-up welds: 0.06 mm there, 0.13 and 0.16 at 0.66 and 0.71 mm, as the
  /// cube.
  double own_light_mm = 0.062;
  /// Millimetres of height in one pixel at which `own_light_mm` was found.
  double own_light_at_mm_per_px = 0.5;
  double one_edge_mm = 0.05;  ///< Of one edge alone, brought to the mean of both.
  /// Of how unevenly the two edges differ close by: so much either may be off where gloss or glare takes one of them.
  /// Chosen: what takes both alike moves their mean as far.
  double apart_share = 1;
  double beside_mm = 0.6;  ///< Along z, over which the two edges' difference is taken.
  double bridged_mm = 6;   ///< Along z, between two places that know the difference.
  /// By which the surface may bend otherwise between two cuts than the cubic, 1/mm.
  double curvature_per_mm = 0.2;

  [[nodiscard]] Status Check() const;
};

/// How the stripe is told and followed around one frame. Shares are of linear light. Source: chosen; no other.
struct StripeTraceOptions {
  double level_share = 0.45;     ///< Height of the edge between surroundings and (clipped) peak.
  float full_share = 0.93F;      ///< Linear brightness taken as blown out (code 247).
  double stray_px = 1.6;         ///< An edge further from where it should be is something else.
  float alike_share = 0.1F;      ///< Surroundings on the two sides, of the peak: the stripe stands alone.
  float dark_share = 0.3F;       ///< Of the peak: brighter surroundings are no plain wall.
  int slope_rows = 3;            ///< Rows the path may move a column.
  float stands_off = 15;         ///< Codes by which a coloured stripe stands off the wall.
  double colour_spread_px = 8;   ///< Over which colour is averaged: a blown-out stripe has it on its rims.
  double beside_px = 14;         ///< Surroundings looked at beyond the heights sought.
  double radius_share = 0.02;    ///< Of a known radius: tilt of the camera.
  double off_the_bore_mm = 4;    ///< What is cut may lie so far off the bore: bead, misaligned wall.
  int bands_tried = 3;           ///< In each direction, where the radius is known.
  float stands_over = 3;         ///< Times the unevenness of what lies beside it: no edge of noise.
  float uneven_quantile = 0.9F;  ///< Of what lies beside it, less its usual light: that unevenness.
  int evened_columns = 2;        ///< On either side, over which the stripe's own light is evened.
  /// Of the stripe's usual width: what is blown out over more hides it, unless its own light shows on both sides.
  double glare_share = 0.3;
  double beside_glare_px = 2;  ///< Nearer to it an edge is not told.
  float rim_share = 0.3F;      ///< Of the usual own light, on both sides of a band: gloss made the stripe wide.
  double rim_before_px = 1.5, rim_beyond_px = 1;  ///< Of an edge, where that light is looked for.
  double widest_share = 2.5;                      ///< Of the usual width: such a band is no wider.
  /// Of the radius: a frame's circle that lies further than this from where the other frames put it is not the
  /// stripe's.
  double astray_share = 0.02;
  std::size_t fewest_even = 4;  ///< Frames that tell where the others' circles lie: three give a line any slope.
  std::size_t trials = 400;     ///< Circles through three places that are tried. Numerics: more change nothing.

  [[nodiscard]] Status Check() const;
};

/// When the stripe's own light is told from the wall's by colour. Source: chosen; no other.
struct OwnLightOptions {
  std::size_t fewest = 200;    ///< Places to learn from.
  double beside_share = 0.06;  ///< Of the radius: wall beside the rim.
  double least_apart = 0.3;    ///< Sine of the angle between the colours of wall and stripe.

  [[nodiscard]] Status Check() const;
};

/// How the wall's drawing is followed. Source: chosen; no other.
struct DrawingOptions {
  double pitch_mm = 0.25;     ///< Cell of the strips that are compared.
  double patch_mm = 8;        ///< Side of a patch.
  double patch_share = 0.12;  ///< Of the radius: in a small bore little wall is clear of stripe and weld.
  /// Whatever is fixed to the camera (coding blocks, dust, its own noise) draws a match to no motion at all; on
  /// rendered frames by up to a fifth of a pixel where the true motion is below this, and no longer seen above.
  /// Trials: rendered frames with truth.
  double apart_px = 4.5;
  double fine_mm = 0.35;   ///< Band kept: finer is noise ...
  double coarse_mm = 2.2;  ///< ... coarser is light.

  [[nodiscard]] Status Check() const;
};

}  // namespace vision::relief
