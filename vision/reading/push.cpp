#include "vision/reading/push.h"

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>
#include <memory>
#include <numbers>
#include <opencv2/imgproc.hpp>

#include "vision/base/median.h"
#include "vision/base/says.h"
#include "vision/bore/angle.h"
#include "vision/reading/explain.h"
#include "vision/recording/interlace.h"
#include "vision/track/track.h"
#include "vision/unroll/origin.h"

namespace vision::reading {
namespace {

constexpr double kUpKnown_deg = 0.5, kUpUnknown_deg = 5;
constexpr double kLeastTravel_share =
    0.3;  ///< Of the radius: less tells offset and tilt apart no better than one frame.

/// What pushes with truth left of the walls' step beyond its covariance (light that moves with the camera): of two
/// independent ones and two of our own the worst line was 0.21 mm off.
constexpr double kStepTrials_mm = 0.08;

/// Frames in hand with a pose from what each shows alone.
struct Started {
  std::vector<std::size_t> index;  ///< Into `waiting`.
  std::vector<cv::Mat3b> pictures;
  std::vector<std::string> names;
  std::vector<track::TrackFrame> frames;
};

Status ReadPictures(std::vector<Waiting>& waiting, std::size_t begin, std::size_t end, const JobContext& job) {
  for (std::size_t i = begin; i < end; ++i) {
    if (job.Cancelled()) return Cancelled();
    if (auto failed = Decode(waiting[i])) return failed;
  }
  return std::nullopt;
}

/// A frame that fails alone, or whose axis is not told, is tried again from the nearest frames before and after it.
void SecondChance(std::vector<Waiting>& waiting, std::size_t begin, const std::vector<pose::FrameSetting>& settings,
                  const bore::Bore& bore, const JobContext& job) {
  const std::size_t count = settings.size();
  const auto found = [&](std::size_t k) -> const Result<pose::Pose>& { return waiting[begin + k].sought->pose; };
  const auto told = [&](std::size_t k) { return found(k).ok() && found(k).value().axis_told; };
  const auto near = [&](std::size_t k) {
    std::vector<bore::BoreFromCam> places;
    for (std::size_t i = k; i-- > 0;)
      if (told(i)) {
        places.push_back(found(i).value().bore_from_cam);
        break;
      }
    for (std::size_t i = k + 1; i < count; ++i)
      if (told(i)) {
        places.push_back(found(i).value().bore_from_cam);
        break;
      }
    return places;
  };
  for (std::size_t k = 0; k < count; ++k) {
    if (told(k) || (!found(k).ok() && found(k).error().code != ErrorCode::kNotFound) || job.Cancelled()) continue;
    pose::PoseOptions options;
    options.near = near(k);
    if (options.near.empty()) return;
    auto again = pose::SeekPose(waiting[begin + k].frame->image, bore, settings[k], options, job);
    if (again.pose.ok() && (!found(k).ok() || again.pose.value().axis_told))
      waiting[begin + k].sought = std::move(again);
  }
}

/// First poses, two frames at a time. A frame that is refused is left out with a note.
Result<Started> Start(std::vector<Waiting>& waiting, std::size_t begin, std::size_t end, const MeasureInput& input,
                      Reading& reading, const JobContext& job) {
  std::vector<pose::FrameSetting> settings;
  for (std::size_t i = begin; i < end; ++i) {
    auto setting = SettingOf(waiting[i].setting);
    if (!setting.ok()) return setting.error();
    settings.push_back(std::move(setting).value());
  }
  cv::parallel_for_(cv::Range(0, static_cast<int>(settings.size())), [&](const cv::Range& range) {
    for (int k = range.start; k < range.end; ++k) {
      auto& next = waiting[begin + static_cast<std::size_t>(k)];
      next.sought = pose::SeekPose(next.frame->image, input.bore, settings[static_cast<std::size_t>(k)], {}, job);
    }
  });
  if (job.Cancelled()) return Cancelled();
  SecondChance(waiting, begin, settings, input.bore, job);
  if (job.Cancelled()) return Cancelled();
  Started started;
  std::vector<Sentence> notes;
  for (std::size_t k = 0; k < settings.size(); ++k) {
    const auto& next = waiting[begin + k];
    const auto& found = next.sought->pose;
    if (!found.ok()) {
      notes.push_back({Says::kRefused, {next.frame->name, SaidBy(found.error())}});
      continue;
    }
    track::TrackFrame frame;
    cv::cvtColor(next.frame->image, frame.grey, cv::COLOR_BGR2GRAY);
    frame.known = {found.value(), settings[k], next.setting.travel_mm};
    started.index.push_back(begin + k);
    started.pictures.push_back(next.frame->image);
    started.names.push_back(next.frame->name);
    started.frames.push_back(std::move(frame));
  }
  if (started.frames.size() >= 3) reading.notes.insert(reading.notes.end(), notes.begin(), notes.end());
  return started;
}

bool Travels(const Started& started, double radius_mm) {
  double least = 1e9, most = -1e9;
  for (const auto& frame : started.frames) {
    const double z = frame.known.start.bore_from_cam.translation_mm.z();
    least = std::min(least, z), most = std::max(most, z);
  }
  return most - least >= kLeastTravel_share * radius_mm;
}

/// Why a solution cannot be trusted; empty when it can.
Sentence Distrust(const pose::PushSolution& solution, double radius_mm, const PushLimits& limits) {
  double offset_u = 0;
  for (const auto& pose : solution.poses) offset_u = std::max(offset_u, pose.offset_u_mm());
  if (solution.residual_px > limits.max_residual_px) return {Says::kDrawingOff, {Rounded(solution.residual_px)}};
  if (solution.used_share < limits.min_used_share) return {Says::kPlacesDisagree, {Rounded(100 * solution.used_share)}};
  if (offset_u > limits.max_offset_u_share * radius_mm) return {Says::kOffsetUnsure, {Rounded(2 * offset_u)}};
  return {};
}

/// The solution, or nothing with the reason. Where it leaves what the frames show alone, the wall past the weld may
/// bend: it is then left out.
Result<std::optional<pose::PushSolution>> SolutionOf(const std::vector<track::TrackFrame>& frames,
                                                     const bore::Bore& bore, bool up_known, const PushLimits& limits,
                                                     const JobContext& job, Reason* why_not) {
  track::TrackOptions options;
  options.push.up_u_deg = up_known ? kUpKnown_deg : kUpUnknown_deg;
  std::vector<pose::PushFrame> singly;
  for (const auto& frame : frames) singly.push_back(frame.known);
  for (const bool whole : {true, false}) {
    if (!whole) options.beyond_share = limits.beyond_share;
    auto solution = track::SolveTogether(frames, bore, options, whole ? job.Part(0, 0.5) : job.Part(0.5, 1));
    if (!solution.ok() && solution.error().code != ErrorCode::kNotFound) return solution.error();
    *why_not = solution.ok() ? Distrust(solution.value(), bore.radius_mm, limits) : SaidBy(solution.error());
    if (!why_not->empty()) break;
    if (FromSingly(singly, solution.value()) <= limits.most_from_single) {
      const bool told = std::any_of(singly.begin(), singly.end(), [](const auto& one) { return one.start.axis_told; });
      for (auto& pose : solution.value().poses) pose.axis_told = told;
      return std::optional(std::move(solution).value());
    }
    *why_not = {Says::kNotAsAlone};
  }
  return std::optional<pose::PushSolution>();
}

void CountFrom(const unroll::Origin& origin, pose::PushSolution& solution) {
  for (auto& pose : solution.poses) origin.Move(pose.bore_from_cam);
  for (auto& point : solution.points) origin.Move(point.z_mm);
}

/// Frames for toes and fusion, evenly over the distances, nearest first: near frames show most per millimetre.
std::vector<std::size_t> Chosen(const pose::PushSolution& solution, std::size_t most) {
  std::vector<std::size_t> order(solution.poses.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  const auto distance = [&](std::size_t i) { return std::abs(solution.poses[i].bore_from_cam.translation_mm.z()); };
  std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return distance(a) < distance(b); });
  if (order.size() <= most) return order;
  std::vector<std::size_t> chosen;
  for (std::size_t k = 0; k < most; ++k) chosen.push_back(order[k * (order.size() - 1) / (most - 1)]);
  return chosen;
}

/// Looks at the chosen frames, two at a time; the first alone, since it tells where the weld's middle is.
Result<std::vector<Look>> TakeChosen(const Push& push, const std::vector<std::size_t>& chosen,
                                     const std::vector<Waiting>& waiting, const std::vector<std::size_t>& index,
                                     const MeasureInput& input, const MeasureOptions& options, const JobContext& job) {
  std::vector<std::unique_ptr<Result<Look>>> taken(chosen.size());
  double step_u_mm = 0;
  for (double theta_deg = 0; theta_deg < 360; theta_deg += 5)
    step_u_mm = std::max(step_u_mm, StepU(push.solution.levels, theta_deg));
  cv::parallel_for_(cv::Range(0, static_cast<int>(chosen.size())), [&](const cv::Range& range) {
    for (int k = range.start; k < range.end; ++k) {
      const auto i = chosen[static_cast<std::size_t>(k)];
      const recording::Frame frame{push.pictures[i], push.names[i], 0, std::nullopt};
      taken[static_cast<std::size_t>(k)] = std::make_unique<Result<Look>>(
          TakeLookFrom(frame, waiting[index[i]].setting, push.solution.poses[i], step_u_mm, input, options, job));
    }
  });
  std::vector<Look> looks;
  for (auto& look : taken) {
    if (look->ok())
      looks.push_back(std::move(*look).value());
    else if (look->error().code != ErrorCode::kNotFound)
      return look->error();
  }
  return looks;
}

}  // namespace

