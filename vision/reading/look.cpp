#include "vision/reading/look.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/base/says.h"
#include "vision/reading/bore_rings.h"
#include "vision/reading/covered.h"
#include "vision/reading/from_evidence.h"
#include "vision/unroll/origin.h"

namespace vision::reading {
namespace {

constexpr int kRefinements = 2;
constexpr double kBeyondZone_mm = 5;  ///< Half a wide bead.

Result<pose::Pose> FirstPose(const recording::Frame& frame, const FrameInput& input, const pose::FrameSetting& setting,
                             const bore::Bore& bore, const JobContext& job, std::optional<pose::Sought>& sought) {
  if (input.known_pose) {
    pose::Pose pose;
    pose.bore_from_cam = *input.known_pose;
    pose.covariance.diagonal() << 0.04, 0.04, 0.25, 1e-5, 1e-5;  // as a bench would set it: 0.2 mm, 0.5 mm, 0.2 degree
    pose.how = WordsOf(Says::kGivenInFile);
    return pose;
  }
  if (!input.toe_points.empty()) return pose::PoseFromPoints(frame.image, input.toe_points, bore, setting);
  if (!sought) sought = pose::SeekPose(frame.image, bore, setting, {}, job);
  return sought->pose;
}

bead::ToeOptions ToeOptionsFor(const pose::Pose& pose, pose::Facing facing, std::optional<double> step_u_mm,
                               const MeasureInput& input) {
  bead::ToeOptions options;
  options.near_is_left = facing != pose::Facing::kMinusZ;
  options.camera_distance_mm = std::abs(pose.bore_from_cam.translation_mm.z());
  options.radius_mm = input.bore.radius_mm;
  if (step_u_mm) options.misalignment_prior_mm = *step_u_mm;  // of a push
  options.pose_scale_u = std::hypot(pose.offset_u_mm(), input.bore.radius_u_mm) / input.bore.radius_mm;
  return options;
}

/// Every visible toe place as a point of the picture.
std::vector<pose::RingPoint> RingPoints(const bead::BeadToes& toes, const pose::Pose& pose,
                                        const pose::FrameSetting& setting, double radius_mm, double wander_mm) {
  std::vector<pose::RingPoint> points;
  for (const bool left : {true, false}) {
    const auto& line = left ? toes.left : toes.right;
    for (std::size_t i = 0; i < line.z_mm.size(); ++i) {
      if (!line.visible[i]) continue;
      const double theta_deg = 360.0 * static_cast<double>(i) / static_cast<double>(line.z_mm.size());
      const auto wall = bore::XyzFromBore({theta_deg, line.z_mm[i], 0}, radius_mm);
      const auto pixel = setting.lens.Project(pose.bore_from_cam.CamFromBore(wall));
      if (pixel) points.push_back({*pixel, std::hypot(line.u_mm[i], wander_mm), left});
    }
  }
  return points;
}

}  // namespace

Result<pose::FrameSetting> SettingOf(const FrameInput& input) {
  if (auto broken = input.mount.Check()) return *broken;
  pose::FrameSetting setting{input.lens, input.facing, input.up_theta_deg.value_or(0), {}, input.mount};
  const cv::Size size(input.lens.width_px, input.lens.height_px);
  if (input.mask) {
    auto mask = recording::ReadMask(*input.mask, size);
    if (!mask.ok()) return mask.error();
    setting.mask = std::move(mask).value();
  }
  if (input.covered_px.empty()) return setting;
  setting.mask = setting.mask.empty() ? cv::Mat1b(cv::Mat::zeros(size, CV_8U)) : cv::Mat1b(setting.mask.clone());
  for (const cv::Rect& box : input.covered_px) setting.mask(box & cv::Rect({}, size)) = 255;
  return setting;
}

Result<unroll::Strip> StripOf(const recording::Frame& frame, const pose::FrameSetting& setting, const pose::Pose& pose,
                              const bore::Bore& bore, const MeasureOptions& options, const JobContext& job) {
  const double reach = options.zone_mm + kBeyondZone_mm;
  const auto grid = unroll::StripGrid::Over(bore.radius_mm, -reach, reach, options.pitch_mm);
  const auto map = unroll::BuildMap(setting.lens, pose.bore_from_cam, grid, setting.mask);
  return unroll::Unroll(frame.image, map, 0, {}, job);
}

double MiddleOfWeld(const Look& look, double insert_width_mm) {
  const auto& toes = look.toes;
  const bool near_is_left = look.near_is_left();
  double sum = 0, near_sum = 0;
  int both = 0, near_count = 0;
  const auto& near = near_is_left ? toes.left : toes.right;
  for (std::size_t i = 0; i < near.z_mm.size(); ++i) {
    if (near.visible[i]) near_sum += near.z_mm[i], ++near_count;
    if (toes.left.visible[i] && toes.right.visible[i]) sum += 0.5 * (toes.left.z_mm[i] + toes.right.z_mm[i]), ++both;
  }
  if (both > static_cast<int>(near.z_mm.size()) / 8) return sum / both;
  const double half = 0.5 * (std::isfinite(insert_width_mm) ? insert_width_mm : 5.0);
  return near_count > 0 ? near_sum / near_count + (near_is_left ? half : -half) : 0;
}

namespace {

/// The strip of a look's pose and the toes on it.
Status StripAndToes(const recording::Frame& frame, const pose::FrameSetting& setting, std::optional<double> step_u_mm,
                    const MeasureInput& input, const MeasureOptions& options, const JobContext& job, Look& look) {
  auto strip = StripOf(frame, setting, look.pose, input.bore, options, job);
  if (!strip.ok()) return strip.error();
  look.strip = std::move(strip).value();
  auto said = evidence::ReadStrip(look.strip, {look.pose.bore_from_cam.translation_mm, look.near_is_left()}, job);
  if (!said.ok()) return said.error();
  look.said = std::move(said).value();
  auto toes = ToesFrom(look.said, look.strip, ToeOptionsFor(look.pose, look.facing, step_u_mm, input));
  if (!toes.ok()) return toes.error();
  look.toes = std::move(toes).value();
  return std::nullopt;
}

Result<Look> WithRest(Look look, const cv::Mat3b& frame, const pose::FrameSetting& setting, const MeasureInput& input,
                      const MeasureOptions& options) {
  look.edge = NearEdgeFrom(look.said, look.toes, look.strip, {.coarsest_for_fused_mm = options.coarsest_for_fusion_mm});
  TakeOutCovered(look);
  auto rings = RingsBeside(frame, setting, look, input.bore);
  if (!rings.ok()) return rings.error();
  look.rings = std::move(rings).value();
  return look;
}

}  // namespace

Result<Look> TakeLook(const recording::Frame& frame, const FrameInput& input_frame, const MeasureInput& input,
                      const MeasureOptions& options, const JobContext& job, std::optional<pose::Sought>& sought) {
  auto setting = SettingOf(input_frame);
  if (!setting.ok()) return setting.error();
  auto pose = FirstPose(frame, input_frame, setting.value(), input.bore, job, sought);
  if (!pose.ok()) return pose.error();
  Look look;
  look.name = frame.name;
  look.facing = input_frame.facing;
  look.pose = pose.value();
  look.sharpness = resolve::MeasureSharpness(frame.image);
  for (int round = 0;; ++round) {
    if (job.Cancelled()) return Cancelled();
    if (auto failed = StripAndToes(frame, setting.value(), std::nullopt, input, options, job, look)) return *failed;
    if (round == kRefinements) break;
    if (!input_frame.known_pose) {
      const auto points =
          RingPoints(look.toes, look.pose, setting.value(), input.bore.radius_mm, pose::PoseOptions().ring_wander_mm);
      auto refined = pose::RefinePose(pose.value(), points, input.bore, setting.value());
      if (!refined.ok()) return refined.error();
      look.pose = refined.value();
    } else {
      unroll::Origin(MiddleOfWeld(look, input.insert_width_mm)).Move(look.pose.bore_from_cam);
    }
  }
  return WithRest(std::move(look), frame.image, setting.value(), input, options);
}

Result<Look> TakeLookFrom(const recording::Frame& frame, const FrameInput& input_frame, const pose::Pose& pose,
                          std::optional<double> step_u_mm, const MeasureInput& input, const MeasureOptions& options,
                          const JobContext& job) {
  auto setting = SettingOf(input_frame);
  if (!setting.ok()) return setting.error();
  if (job.Cancelled()) return Cancelled();
  Look look;
  look.name = frame.name;
  look.facing = input_frame.facing;
  look.pose = pose;
  if (auto failed = StripAndToes(frame, setting.value(), step_u_mm, input, options, job, look)) return *failed;
  return WithRest(std::move(look), frame.image, setting.value(), input, options);
}

}  // namespace vision::reading
