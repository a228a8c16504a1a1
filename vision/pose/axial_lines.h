#pragma once

#include <Eigen/Core>
#include <vector>

#include "vision/base/result.h"
#include "vision/pose/sphere_chart.h"

namespace vision::pose {

/// How drawing lines along the bore are told. From a trial on other renders, kept as it was; to be chosen anew on drawn
/// scenes (fixtures/field).
/// Source: not noted, so taken as chosen; where a field says none.
struct AxialLineOptions {
  double from_deg = 36, to_deg = 87;  ///< Angle from the axis looked at; 0 < from < to < 110.
  int blocks = 20, rows_a_block = 5;  ///< >= 3 blocks.
  int columns = 2160;                 ///< Azimuths round the circle; >= 360.
  double fine_deg = 0;        ///< Finer structure is noise: standard deviation of a blur in azimuth; 0 = none; >= 0.
  double coarse_deg = 0.3;    ///< Coarser structure is mottle; > fine_deg.
  double local_deg = 20;      ///< Azimuth over which the drawing's own size is taken; > 0.
  double clip = 2;            ///< Of that size; > 0. One scratch must not speak for all. No unit.
  double block_clip = 2.5;    ///< Of a block's own deviation; > 0.
  double column_cap = 60;     ///< Of one azimuth's shared energy: a hose is one voice; > 0.
  float least_size = 0.003F;  ///< Of ln luminance: quantisation of 8 bits. > 0. Physics.

  [[nodiscard]] Status Check() const;
};

/// Straight drawing lines of a bore are great circles through its axis, wherever the camera stands across the bore.
/// Energy that blocks at different angles from a candidate axis share at the same azimuth tells the tilt alone.
class AxialLines {
 public:
  /// Keeps a reference to `views`.
  AxialLines(const std::vector<WallView>& views, const AxialLineOptions& options);

  struct Energy {
    double shared = 0;  ///< Between blocks.
    double own = 0;     ///< Of blocks by themselves.
  };
  Energy At(const Eigen::Vector2d& lean) const;

  /// Weighs each block by what it shares with the others at `lean`.
  void WeighAt(const Eigen::Vector2d& lean);

 private:
  using Blocks = Eigen::Array<float, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
  Blocks BlocksAt(const WallView& view, const AxisBasis& basis) const;
  Eigen::ArrayXf HighPassed(const float* row) const;

  const std::vector<WallView>& views_;
  AxialLineOptions options_;
  Eigen::ArrayXf cos_, sin_, kernel_;
  std::vector<Eigen::ArrayXf> weights_;  ///< For each view, of its blocks.
};

}  // namespace vision::pose
