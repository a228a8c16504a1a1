#pragma once

#include <Eigen/Core>
#include <array>
#include <string>
#include <vector>

#include "vision/pose/sphere_chart.h"

namespace vision::pose {

constexpr int kWeldRows = 64;  ///< Format: the network's input.

/// What the fitted reader makes of the wall unrolled about a stand (structure_search.h): each part of the ring says how
/// tilt and offset must be moved, and how much that is worth; the parts of all cameras add up. Its numbers come out of
/// scripts/train_stand.py, from made-up scenes alone.
struct StandRead {
  Eigen::Vector4d mean = Eigen::Vector4d::Zero();         ///< As Stand: lean [rad], offset [radii].
  Eigen::Matrix4d information = Eigen::Matrix4d::Zero();  ///< Inverse of the covariance.
  std::array<double, kWeldRows + 1> weld{};  ///< Chance of the weld's middle in each row, rows uniform in the angle
                                             ///< from the axis, near ones first; the last: no weld in sight.
  double TiltUDeg() const;                   ///< Standard uncertainty of the tilt, both directions together.
  /// ln of the chance density of the weld's middle at `distance` radii along the axis, over that of an even spread.
  double LnWeldAt(double distance) const;
};

/// @param views Their charts made by StandChart.   @param about Where the wall is unrolled.
StandRead ReadStand(const std::vector<WallView>& views, const Eigen::Vector4d& about);

/// "stand_reader 1 (sha256 0123...)", all 64 digits of its file.
std::string StandReaderNamed();

}  // namespace vision::pose
