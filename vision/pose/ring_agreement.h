#pragma once

#include <Eigen/Core>
#include <vector>

#include "vision/base/result.h"
#include "vision/pose/sphere_chart.h"

namespace vision::pose {

/// How rings round the bore are told.
/// Source: not noted, so taken as chosen; where a field says none.
struct RingAgreementOptions {
  double from_deg = 24, to_deg = 84;      ///< Angle from the axis of the wall looked at; 0 < from < to < 90.
  int rows = 140;                         ///< Uniform in that angle; >= 20.
  int columns = 240;                      ///< Azimuths; a multiple of `sectors`; >= 24.
  int sectors = 24;                       ///< Each one voice; >= 8.
  double fine_deg = 0.4, coarse_deg = 3;  ///< Band of widths along the wall, as angles; 0 < fine < coarse.
  double clip = 3;                        ///< Of a sector's spread; > 0. No unit.
  double tint_weight = 0.6;               ///< Of chroma's agreement beside luminance's; >= 0.
  double least_sectors = 0.4;             ///< Share of the circle's sectors a row needs; in (0, 1].
  double seen_share = 0.6;                ///< Of a sector's columns that must be seen; in (0, 1].
  /// Least spread of ln light in a sector: noise and quantisation; in [0, 1]. Chosen.
  float least_light = 0.004F;
  float least_tint = 0.006F;  ///< The same of tint; in [0, 1]. Chosen. No unit.
  float most_agreement = 4;   ///< Most that one place's agreement counts, in spreads; in [1, 1000]. Chosen. No unit.

  [[nodiscard]] Status Check() const;
};

/// A circle round the bore (toe, tint band, counterbore step, turning mark) lies at one distance in all sectors only
/// when tilt and offset are right. Each sector of each camera is one voice; a hose or a dead lamp spoils its own only.
class RingAgreement {
 public:
  /// Keeps a reference to `views`.
  RingAgreement(const std::vector<WallView>& views, const RingAgreementOptions& options);

  /// @param offset Of the search's origin from the axis in AxisBasis e1, e2, in radii.
  double At(const Eigen::Vector2d& lean, const Eigen::Vector2d& offset) const;

  /// Rows farther than this are left out from now on (radii along the axis from the origin).
  void EndAt(double farthest) { farthest_ = farthest; }

 private:
  using Rows = Eigen::ArrayXXf;  ///< Rows along the bore x voices.
  double Agreement(const Rows& values, const Rows& seen, const Rows& seen_fine, const Rows& seen_coarse,
                   float least) const;

  const std::vector<WallView>& views_;
  RingAgreementOptions options_;
  RingAzimuths azimuths_;
  Eigen::ArrayXf z_;
  Eigen::MatrixXf fine_, coarse_;  ///< Blurs along the rows.
  double farthest_ = 9;
};

}  // namespace vision::pose
