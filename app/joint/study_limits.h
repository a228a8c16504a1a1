#pragma once

#include <map>
#include <string>

#include "app/joint/criteria.h"
#include "app/joint/joint.h"

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

}  // namespace app::joint
