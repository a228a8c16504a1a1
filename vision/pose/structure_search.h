#pragma once

#include <Eigen/Core>
#include <optional>
#include <vector>

#include "vision/base/job.h"
#include "vision/pose/axial_lines.h"
#include "vision/pose/ring_agreement.h"
#include "vision/pose/stand_reader.h"
#include "vision/pose/weld_profile.h"

namespace vision::pose {

/// Tilt and offset of the search's origin: the axis leans by (lean x, lean y) in its frame, the origin stands
/// (offset x, offset y) off the axis along AxisBasis e1, e2, in radii.
using Stand = Eigen::Vector4d;

/// What the search found.
struct Structure {
  Stand stand = Stand::Zero();
  double score = 0;              ///< With the prior.
  double lines = 0, rings = 0;   ///< Its two parts, unweighted.
  double margin = 0;             ///< Score less the best one another way: margin_deg along the valley, or another peak.
  StandRead read;                ///< What the fitted reader says there.
  std::optional<WeldSeen> weld;  ///< The likeliest ring, however likely.
  std::vector<WeldSeen> all_seen;                       ///< Every ring that was considered, the likeliest first.
  Eigen::Matrix4d curvature = Eigen::Matrix4d::Zero();  ///< Minus the second derivative of the score.
};

/// The same views of one head at three sizes.
struct Charts {
  std::vector<WallView> coarse, fine;
  std::vector<WallView> read;  ///< As StandChart makes them.
};

/// Finds how the cameras of one head stand in a bore from its structure.
/// @param hints Other guesses, tried beside its own.
Result<Structure> FindStructure(const Charts& charts, double radius_mm, const MountPrior& mount,
                                const std::vector<Stand>& hints, const StructureOptions& options,
                                const JobContext& job);

}  // namespace vision::pose
