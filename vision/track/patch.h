#pragma once

#include <Eigen/Core>
#include <opencv2/core.hpp>
#include <optional>

namespace vision::track {

/// Where a patch of one picture lies in another.
struct PatchMatch {
  Eigen::Vector2d shift = Eigen::Vector2d::Zero();           ///< Columns, rows.
  Eigen::Matrix2d covariance = Eigen::Matrix2d::Identity();  ///< From contrast and misfit, cells squared.
  double correlation = 0;
};

/// Whole cells by normalised correlation within `reach`, then by least squares with free gain and level.
/// @param patch In `fixed`; `patch` grown by reach + 2 must lie inside `moving`.
/// @param noise_cells How many cells share one noise value (area of the band-pass's kernel); >= 1.
/// @return nullopt when the best place lies at the edge of the reach, correlates less, or the patch is blank.
std::optional<PatchMatch> MatchPatch(const cv::Mat1f& fixed, const cv::Mat1f& moving, const cv::Rect& patch, int reach,
                                     double min_correlation, double noise_cells);

}  // namespace vision::track
