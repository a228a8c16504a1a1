#pragma once

#include <optional>
#include <string>
#include <vector>

#include "vision/reading/look.h"
#include "vision/reading/reading.h"
#include "vision/relief/light.h"

namespace vision::reading {

/// What a recording with a plane of light tells: its relief, and a look at the weld through the frame in which the
/// stripe lies furthest from it.
struct LightLook {
  relief::LightSection section;  ///< z = 0 at the weld's middle as `look` has it.
  Look look;
  std::vector<FramePose> poses;              ///< Of every frame used, as `section.poses`.
  std::vector<pose::FrameSetting> settings;  ///< Lens and mask of every frame used.
  std::size_t chosen = 0;                    ///< The frame of `look`, among those used.
  std::optional<Sentence> no_heights;        ///< Why the relief is not to be stated; toes and poses are.
  cv::Mat1s shown_by;  ///< Which of the frames used gave each pixel of the look's picture: the stripe's are another's.
};

/// @return kNotFound with the reason when no relief can be made of it.
Result<LightLook> TakeLightLook(const RecordingInput& recording, const MeasureInput& input,
                                const MeasureOptions& options, const JobContext& job);

/// @return Why no height is stated, where any of the poses leans by more than `most_deg`.
std::optional<Sentence> LeansTooFar(const std::vector<bore::BoreFromCam>& poses, double most_deg);

}  // namespace vision::reading
