#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "app/joint/criteria.h"
#include "app/joint/joint.h"
#include "vision/base/job.h"
#include "vision/base/result.h"
#include "vision/reading/measure.h"

/// The one way to measure a joint: `measure` and `run`, the batch and the window all call it, so that the same
/// recordings give the same reading, byte for byte.
namespace app::measure {

struct JointOptions {
  vision::reading::MeasureOptions measure;  ///< Its bounds of heights are set from the criterion.
  std::string criterion;                    ///< Sets how certain a height must be; empty = the joint file's own.
  std::optional<double> max_expanded_uncertainty_mm;  ///< Takes the place of what the criterion asks for; > 0 mm.
  std::optional<vision::pose::MountPrior> mount = std::nullopt;  ///< Takes the place of the joint file's own.
  bool mirrored = false;  ///< Every picture is a mirror image, whatever the joint file says.
};

struct MeasuredJoint {
  joint::Joint joint;
  joint::CriteriaSet criteria;
  vision::reading::MeasureOptions options;  ///< As measured by.
  vision::reading::Measured measured;
};

/// Every recording of a stage that is measured together: its stills, swept by light or not; its videos where it has no
/// stills. What came before welding and after it is never measured together.
/// @param stage Empty = that of the joint's last recording.
std::vector<std::string> RecordingsOfStage(const joint::Joint& joint, const std::string& stage = {});

/// What the options put in the place of the joint file's own: mount and mirrored pictures.
void PutIn(const JointOptions& options, vision::reading::MeasureInput* input);

/// @param recordings Ids in the joint file, one or more.
/// @return kBadInput for what cannot be read or is not there.
vision::Result<MeasuredJoint> MeasureJoint(const std::filesystem::path& joint_file,
                                           const std::vector<std::string>& recordings, const JointOptions& options = {},
                                           const vision::JobContext& job = {});

}  // namespace app::measure
