#include "app/measure/measure_joint.h"

#include "app/joint/measure_input.h"
#include "app/joint/pipe_table.h"
#include "app/joint/study_limits.h"

namespace app::measure {
namespace {

/// A bore less certain than this share of its diameter (k = 2) is said beside the numbers: chosen, no source.
constexpr double kWorthSaying = 0.005;

vision::reading::MeasureOptions WithBounds(const JointOptions& options, const joint::CriteriaSet& criteria,
                                           const joint::Joint& joint) {
  auto bounded = options.measure;
  if (const auto& asked = options.max_expanded_uncertainty_mm)
    bounded.max_expanded_uncertainty_mm = {*asked, *asked};
  else
    bounded.max_expanded_uncertainty_mm = joint::BoundsFor(criteria, joint);
  return bounded;
}

}  // namespace

std::vector<std::string> RecordingsOfStage(const joint::Joint& joint, const std::string& stage) {
  if (joint.recordings.empty()) return {};
  const std::string& wanted = stage.empty() ? joint.recordings.back().stage : stage;
  std::vector<std::string> stills, videos;
  for (const auto& recording : joint.recordings)
    if (recording.stage == wanted) (recording.video ? videos : stills).push_back(recording.id);
  return stills.empty() ? videos : stills;
}

void PutIn(const JointOptions& options, vision::reading::MeasureInput* input) {
  for (auto& recording : input->recordings)
    for (auto& frame : recording.frames) {
      if (options.mount) frame.mount = *options.mount;
      frame.mirrored = frame.mirrored || options.mirrored;
    }
}

vision::Result<MeasuredJoint> MeasureJoint(const std::filesystem::path& joint_file,
                                           const std::vector<std::string>& recordings, const JointOptions& options,
                                           const vision::JobContext& job) {
  auto joint = joint::LoadJoint(joint_file);
  if (!joint.ok()) return joint.error();
  auto input = joint::MeasureInputFor(joint.value(), recordings);
  if (!input.ok()) return input.error();
  PutIn(options, &input.value());
  auto criteria = joint::LoadCriteria(options.criterion.empty() ? joint.value().criterion : options.criterion,
                                      joint.value().file.parent_path());
  if (!criteria.ok()) return criteria.error();
  const auto bounded = WithBounds(options, criteria.value(), joint.value());
  auto measured = vision::reading::Measure(input.value(), bounded, job);
  if (!measured.ok()) return measured.error();
  if (job.Cancelled()) return vision::Cancelled();
  const auto& bore = joint.value().pipe.inside_diameter;
  if (2 * bore.u_mm > kWorthSaying * bore.value_mm)
    measured.value().reading.notes.push_back(joint::BoreUncertaintySentence(joint.value().pipe));
  return MeasuredJoint{std::move(joint).value(), std::move(criteria).value(), bounded, std::move(measured).value()};
}

}  // namespace app::measure
