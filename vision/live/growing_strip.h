#pragma once

#include <array>
#include <opencv2/core.hpp>
#include <vector>

#include "vision/bore/bore.h"
#include "vision/live/drawing.h"
#include "vision/pose/pose.h"
#include "vision/unroll/strip.h"

namespace vision::live {

/// Source: not noted, so taken as chosen; where a field says none.
struct GrowingOptions {
  double pitch_share = 0.006;   ///< Cell over the radius; in [0.0005, 0.05].
  double nearest_share = 0.2;   ///< Wall this far ahead of the camera along z, over the radius, is laid flat, ...
  double farthest_share = 1.6;  ///< ... up to this; nearest < farthest.
  double reach_share = 3;       ///< The strip never grows beyond this either side of the weld, over the radius; > 0.
  double better = 0.97;  ///< A block is taken again where it is seen finer than this share of what is held; in (0, 1].
  double stale_s = 1;    ///< Held blocks seen as well as ever are refreshed after about this long; > 0.
  double coverage_mm = 10;      ///< Either side of the weld; what coverage is counted over; > 0.
  double fine_enough_mm = 0.8;  ///< mm of wall per pixel of the frame; coarser is not covered; > 0.
  double border_px = 6;         ///< Nothing is taken from this close to the picture's edge; >= 3.

  [[nodiscard]] Status Check() const;
};

/// The wall laid flat while the camera looks, a coarse strip for watching: it grows along z as new wall comes in sight,
/// and each block of 8 x 8 cells is taken again, whole, from the frame that sees it best. Only such blocks are mapped
/// (four lens projections each, bilinear between), so a camera that stands still costs next to nothing.
class GrowingStrip {
 public:
  GrowingStrip(double radius_mm, const GrowingOptions& options = {});

  /// @return How many cells were laid flat anew.
  int Add(const cv::Mat3b& frame, const pose::FrameSetting& setting, const bore::BoreFromCam& pose, double time_s);

  const unroll::StripGrid& grid() const { return grid_; }
  const cv::Mat3b& image() const { return image_; }           ///< 0 where not seen.
  const cv::Mat1f& resolution_mm() const { return finest_; }  ///< A block a cell: mm of wall per pixel; 0 = not seen.
  double seconds_taken(int block_row, int block_column) const { return taken_s_(block_row, block_column); }

  /// Share of the zone either side of the weld that was seen finely enough, for each of `parts` equal arcs from theta
  /// 0.
  std::vector<double> Coverage(int parts = 12) const;

  /// Rows [-half_mm, half_mm] about the weld as a strip, for the toe finder; its image shares this strip's cells.
  /// An empty grid (rows 0) while the strip does not reach that far.
  unroll::Strip Zone(double half_mm) const;

 private:
  void GrowTo(double z_from_mm, double z_to_mm);
  bool Wanted(int block_row, int block_column, float resolution_mm, double time_s) const;

  GrowingOptions options_;
  unroll::StripGrid grid_;
  cv::Mat3b image_;
  cv::Mat1f finest_;
  cv::Mat1d taken_s_;
};

}  // namespace vision::live
