#pragma once

#include <string>
#include <vector>

#include "app/joint/criteria.h"
#include "app/joint/joint.h"
#include "vision/reading/reading.h"

namespace app::viewer {

enum class RibbonOf { kWidth, kCrown, kConcavity, kMisalignment };

/// One number around the joint, ready to be drawn: value, expanded uncertainty (k = 2), limit where the criterion has
/// one. NaN = nothing there.
struct Ribbon {
  RibbonOf of = RibbonOf::kWidth;
  std::vector<double> value_mm, expanded_mm, limit_mm;  ///< One a station line.
  double low_mm = 0, high_mm = 1;                       ///< Of the axis, whole halves of a millimetre.
  bool measured = false;                                ///< Any value at all.
  bool by_hand = false;
  vision::Reason why;      ///< When nothing is measured.
  std::string limit_from;  ///< "ISO 5817-B, 504"; empty = the criterion has no limit on it.
};

/// The reading's name for what a ribbon shows: width_mm, crown_height_mm, ...
const char* KeyOf(RibbonOf of);

/// All four, always in the same order.
std::vector<Ribbon> RibbonsOf(const vision::reading::Reading& reading, const joint::Joint& joint,
                              const joint::CriteriaSet& criteria);

}  // namespace app::viewer
