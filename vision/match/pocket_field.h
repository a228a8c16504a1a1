#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "vision/match/removed.h"

/// Heights about one pocket on a flat grid of its own, and the line that joins the walls beside it: what depths and
/// slopes of a pocket are both read from. For this room only.
namespace vision::match {

constexpr double kCell_mm = 0.2;
constexpr double kAlike = 3;  ///< Neighbouring columns of a relief share stripe columns: so few are independent.

/// u along the arc, v along z, from the pocket's middle; NaN where nothing was measured.
struct Field {
  cv::Mat1f h, u;
};

struct Patch {
  double half_u = 0, half_v = 0, radius_mm = 0;
  WallPlace middle;
  int columns = 0, rows = 0;

  /// @param beside_mm Of bare wall on either side. @param around_mm Beyond the pocket around.
  Patch(const Pocket& pocket, double radius, const WallEnds& walls, double beside_mm, double around_mm = 1);
  WallPlace At(int row, int column) const;
  double Z(int row) const { return middle.z_mm + row * kCell_mm - half_v; }
};

/// @param match Null: the relief is the first recording's own.
Field Sample(const Patch& patch, const relief::Relief& relief, const RingMatch* match);

/// Level of one wall at each column, and how far that is known.
struct Level {
  std::vector<float> mm, u_mm;
};

/// The line that joins the walls, at every cell.
struct Between {
  Level left, right;
  double from_z = 0, to_z = 0, toe_u = 0;

  Between(const Patch& patch, const cv::Mat1f& heights, const WallEnds& walls, const DepthOptions& o);
  double Share(double z) const;
  double At(int column, double z) const;
  double U(int column, double z) const;
};

/// Mean over a square window of the cells that have a value, NaN where too few have.
cv::Mat1f Averaged(const cv::Mat1f& values, const DepthOptions& o);

}  // namespace vision::match
