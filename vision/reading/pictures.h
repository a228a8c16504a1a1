#pragma once

#include "vision/reading/measure.h"
#include "vision/unroll/strip.h"

namespace vision::reading {

/// Adds strip.png, strip_seen.png, strip_toes.png and a crop for each unfused run, and names them in the reading.
void AddPictures(const unroll::Strip& merged, Measured& measured);

}  // namespace vision::reading
