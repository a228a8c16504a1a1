#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "vision/base/result.h"
#include "vision/unroll/strip.h"

/// Which is the smallest line a recording could show at each place of the wall.
///
/// A dark line of width w (source pixels) is blurred by the optics (Gaussian, standard deviation `blur_px`) and by the
/// pixel's own square, and sampled where it falls worst, half a pixel from the nearest centre. What is left of its
/// contrast there is (erf((w/2 + 1/2) / (sqrt 2 s)) + erf((w/2 - 1/2) / (sqrt 2 s))) / 2 with s^2 = blur^2 + 1/12. It
/// counts as shown when `least_contrast` is left: common practice, no source. The wall per pixel is the coarser of
/// along and around, so that a line lying any way is shown.
namespace vision::resolve {

/// Source: not noted, so taken as chosen; where a field says none.
struct ResolveOptions {
  double line_mm = 0.8;  ///< The line that must be shown: 1/32 in (ASME BPVC section V, article 9, from a digest); > 0.
  double least_contrast = 0.5;    ///< Left of a line's contrast; in [0.1, 0.95].
  double least_pixels = 0;        ///< A line must also cover as many source pixels; in [0, 20].
  double assumed_blur_px = 0.75;  ///< Where the picture's sharpness cannot be measured; in [0, 20].
  int tiles_across = 8;           ///< Sharpness is measured in square tiles, so many to the frame's width; in [1, 64].
  int least_edges = 150;          ///< Edge points a tile needs; > 0.
  double sharpest_px = 0.5;       ///< The pixel's own square hides what is sharper. In [0, 10]. Physics.
  /// Grey levels per px after a blur of 1 px: above the noise of 8-bit pictures. In [0, 255]. Chosen.
  float least_gradient = 3;
  int rim_px = 6;  ///< Of the frame that is not read: the kernels' reach; in [1, 1000]. Numerics.

  [[nodiscard]] Status Check() const;
};

/// Blur of one frame by tiles, from its own edges.
struct Sharpness {
  cv::Mat1f blur_px;         ///< Standard deviation by tile; NaN where too few edges lie.
  double overall_px = 0.75;  ///< Median over the frame's edges, or the assumed blur.
  bool measured = false;     ///< false: `overall_px` is assumed.
  double tile_px = 1;

  double At(double u_px, double v_px) const;  ///< Of the tile there; overall_px where it has none.
};

/// Ratio of gradients after blurring with 1 and 2 px, at ridges of the gradient (Zhuo and Sim, Pattern Recognition 44
/// (2011) 1852): for a step blurred by b it is sqrt((b^2 + 4 1/3) / (b^2 + 1 1/3)), a third being
/// what the difference over two pixels adds. The median over a tile's edges, since thin
/// lines read too sharp and soft shadows too blurred; never below half a pixel.
Sharpness MeasureSharpness(const cv::Mat3b& frame, const ResolveOptions& options = {});

/// Width in source pixels of the smallest line that keeps `least_contrast` at this blur, and covers `least_pixels`.
double SmallestLinePx(double blur_px, const ResolveOptions& options = {});

/// mm, for every cell of a strip; NaN where the cell is in no frame.
/// @param by_frame Sharpness of each frame that `strip.source_frame` names.
cv::Mat1f SmallestLineMm(const unroll::Strip& strip, const std::vector<Sharpness>& by_frame,
                         const ResolveOptions& options = {});

/// The strip with the places that fail `line_mm` covered by slanted hatching, readable on paper; never seen is black.
cv::Mat3b LinePicture(const unroll::Strip& strip, const cv::Mat1f& smallest_line_mm,
                      const ResolveOptions& options = {});

}  // namespace vision::resolve
