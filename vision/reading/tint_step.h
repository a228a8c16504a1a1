#pragma once

#include <vector>

#include "vision/base/job.h"
#include "vision/reading/look.h"
#include "vision/reading/reading.h"

namespace vision::reading {

/// Heat tint beside the toes of the merged strip, against the white targets of its recordings: `reading.tint`, a flag
/// for each arc hotter than straw, and why the rest is not assessed. A target that cannot serve is a note.
/// @return kBadInput when a white target's file cannot be read.
Status AssessColour(const MeasureInput& input, const std::vector<Look>& looks, const unroll::Strip& strip,
                    Reading& reading, const JobContext& job);

}  // namespace vision::reading
