#pragma once

#include <optional>
#include <string>

#include "vision/reading/look.h"
#include "vision/reading/reading.h"
#include "vision/relief/light.h"

namespace vision::reading {

/// What a recording with a plane of light tells: its relief, and a look at the weld through the frame in which the
/// stripe lies furthest from it.
struct LightLook {
  relief::LightSection section;  ///< z = 0 at the weld's middle as `look` has it.
  Look look;
  std::vector<FramePose> poses;  ///< Of every frame used.
};

/// @return kNotFound with the reason when no relief can be made of it.
Result<LightLook> TakeLightLook(const RecordingInput& recording, const MeasureInput& input,
                                const MeasureOptions& options, const JobContext& job);

}  // namespace vision::reading
