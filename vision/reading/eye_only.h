#pragma once

#include <string>

#include "vision/reading/look.h"

namespace vision::reading {

/// A frame in which no place was found that can be trusted. Its wall is still laid flat for a person to look at;
/// nothing is read off it.
struct EyeOnly {
  recording::Frame frame;
  FrameInput setting;
  Sentence why;                    ///< What the pose room said.
  std::optional<pose::Pose> best;  ///< The place in doubt.
};

/// Lays the frame flat from the best place found though it is in doubt, or from the middle of the bore a radius before
/// z = 0, and puts the picture into `measured`, marked as for the eye only.
Status AddEyeOnly(const EyeOnly& eye_only, const MeasureInput& input, const MeasureOptions& options,
                  const JobContext& job, Measured& measured);

}  // namespace vision::reading
