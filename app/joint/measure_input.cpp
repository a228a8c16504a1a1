#include "app/joint/measure_input.h"

#include <Eigen/Geometry>
#include <cmath>
#include <set>

#include "vision/base/says.h"
#include "vision/bore/angle.h"

namespace app::joint {
namespace {

using vision::Says, vision::Sentence;

using vision::reading::FrameInput;

/// A scale check agrees when it repeats the known length within 2 %: common practice, no source.
constexpr double kScaleTolerance = 0.02;

/// The pose that a joint file gives: pitch leans the view towards the image's up, yaw towards its right.
vision::bore::BoreFromCam KnownPoseOf(const KnownPose& given, double up_theta_deg, vision::pose::Facing looks) {
  const double pitch = given.pitch_deg * vision::bore::kRadPerDeg, yaw = given.yaw_deg * vision::bore::kRadPerDeg;
  const Eigen::Vector3d axis = Eigen::Vector3d(-std::tan(yaw), std::tan(pitch), 1).normalized();
  vision::bore::BoreFromCam pose;
  pose.rotation = vision::pose::RotationFromAxis(axis, up_theta_deg, looks);
  pose.translation_mm << given.offset_x_mm, given.offset_y_mm, given.z_mm;
  return pose;
}

/// Where a camera sits on the head, x_rig = rotation * x_cam + place.
vision::bore::BoreFromCam HeadFromCam(const RigCamera& place) {
  const Eigen::Vector3d turn_deg(place.rotation_deg[0], place.rotation_deg[1], place.rotation_deg[2]);
  const double angle_deg = turn_deg.norm();
  vision::bore::BoreFromCam head_from_cam;
  if (angle_deg > 0)
    head_from_cam.rotation =
        Eigen::AngleAxisd(angle_deg * vision::bore::kRadPerDeg, turn_deg / angle_deg).toRotationMatrix();
  head_from_cam.translation_mm << place.x_mm, place.y_mm, place.z_mm;
  return head_from_cam;
}

FrameInput FrameInputOf(const Joint& joint, const FrameEntry& entry) {
  FrameInput input;
  input.file = entry.file;
  if (const Camera* camera = joint.FindCamera(entry.camera)) {
    input.lens = camera->lens;
    input.mask = camera->mask;
    input.mirrored = camera->mirrored;
  }
  input.facing = vision::pose::FacingFromName(entry.looks).value_or(vision::pose::Facing::kPlusZ);
  input.up_theta_deg = entry.up_theta_deg;
  input.travel_mm = entry.travel_mm;
  input.shot = entry.shot;
  if (const RigCamera* place = joint.FindPlace(entry.camera); place && entry.shot)
    input.head_from_cam = HeadFromCam(*place);
  if (entry.pose) input.known_pose = KnownPoseOf(*entry.pose, entry.up_theta_deg.value_or(0), input.facing);
  for (const auto& point : entry.toe_points) input.toe_points.emplace_back(point.u_px, point.v_px);
  return input;
}

std::string NamesOf(const Joint& joint) {
  std::string names;
  for (const auto& recording : joint.recordings) names += (names.empty() ? "" : ", ") + recording.id;
  return names;
}

bool Agrees(const ScaleCheck& check) {
  return std::abs(check.measured_mm - check.known_mm) <= kScaleTolerance * check.known_mm;
}

Sentence FaultOf(const Camera& camera) {
  if (!camera.calibration) return {Says::kNoCalibration, {camera.id}};
  if (!camera.calibration->scale_before || !camera.calibration->scale_after) return {Says::kNoScaleCheck, {camera.id}};
  if (!Agrees(*camera.calibration->scale_before) || !Agrees(*camera.calibration->scale_after))
    return {Says::kScaleOff, {camera.id}};
  return {};
}

}  // namespace

CalibrationState CalibrationOf(const Joint& joint, const std::vector<std::string>& recording_ids) {
  std::set<std::string> used;
  for (const auto& id : recording_ids)
    if (const Recording* recording = joint.FindRecording(id)) {
      for (const auto& frame : recording->frames) used.insert(frame.camera);
      if (recording->video) used.insert(recording->video_defaults.camera);
    }
  Sentence calibrations;
  for (const auto& id : used) {
    const Camera* camera = joint.FindCamera(id);
    if (!camera) continue;
    if (const auto fault = FaultOf(*camera); !fault.empty()) return {false, {Says::kNotCalibrated, {fault}}};
    const Sentence one{Says::kCalibratedOn, {camera->id, camera->calibration->date, camera->calibration->target}};
    calibrations = calibrations.empty() ? one : Sentence{Says::kBoth, {calibrations, one}};
  }
  return {!calibrations.empty(), calibrations};
}

vision::Result<vision::reading::MeasureInput> MeasureInputFor(const Joint& joint,
                                                              const std::vector<std::string>& recording_ids) {
  vision::reading::MeasureInput input;
  input.joint_id = joint.id;
  input.piece_a = joint.a.name;
  input.piece_b = joint.b.name;
  input.bore = {0.5 * joint.pipe.inside_diameter.value_mm, 0.5 * joint.pipe.inside_diameter.u_mm};
  if (joint.insert.width_mm) input.insert_width_mm = *joint.insert.width_mm;
  const auto calibration = CalibrationOf(joint, recording_ids);
  input.calibrated = calibration.calibrated;
  input.calibration_note = calibration.note;
  for (const auto& id : recording_ids) {
    const Recording* recording = joint.FindRecording(id);
    if (!recording)
      return vision::BadInput(joint.file.string() + " has no recording `" + id + "`; it has: " + NamesOf(joint) + ".");
    if (joint.cameras.empty())
      return vision::BadInput(joint.file.string() +
                              ": cameras is empty: no lens is known; put in what `rootscroll calibrate` writes.");
    vision::reading::RecordingInput& next = input.recordings.emplace_back();
    next.id = recording->id;
    next.stage = recording->stage;
    next.video = recording->video;
    next.light_section = recording->light_section.has_value();
    if (recording->light_section && recording->light_section->distance_mm) {
      next.light_plane.emplace();
      next.light_plane->distance_mm = *recording->light_section->distance_mm;
      next.light_plane->tilt_x_deg = recording->light_section->tilt_x_deg.value_or(0);
      next.light_plane->tilt_y_deg = recording->light_section->tilt_y_deg.value_or(0);
    }
    if (recording->white) {
      next.white.emplace().file = recording->white->file;
      const auto& box = recording->white->box_px;
      if (box.size() == 4) next.white->box_px = cv::Rect(box[0], box[1], box[2], box[3]);
    }
    if (recording->video)
      next.frames.push_back(FrameInputOf(joint, recording->video_defaults));
    else
      for (const auto& frame : recording->frames) next.frames.push_back(FrameInputOf(joint, frame));
    for (auto& frame : next.frames) frame.mount = recording->mount.value_or(vision::pose::MountPrior{});
  }
  return input;
}

}  // namespace app::joint