double FromSingly(const std::vector<pose::PushFrame>& frames, const pose::PushSolution& solution) {
  std::vector<double> off;
  for (std::size_t i = 0; i < frames.size(); ++i) {
    const pose::Pose& single = frames[i].start;
    const auto &from = single.bore_from_cam, &to = solution.poses[i].bore_from_cam;
    const double lean = (to.rotation.row(2) - from.rotation.row(2)).norm(),
                 aside = (to.translation_mm - from.translation_mm).head<2>().norm();
    off.push_back(std::max(lean / (std::numbers::sqrt2 * single.tilt_u_deg() * bore::kRadPerDeg),
                           aside / (std::numbers::sqrt2 * single.offset_u_mm())));
  }
  return off.empty() ? 0 : MedianInPlace(off);
}

double AskewDeg(const Look& look, double radius_mm) {
  const auto& near = look.near_is_left() ? look.toes.left : look.toes.right;
  Eigen::Matrix3d normal = Eigen::Matrix3d::Zero();
  Eigen::Vector3d right = Eigen::Vector3d::Zero();
  std::size_t stated = 0;
  for (std::size_t i = 0; i < near.z_mm.size(); ++i) {
    if (!near.visible[i]) continue;
    const double theta = 2 * std::numbers::pi * static_cast<double>(i) / static_cast<double>(near.z_mm.size());
    const Eigen::Vector3d row(1, std::cos(theta), std::sin(theta));
    normal += row * row.transpose(), right += near.z_mm[i] * row;
    ++stated;
  }
  if (2 * stated < near.z_mm.size()) return 0;
  const Eigen::Vector3d fit = normal.ldlt().solve(right);
  return std::atan(fit.tail<2>().norm() / radius_mm) * bore::kDegPerRad;
}

