#pragma once

#include <map>
#include <string>

#include "app/joint/criteria.h"
#include "app/joint/joint.h"
#include "vision/reading/max_uncertainty.h"

namespace app::joint {

/// A limit a gauge is held beside.
struct StudyLimit {
  double value_mm = 0;
  std::string text;  ///< "MIL-STD-2035A Class 1, Table I".
};

/// The smallest limit of a set for each quantity of a reading (width_mm, crown_height_mm, concavity_mm,
/// misalignment_mm), on this joint. Quantities the set does not limit, or forbids altogether, are absent.
/// @param width_mm Root bead width for limits that depend on it; NaN = not known, such limits are left out.
std::map<std::string, StudyLimit> StudyLimits(const CriteriaSet& set, const Joint& joint, double width_mm);

/// What a gauge of heights must reach to judge by `set`: a quarter of the smallest limit (gauge study practice: a tenth
/// is good, a quarter the worst that is fit). A limit that grows with the bead's width is taken at the insert's, or at
/// none where that is not known, so that the bound errs to the strict side. Quantities without a limit stay unbounded.
vision::reading::MaxExpandedUncertainty BoundsFor(const CriteriaSet& set, const Joint& joint);

/// The worst share of a limit that the expanded uncertainty of what is judged may take.
constexpr double kFitShare = 0.25;

}  // namespace app::joint
