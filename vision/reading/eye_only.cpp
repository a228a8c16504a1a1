#include "vision/reading/eye_only.h"

#include "vision/base/says.h"
#include "vision/reading/pictures.h"

namespace vision::reading {
namespace {

/// On the axis, looking along it, a radius before z = 0: where a picture that tells nothing was most likely taken from.
pose::Pose Guessed(const FrameInput& setting, const bore::Bore& bore) {
  pose::Pose pose;
  const auto facing = setting.facing == pose::Facing::kMinusZ ? pose::Facing::kMinusZ : pose::Facing::kPlusZ;
  pose.bore_from_cam.rotation =
      pose::RotationFromAxis(Eigen::Vector3d::UnitZ(), setting.up_theta_deg.value_or(0), facing);
  pose.bore_from_cam.translation_mm.z() = facing == pose::Facing::kMinusZ ? bore.radius_mm : -bore.radius_mm;
  return pose;
}

}  // namespace

Status AddEyeOnly(const EyeOnly& eye_only, const MeasureInput& input, const MeasureOptions& options,
                  const JobContext& job, Measured& measured) {
  auto setting = SettingOf(eye_only.setting);
  if (!setting.ok()) return setting.error();
  const auto place = eye_only.best.value_or(Guessed(eye_only.setting, input.bore));
  auto strip = StripOf(eye_only.frame, setting.value(), place, input.bore, options, job);
  if (!strip.ok()) return strip.error();
  strip.value().source_frame.setTo(0, strip.value().source_frame >= 0);
  AddPictures(strip.value(), measured);
  measured.reading.strip.eye_only = {Says::kOfFilm, {eye_only.frame.name, eye_only.why}};
  return std::nullopt;
}

}  // namespace vision::reading
