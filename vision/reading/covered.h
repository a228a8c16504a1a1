#pragma once

#include "vision/reading/look.h"

namespace vision::reading {

/// What the fitted reader calls covered (hose, tool, dam, glare) is no longer seen on the look's strip: nothing is
/// searched there, window and record draw it as not examined, and another look that sees past it fills it.
void TakeOutCovered(Look& look);

}  // namespace vision::reading
