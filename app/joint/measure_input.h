#pragma once

#include <string>
#include <vector>

#include "app/joint/joint.h"
#include "vision/reading/measure.h"

namespace app::joint {

/// What the pipeline needs to know of a joint to measure the named recordings together.
/// @param recording_ids One or more; each must be in the joint file.
/// @return kBadInput naming the recordings there are.
vision::Result<vision::reading::MeasureInput> MeasureInputFor(const Joint& joint,
                                                              const std::vector<std::string>& recording_ids);

/// Is every camera used calibrated, with a scale check in the bore before and after that agrees? The second says why
/// not.
struct CalibrationState {
  bool calibrated = false;
  vision::Sentence note;
};
CalibrationState CalibrationOf(const Joint& joint, const std::vector<std::string>& recording_ids);

}  // namespace app::joint
