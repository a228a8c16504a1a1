#pragma once

#include <vector>

#include "vision/reading/push.h"

namespace vision::reading {

/// Every still and every chosen frame of a film that is to be read, in order; recordings with a plane of light are read
/// by themselves. What was chosen, left out or not turned is a note.
/// @return kBadInput for a recording without frames, a film that cannot be read, or more frames than one run takes.
Result<std::vector<Waiting>> Gather(const MeasureInput& input, const MeasureOptions& options, Reading& reading,
                                    const JobContext& job);

}  // namespace vision::reading
