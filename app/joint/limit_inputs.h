#pragma once

#include "app/joint/criteria.h"
#include "app/joint/joint.h"

namespace app::joint {

/// What the formulas of limits need to know of a joint.
LimitInputs LimitInputsOf(const Joint& joint);

}  // namespace app::joint