double StepU(const pose::WallLevels& levels, double theta_deg) {
  return std::hypot(levels.StepU(theta_deg), kStepTrials_mm);
}

Status Decode(Waiting& next) {
  if (!next.frame) {
    auto still = recording::ReadStill(next.setting.file, {next.setting.lens.width_px, next.setting.lens.height_px});
    if (!still.ok()) return still.error();
    next.frame = std::move(still).value();
  }
  if (next.righted) return std::nullopt;
  next.righted = true;
  if (next.setting.mirrored) cv::flip(next.frame->image, next.frame->image, 1);
  next.interlaced = recording::Combing(next.frame->image) > recording::kCombed;
  if (next.interlaced) recording::Deinterlace(&next.frame->image);
  return std::nullopt;
}

bool MayBePush(const Waiting* first, const Waiting* last) {
  if (last - first < 3) return false;
  return std::all_of(first, last, [&](const Waiting& next) {
    return next.setting.facing == first->setting.facing && next.setting.facing != pose::Facing::kSide &&
           !next.setting.known_pose && !next.setting.shot && next.setting.toe_points.empty() &&
           next.setting.up_theta_deg.has_value() == first->setting.up_theta_deg.has_value();
  });
}

Result<std::optional<Push>> TakePush(std::vector<Waiting>& waiting, std::size_t begin, std::size_t end,
                                     const MeasureInput& input, const MeasureOptions& options, Reading& reading,
                                     const JobContext& job) {
  const std::optional<Push> none;
  const std::string& id = input.recordings[waiting[begin].recording].id;
  if (auto failed = ReadPictures(waiting, begin, end, job)) return *failed;
  auto started = Start(waiting, begin, end, input, reading, job.Part(0, 0.2));
  if (!started.ok()) return started.error();
  auto& frames = started.value().frames;
  if (frames.size() < 3 || !Travels(started.value(), input.bore.radius_mm)) return none;
  const PushLimits limits;
  Reason why_not;
  auto solution = SolutionOf(frames, input.bore, waiting[begin].setting.up_theta_deg.has_value(), limits,
                             job.Part(0.2, 0.6), &why_not);
  if (!solution.ok()) return solution.error();
  if (!solution.value()) {
    reading.notes.push_back({Says::kOneByOne, {id, why_not}});
    return none;
  }
  Push push{started.value().names, started.value().pictures, {}, std::move(*solution.value()), {}};
  for (const auto& frame : frames) push.settings.push_back(frame.known.setting);
  const auto chosen = Chosen(push.solution, limits.most_looks);
  const auto first = TakeChosen(push, {chosen[chosen.size() / 2]}, waiting, started.value().index, input, options, job);
  if (!first.ok()) return first.error();
  if (first.value().empty()) return none;
  CountFrom(unroll::Origin(MiddleOfWeld(first.value().front(), input.insert_width_mm)), push.solution);
  job.Report(0.65, "reading the frames of the run-in");
  auto looks = TakeChosen(push, chosen, waiting, started.value().index, input, options, job);
  if (!looks.ok()) return looks.error();
  if (looks.value().size() < 2) return none;
  push.looks = std::move(looks).value();
  std::vector<double> askew;
  for (const Look& look : push.looks) askew.push_back(AskewDeg(look, input.bore.radius_mm));
  if (const double lean = MedianInPlace(askew); lean > limits.max_askew_deg) {
    reading.notes.push_back({Says::kOneByOne, {id, Sentence{Says::kAskew, {Rounded(lean)}}}});
    return none;
  }
  for (Look& look : push.looks) look.levels = push.solution.levels;
  reading.notes.push_back({Says::kSolvedTogether, {frames.size(), id, Rounded(push.solution.residual_px)}});
  return std::optional<Push>(std::move(push));
}

}  // namespace vision::reading
