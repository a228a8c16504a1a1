#include "vision/reading/rig.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <cstdio>

#include "vision/bore/angle.h"

namespace vision::reading {
namespace {

/// Turn between two heads as a rotation vector in the bore frame, rad; its z is the turn about the bore's axis.
Eigen::Vector3d TurnFrom(const bore::BoreFromCam& from, const bore::BoreFromCam& to) {
  const Eigen::AngleAxisd turn(to.rotation * from.rotation.transpose());
  return turn.angle() * turn.axis();
}

const HeadSeen& Surest(const std::vector<HeadSeen>& seen) {
  return *std::min_element(seen.begin(), seen.end(), [](const HeadSeen& a, const HeadSeen& b) {
    if (a.up_known != b.up_known) return a.up_known;
    return a.offset_u_mm * a.tilt_u_rad < b.offset_u_mm * b.tilt_u_rad;
  });
}

/// The same head turned about the bore's axis until it stands as `other` does: each camera's own up is told coarsely.
HeadSeen RolledTo(const HeadSeen& other, HeadSeen seen) {
  const Eigen::Matrix3d turn = seen.bore_from_head.rotation * other.bore_from_head.rotation.transpose();
  const double roll = std::atan2(turn(1, 0) - turn(0, 1), turn(0, 0) + turn(1, 1));
  const Eigen::Matrix3d back = Eigen::AngleAxisd(-roll, Eigen::Vector3d::UnitZ()).toRotationMatrix();
  seen.bore_from_head.rotation = back * seen.bore_from_head.rotation;
  seen.bore_from_head.translation_mm = back * seen.bore_from_head.translation_mm;
  return seen;
}

struct Mean {
  double sum = 0, weight = 0;
  void Add(double value, double u) {
    const double w = 1 / (u * u);
    sum += w * value, weight += w;
  }
  double value() const { return sum / weight; }
  double variance() const { return 1 / weight; }
};

HeadPose Alone(const HeadSeen& seen) {
  HeadPose head;
  head.bore_from_head = seen.bore_from_head;
  const double offset = std::pow(seen.offset_u_mm, 2), tilt = std::pow(seen.tilt_u_rad, 2);
  head.covariance.diagonal() << offset, offset, std::pow(seen.z_u_mm, 2), tilt, tilt;
  return head;
}

void Compare(const std::vector<HeadSeen>& seen, HeadPose* head) {
  for (const HeadSeen& one : seen) {
    const Eigen::Vector3d gap = one.bore_from_head.translation_mm - head->bore_from_head.translation_mm;
    const Eigen::Vector3d turn = TurnFrom(head->bore_from_head, one.bore_from_head);
    const double aside = gap.head<2>().norm(), lean = turn.head<2>().norm();
    head->worst_gap_mm = std::max(head->worst_gap_mm, gap.norm());
    head->worst_gap_deg = std::max(head->worst_gap_deg, lean * bore::kDegPerRad);
    if (aside > kLargestGap * std::sqrt(2.0) * one.offset_u_mm || std::abs(gap.z()) > kLargestGap * one.z_u_mm ||
        lean > kLargestGap * std::sqrt(2.0) * one.tilt_u_rad)
      head->agree = false;
  }
}

std::string Disagreement(int shot, const HeadPose& head) {
  char words[240];
  std::snprintf(words, sizeof words,
                "shot %d: the cameras put the head up to %.1f mm and %.1f degrees apart, more than they can err: check "
                "their places in rig. The surest camera alone was followed.",
                shot, head.worst_gap_mm, head.worst_gap_deg);
  return words;
}

}  // namespace

HeadSeen BroughtToHead(const pose::Pose& pose, const bore::BoreFromCam& head_from_cam) {
  HeadSeen seen;
  const Eigen::Matrix3d cam_from_head = head_from_cam.rotation.transpose();
  seen.bore_from_head.rotation = pose.bore_from_cam.rotation * cam_from_head;
  const Eigen::Vector3d lever =
      seen.bore_from_head.rotation * head_from_cam.translation_mm;  // head to camera, bore frame
  seen.bore_from_head.translation_mm = pose.bore_from_cam.translation_mm - lever;
  seen.tilt_u_rad = pose.tilt_u_deg() * bore::kRadPerDeg;
  seen.offset_u_mm = std::hypot(pose.offset_u_mm(), seen.tilt_u_rad * lever.z());
  seen.z_u_mm = std::hypot(pose.z_u_mm(), seen.tilt_u_rad * lever.head<2>().norm());
  return seen;
}

HeadPose PutTogether(const std::vector<HeadSeen>& found) {
  const HeadSeen& surest = Surest(found);
  std::vector<HeadSeen> seen;
  for (const HeadSeen& one : found) seen.push_back(RolledTo(surest, one));
  Mean x, y, z, turn_x, turn_y;
  for (const HeadSeen& one : seen) {
    const Eigen::Vector3d turn = TurnFrom(surest.bore_from_head, one.bore_from_head);
    x.Add(one.bore_from_head.translation_mm.x(), one.offset_u_mm);
    y.Add(one.bore_from_head.translation_mm.y(), one.offset_u_mm);
    z.Add(one.bore_from_head.translation_mm.z(), one.z_u_mm);
    turn_x.Add(turn.x(), one.tilt_u_rad);
    turn_y.Add(turn.y(), one.tilt_u_rad);
  }
  HeadPose head;
  const Eigen::Vector3d turn(turn_x.value(), turn_y.value(), 0);
  const double angle = turn.norm();
  const Eigen::Vector3d axis = angle > 0 ? Eigen::Vector3d(turn / angle) : Eigen::Vector3d::UnitX();
  head.bore_from_head.rotation = Eigen::AngleAxisd(angle, axis).toRotationMatrix() * surest.bore_from_head.rotation;
  head.bore_from_head.translation_mm << x.value(), y.value(), z.value();
  head.covariance.diagonal() << x.variance(), y.variance(), z.variance(), turn_x.variance(), turn_y.variance();
  Compare(seen, &head);
  if (head.agree) return head;
  HeadPose alone = Alone(surest);
  alone.worst_gap_mm = head.worst_gap_mm, alone.worst_gap_deg = head.worst_gap_deg, alone.agree = false;
  return alone;
}

pose::Pose OfCamera(const HeadPose& head, const bore::BoreFromCam& head_from_cam) {
  pose::Pose pose;
  const Eigen::Vector3d lever = head.bore_from_head.rotation * head_from_cam.translation_mm;
  pose.bore_from_cam.rotation = head.bore_from_head.rotation * head_from_cam.rotation;
  pose.bore_from_cam.translation_mm = head.bore_from_head.translation_mm + lever;
  pose.covariance = head.covariance;
  pose.covariance(0, 0) += head.covariance(4, 4) * std::pow(lever.z(), 2);
  pose.covariance(1, 1) += head.covariance(3, 3) * std::pow(lever.z(), 2);
  pose.covariance(2, 2) +=
      head.covariance(3, 3) * std::pow(lever.y(), 2) + head.covariance(4, 4) * std::pow(lever.x(), 2);
  pose.how = "shared by the cameras of the head";
  return pose;
}

std::size_t EndOfShot(const std::vector<Waiting>& waiting, std::size_t begin) {
  std::size_t end = begin;
  const Waiting& first = waiting[begin];
  while (end < waiting.size() && first.setting.shot && first.setting.head_from_cam &&
         waiting[end].setting.head_from_cam && waiting[end].recording == first.recording &&
         waiting[end].setting.shot == first.setting.shot)
    ++end;
  return end;
}

Result<std::vector<Look>> TakeShot(std::vector<Waiting>& waiting, std::size_t begin, std::size_t end,
                                   const MeasureInput& input, const MeasureOptions& options, Reading& reading,
                                   const JobContext& job) {
  std::vector<HeadSeen> seen;
  std::string refused;
  for (std::size_t i = begin; i < end; ++i) {
    if (auto failed = Decode(waiting[i])) return *failed;
    const recording::Frame& frame = *waiting[i].frame;
    if (waiting[i].setting.looks == pose::Looks::kSide) continue;
    auto look = TakeLook(frame, waiting[i].setting, input, options, job);
    if (look.ok()) {
      seen.push_back(BroughtToHead(look.value().pose, *waiting[i].setting.head_from_cam));
      seen.back().up_known = waiting[i].setting.up_theta_deg.has_value();
    } else if (look.error().code != ErrorCode::kNotFound) {
      return look.error();
    } else {
      refused = frame.name + " was refused: " + look.error().message;
    }
  }
  if (seen.empty())
    return NotFound(refused.empty() ? "no camera of the shot looks along the bore, so the head's place is not known"
                                    : refused);
  const HeadPose head = PutTogether(seen);
  if (!head.agree) reading.notes.push_back(Disagreement(*waiting[begin].setting.shot, head));
  std::vector<Look> looks;
  for (std::size_t i = begin; i < end; ++i) {
    const auto& setting = waiting[i].setting;
    auto look = TakeLookFrom(*waiting[i].frame, setting, OfCamera(head, *setting.head_from_cam), std::nullopt, input,
                             options, job);
    if (!look.ok() && look.error().code != ErrorCode::kNotFound) return look.error();
    if (!look.ok()) {
      reading.notes.push_back(waiting[i].frame->name + " was refused: " + look.error().message);
      continue;
    }
    looks.push_back(std::move(look).value());
    looks.back().sharpness = resolve::MeasureSharpness(waiting[i].frame->image);
    looks.back().shot = setting.shot;
    waiting[i].frame.reset();
  }
  return looks;
}

}  // namespace vision::reading
