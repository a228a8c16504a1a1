#pragma once

#include <vector>

#include "app/words/text.h"

namespace app::joint {

/// The cautions of cautions.h as codes, for pages.
std::vector<words::Print> StandingCautionPrints();
std::vector<words::Print> GrindingCautionPrints();

}  // namespace app::joint
