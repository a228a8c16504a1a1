#pragma once

#include <optional>
#include <string>

#include "vision/match/ring.h"
#include "vision/reading/reading.h"

namespace app::compare {

/// What became, along one side of the root, of the insert's edge as it was seen before welding.
struct EdgeFate {
  double seen_before_deg = 0;  ///< Degrees on which the fit-up recording shows the edge.
  double gone_deg = 0;         ///< Of these: no longer seen after (fused).
  double still_visible_deg = 0;
  double not_examined_deg = 0;  ///< Of these: not visible in the second recording. Not seen does not mean fused.
};

/// Insert consumption against the fit-up recording, both sides.
struct Consumption {
  EdgeFate left, right;
};

/// @param match Brings a place of the fit-up reading to the later one.
/// @return nullopt unless `before` is of a stage before welding (IsFitUp) and `after` is not.
std::optional<Consumption> ConsumptionOf(const vision::reading::Reading& before, const vision::reading::Reading& after,
                                         const vision::match::RingMatch& match);

/// "fit-up", "fit up", "before welding", in any case: the recording shows the joint before the root was made.
bool IsFitUp(const std::string& stage);

}  // namespace app::compare
