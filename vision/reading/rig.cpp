#include "vision/reading/rig.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cassert>
#include <cmath>

#include "vision/base/number.h"
#include "vision/base/range.h"
#include "vision/base/says.h"
#include "vision/bore/angle.h"
#include "vision/pose/head.h"
#include "vision/unroll/origin.h"

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
  head.bore_from_head = seen.bore_from_head, head.axis_told = seen.axis_told;
  const double offset = std::pow(seen.offset_u_mm, 2), tilt = std::pow(seen.tilt_u_rad, 2);
  head.covariance.diagonal() << offset, offset, std::pow(seen.z_u_mm, 2), tilt, tilt;
  return head;
}

void Compare(const std::vector<HeadSeen>& seen, double largest_gap, HeadPose* head) {
  for (const HeadSeen& one : seen) {
    const Eigen::Vector3d gap = one.bore_from_head.translation_mm - head->bore_from_head.translation_mm;
    const Eigen::Vector3d turn = TurnFrom(head->bore_from_head, one.bore_from_head);
    const double aside = gap.head<2>().norm(), lean = turn.head<2>().norm();
    head->worst_gap_mm = std::max(head->worst_gap_mm, gap.norm());
    head->worst_gap_deg = std::max(head->worst_gap_deg, lean * bore::kDegPerRad);
    if (aside > largest_gap * std::sqrt(2.0) * one.offset_u_mm || std::abs(gap.z()) > largest_gap * one.z_u_mm ||
        lean > largest_gap * std::sqrt(2.0) * one.tilt_u_rad)
      head->agree = false;
  }
}

Sentence Disagreement(int shot, const HeadPose& head) {
  return {Says::kHeadApart, {shot, NumberText(head.worst_gap_mm, "%.1f"), NumberText(head.worst_gap_deg, "%.1f")}};
}

}  // namespace

HeadSeen BroughtToHead(const pose::Pose& pose, const bore::BoreFromCam& head_from_cam) {
  HeadSeen seen;
  const Eigen::Matrix3d cam_from_head = head_from_cam.rotation.transpose();
  seen.bore_from_head.rotation = pose.bore_from_cam.rotation * cam_from_head;
  const Eigen::Vector3d lever =
      seen.bore_from_head.rotation * head_from_cam.translation_mm;  // head to camera, bore frame
  seen.bore_from_head.translation_mm = pose.bore_from_cam.translation_mm - lever;
  seen.tilt_u_rad = pose.tilt_u_deg() * bore::kRadPerDeg, seen.axis_told = pose.axis_told;
  seen.offset_u_mm = std::hypot(pose.offset_u_mm(), seen.tilt_u_rad * lever.z());
  seen.z_u_mm = std::hypot(pose.z_u_mm(), seen.tilt_u_rad * lever.head<2>().norm());
  return seen;
}

Status RigOptions::Check() const {
  return FirstOutside("RigOptions",
                      {{"largest_gap", largest_gap, 0.1, 100}, {"along_bore_deg", along_bore_deg, 0.1, 89.9}});
}

