#pragma once

#include <array>
#include <optional>

#include "vision/base/result.h"
#include "vision/unroll/strip.h"

/// Registration of two strips of the same wall: two looks at one joint, or the same joint before and after.
namespace vision::match {

/// A smooth function around the bore: constant and two harmonics.
struct AroundBore {
  std::array<double, 5> c{};  ///< 1, cos, sin, cos 2, sin 2.
  double At(double theta_deg) const;
};

/// Where the moving strip's picture of the wall lies in the fixed strip's: z_fixed = z_moving - z_mm(theta).
struct Alignment {
  AroundBore left_z_mm, right_z_mm;  ///< By the wall on the -z and on the +z side of the weld.
  AroundBore arc_mm;                 ///< theta_fixed * R = theta_moving * R - arc_mm(theta).
  double correlation = 0;            ///< Median over the patches used, in [-1, 1].
  double residual_mm = 0;            ///< Root mean square of the patches about the smooth functions, along z.
  int patches = 0;

  /// The part that both walls share: the two poses' disagreement.
  double Z(double theta_deg) const { return 0.5 * (left_z_mm.At(theta_deg) + right_z_mm.At(theta_deg)); }
  /// What the two walls disagree about: (height of right - height of left wall) * (change of sight per height).
  double Step(double theta_deg) const { return left_z_mm.At(theta_deg) - right_z_mm.At(theta_deg); }
};

/// Source: not noted, so taken as chosen; where a field says none.
struct AlignOptions {
  double from_mm = 7, to_mm = 14;           ///< The wall's stretch beside the weld that is compared, each side.
  double reach_mm = 3.5, arc_reach_mm = 3;  ///< How far the strips may lie apart.
  double min_correlation = 0.5;             ///< A patch below is not used.
  int patches = 24;                         ///< Around the bore, each side; in [8, 360].
  double fine_mm = 0.25;                    ///< Band of the drawing that is kept: finer is noise ...
  double coarse_mm = 2;                     ///< ... coarser is light.
  double patch_arc_mm = 20;                 ///< Width of a patch.
  double huber_mm = 0.15;                   ///< Deviation from which a patch's weight falls.

  [[nodiscard]] Status Check() const;
};

/// Compares the walls' own drawing, band-passed so that light and focus do not count.
/// @return kNotFound when fewer than half of the patches agree: not the same wall, or too little of it seen.
Result<Alignment> Align(const unroll::Strip& fixed, const unroll::Strip& moving, const AlignOptions& options = {});

/// The moving strip laid on the fixed one's grid, whole cells shifted.
unroll::Strip Shifted(const unroll::Strip& moving, const Alignment& alignment);

}  // namespace vision::match