HeadPose PutTogether(const std::vector<HeadSeen>& found, const RigOptions& options) {
  assert(!options.Check());
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
  head.axis_told = std::any_of(seen.begin(), seen.end(), [](const HeadSeen& one) { return one.axis_told; });
  const Eigen::Vector3d turn(turn_x.value(), turn_y.value(), 0);
  const double angle = turn.norm();
  const Eigen::Vector3d axis = angle > 0 ? Eigen::Vector3d(turn / angle) : Eigen::Vector3d::UnitX();
  head.bore_from_head.rotation = Eigen::AngleAxisd(angle, axis).toRotationMatrix() * surest.bore_from_head.rotation;
  head.bore_from_head.translation_mm << x.value(), y.value(), z.value();
  head.covariance.diagonal() << x.variance(), y.variance(), z.variance(), turn_x.variance(), turn_y.variance();
  Compare(seen, options.largest_gap, &head);
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
  pose.covariance = head.covariance, pose.axis_told = head.axis_told;
  pose.covariance(0, 0) += head.covariance(4, 4) * std::pow(lever.z(), 2);
  pose.covariance(1, 1) += head.covariance(3, 3) * std::pow(lever.z(), 2);
  pose.covariance(2, 2) +=
      head.covariance(3, 3) * std::pow(lever.y(), 2) + head.covariance(4, 4) * std::pow(lever.x(), 2);
  pose.how = WordsOf(Says::kSharedByHead);
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

namespace {

/// The cameras of a shot that look along the bore the way most of them do.
Result<std::vector<pose::HeadView>> Ahead(const std::vector<Waiting>& waiting, std::size_t begin, std::size_t end) {
  const auto count = [&](pose::Facing facing) {
    return std::count_if(waiting.begin() + static_cast<std::ptrdiff_t>(begin),
                         waiting.begin() + static_cast<std::ptrdiff_t>(end),
                         [facing](const Waiting& w) { return w.setting.facing == facing && !w.setting.known_pose; });
  };
  const auto facing =
      count(pose::Facing::kMinusZ) > count(pose::Facing::kPlusZ) ? pose::Facing::kMinusZ : pose::Facing::kPlusZ;
  std::vector<pose::HeadView> views;
  for (std::size_t i = begin; i < end; ++i) {
    const FrameInput& input = waiting[i].setting;
    if (input.facing != facing || input.known_pose) continue;
    auto setting = SettingOf(input);
    if (!setting.ok()) return setting.error();
    views.push_back(
        {waiting[i].frame->image, std::move(setting).value(), *input.head_from_cam, input.up_theta_deg.has_value()});
  }
  return views;
}

/// A single camera that looks off the head's own direction: only the head's place tells where the bore is.
bool TurnedOutward(const std::vector<pose::HeadView>& views) {
  return views.size() == 1 &&
         std::abs(views[0].head_from_cam.rotation(2, 2)) < std::cos(RigOptions().along_bore_deg * bore::kRadPerDeg);
}

/// All cameras together, none of which has to look along the bore; nothing where that gives no pose to trust.
Result<std::optional<HeadPose>> SolvedTogether(const std::vector<Waiting>& waiting, std::size_t begin, std::size_t end,
                                               const MeasureInput& input, const JobContext& job) {
  const std::optional<HeadPose> none;
  auto views = Ahead(waiting, begin, end);
  if (!views.ok()) return views.error();
  if (views.value().size() < 2 && !TurnedOutward(views.value())) return none;  // one along the bore is read alone
  const auto found = pose::FindHeadPose(views.value(), input.bore, {}, job);
  if (!found.ok() && found.error().code != ErrorCode::kNotFound) return found.error();
  if (!found.ok() || !found.value().origin.trusted) return none;
  HeadPose head;
  head.bore_from_head = found.value().bore_from_head, head.axis_told = found.value().origin.axis_told;
  head.covariance = found.value().origin.covariance;
  const double turn = std::max(head.covariance(3, 3), head.covariance(4, 4));
  head.covariance.bottomRows<2>().setZero(), head.covariance.rightCols<2>().setZero();
  head.covariance(3, 3) = head.covariance(4, 4) = turn;
  return std::optional<HeadPose>(head);
}

/// Each camera alone, put together by its uncertainty.
Result<HeadPose> FromEachAlone(std::vector<Waiting>& waiting, std::size_t begin, std::size_t end,
                               const MeasureInput& input, const MeasureOptions& options, Reading& reading,
                               const JobContext& job) {
  std::vector<HeadSeen> seen;
  Sentence refused;
  for (std::size_t i = begin; i < end; ++i) {
    const recording::Frame& frame = *waiting[i].frame;
    if (waiting[i].setting.facing == pose::Facing::kSide) continue;
    auto look = TakeLook(frame, waiting[i].setting, input, options, job, waiting[i].sought);
    if (look.ok()) {
      seen.push_back(BroughtToHead(look.value().pose, *waiting[i].setting.head_from_cam));
      seen.back().up_known = waiting[i].setting.up_theta_deg.has_value();
    } else if (look.error().code != ErrorCode::kNotFound) {
      return look.error();
    } else {
      refused = {Says::kRefused, {frame.name, SaidBy(look.error())}};
    }
  }
  if (seen.empty()) return refused.empty() ? NotFound(Says::kNoCameraAlong) : NotFound(refused);
  const HeadPose head = PutTogether(seen);
  if (!head.agree) reading.notes.push_back(Disagreement(*waiting[begin].setting.shot, head));
  return head;
}

/// Every camera's look from the head's pose.
Result<std::vector<Look>> LooksFrom(const HeadPose& head, const std::vector<Waiting>& waiting, std::size_t begin,
                                    std::size_t end, const MeasureInput& input, const MeasureOptions& options,
                                    Reading& reading, const JobContext& job) {
  std::vector<Look> looks;
  for (std::size_t i = begin; i < end; ++i) {
    const auto& setting = waiting[i].setting;
    auto look = TakeLookFrom(*waiting[i].frame, setting, OfCamera(head, *setting.head_from_cam), std::nullopt, input,
                             options, job);
    if (!look.ok() && look.error().code != ErrorCode::kNotFound) return look.error();
    if (!look.ok()) {
      reading.notes.push_back({Says::kRefused, {waiting[i].frame->name, SaidBy(look.error())}});
      continue;
    }
    looks.push_back(std::move(look).value());
    looks.back().sharpness = resolve::MeasureSharpness(waiting[i].frame->image);
    looks.back().shot = setting.shot;
  }
  return looks;
}

/// Moves the head along the bore until the weld's middle, as its cameras see it together, is z = 0.
Status CentreOnWeld(const std::vector<Waiting>& waiting, std::size_t begin, std::size_t end, const MeasureInput& input,
                    const MeasureOptions& options, HeadPose* head, const JobContext& job) {
  Reading unused;
  const auto looks = LooksFrom(*head, waiting, begin, end, input, options, unused, job);
  if (!looks.ok()) return looks.error();
  Mean middle;
  for (const Look& look : looks.value()) {
    const auto& near = look.near_is_left() ? look.toes.left : look.toes.right;
    const auto lines = std::count(near.visible.begin(), near.visible.end(), true);
    if (lines > 0) middle.Add(MiddleOfWeld(look, input.insert_width_mm), 1 / std::sqrt(static_cast<double>(lines)));
  }
  if (middle.weight > 0) unroll::Origin(middle.value()).Move(head->bore_from_head);
  return std::nullopt;
}

}  // namespace

Result<std::vector<Look>> TakeShot(std::vector<Waiting>& waiting, std::size_t begin, std::size_t end,
                                   const MeasureInput& input, const MeasureOptions& options, Reading& reading,
                                   const JobContext& job) {
  for (std::size_t i = begin; i < end; ++i)
    if (auto failed = Decode(waiting[i])) return *failed;
  auto together = SolvedTogether(waiting, begin, end, input, job);
  if (!together.ok()) return together.error();
  HeadPose head;
  if (together.value()) {
    head = *together.value();
    if (auto failed = CentreOnWeld(waiting, begin, end, input, options, &head, job)) return *failed;
  } else {
    auto alone = FromEachAlone(waiting, begin, end, input, options, reading, job);
    if (!alone.ok()) return alone.error();
    head = alone.value();
  }
  auto looks = LooksFrom(head, waiting, begin, end, input, options, reading, job);
  for (std::size_t i = begin; i < end; ++i) waiting[i].frame.reset();
  return looks;
}

}  // namespace vision::reading
