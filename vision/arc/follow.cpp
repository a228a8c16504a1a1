#include "vision/arc/follow.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <optional>

#include "vision/base/range.h"
#include "vision/bore/angle.h"

namespace vision::arc {
namespace {

/// Pictures averaged over a while: sensor noise and spatter fade, the wall's drawing stays.
class Average {
 public:
  explicit Average(const FollowOptions& options)
      : most_per_second_(options.most_per_second), every_s_(options.pose_every_s) {}

  /// @return The mean picture when the while is over or the picture's brightness jumped.
  std::optional<cv::Mat3b> Add(const cv::Mat3b& frame, double time_s) {
    const double level = cv::mean(frame)[1];
    std::optional<cv::Mat3b> done;
    if (count_ > 0 && (time_s >= from_s_ + every_s_ || level > 1.6 * level_ || level < level_ / 1.6)) done = Take();
    if (count_ == 0) from_s_ = time_s, level_ = level, next_s_ = time_s;
    if (time_s + 1e-6 < next_s_) return done;
    next_s_ = time_s + 1 / most_per_second_ - 1e-6;
    if (sum_.size() != frame.size()) sum_ = cv::Mat3f(frame.size(), cv::Vec3f());
    cv::accumulate(frame, sum_);
    ++count_;
    return done;
  }

 private:
  cv::Mat3b Take() {
    cv::Mat3b mean;
    sum_.convertTo(mean, CV_8U, 1.0 / count_);
    sum_.setTo(0);
    count_ = 0;
    return mean;
  }

  double most_per_second_, every_s_, from_s_ = 0, next_s_ = 0, level_ = 0;
  cv::Mat3f sum_;
  int count_ = 0;
};

struct Start {
  pose::Pose pose;
  live::Drawing drawing;
  double time_s = 0;
};

Status CheckSize(const recording::StreamFrame& frame, const std::string& source, const camera::Lens& lens) {
  if (frame.image.cols == lens.width_px && frame.image.rows == lens.height_px) return std::nullopt;
  return BadInput(source + " is " + std::to_string(frame.image.cols) + " x " + std::to_string(frame.image.rows) +
                  " px; the camera in the joint file is " + std::to_string(lens.width_px) + " x " +
                  std::to_string(lens.height_px) + " px.");
}

cv::Mat3b Coloured(const cv::Mat& image) {
  if (image.channels() == 3) return image;
  cv::Mat3b bgr;
  cv::cvtColor(image, bgr, cv::COLOR_GRAY2BGR);
  return bgr;
}

/// The first stretch without the arc in which the camera's place can be told.
Result<Start> FindStart(const std::string& source, const bore::Bore& bore, const pose::FrameSetting& setting,
                        const FollowOptions& options, const JobContext& job) {
  auto stream = recording::FrameStream::Open(source);
  if (!stream.ok()) return stream.error();
  Average average(options);
  RootRing ring(bore, setting, options.light);
  std::string why = "it has no picture";
  while (true) {
    auto next = stream.value().Next(job);
    if (!next.ok()) return next.error();
    if (!next.value()) break;
    if (auto wrong = CheckSize(*next.value(), source, setting.lens)) return *wrong;
    const auto mean = average.Add(Coloured(next.value()->image), next.value()->time_s);
    if (!mean) continue;
    for (const cv::Mat3b& picture : {*mean, Coloured(next.value()->image)}) {  // a camera that travels smears the mean
      const auto found = pose::FindPose(picture, bore, setting, {}, job);
      if (found.cancelled()) return found.error();
      if (!found.ok()) {
        why = found.error().message;
        continue;
      }
      ring.LookFrom(found.value().bore_from_cam);
      const auto light = ring.Find(ring.Lay(picture));
      if (!light.empty() && !light.front().glows)
        return Start{found.value(), live::MakeDrawing(picture, options.drawing_width_px), next.value()->time_s};
      why = "the arc is on";
    }
  }
  return NotFound(source +
                  ": where the camera stands is not measurable from this recording: it needs a second without "
                  "the arc, at the looking setting, before or after the weld (" +
                  why + ").");
}

/// theta of what a pixel shows, by how well the five numbers of the pose are known; the middle over eight places.
double PoseThetaUDeg(const pose::Pose& pose, const bore::Bore& bore) {
  double sum = 0;
  const auto moved = [&](int k, double step) {
    bore::BoreFromCam out = pose.bore_from_cam;
    if (k < 3)
      out.translation_mm[k] += step;
    else
      out.rotation *=
          Eigen::AngleAxisd(step, k == 3 ? Eigen::Vector3d::UnitX() : Eigen::Vector3d::UnitY()).toRotationMatrix();
    return out;
  };
  for (int place = 0; place < 8; ++place) {
    const double theta_deg = 45 * place;
    const Eigen::Vector3d ray = pose.bore_from_cam.CamFromBore(bore::XyzFromBore({theta_deg, 0, 0}, bore.radius_mm));
    Eigen::Matrix<double, 1, 5> slope;
    for (int k = 0; k < 5; ++k) {
      const double step = k < 3 ? 0.01 * bore.radius_mm : 0.002;
      const auto at = moved(k, step);
      const auto wall = bore::WallFromRay(at.translation_mm, at.rotation * ray, bore.radius_mm);
      slope[k] = wall ? bore::Wrap180(wall->theta_deg - theta_deg) / step : 0;
    }
    sum += (slope * pose.covariance * slope.transpose())(0, 0);
  }
  return std::sqrt(std::max(0.0, sum / 8));
}

/// Goes through the recording once more: the camera followed, the light's place in each picture.
class Walk {
 public:
  Walk(const Start& start, const bore::Bore& bore, const pose::FrameSetting& setting, const FollowOptions& options)
      : options_(options),
        average_(options),
        tracker_(bore, setting, options.tracker),
        ring_(bore, setting, options.light) {
    tracker_.Start(start.pose.bore_from_cam, start.drawing);
    ring_.LookFrom(start.pose.bore_from_cam);
  }

  void Take(const cv::Mat3b& frame, double time_s, long index) {
    if (const auto mean = average_.Add(frame, time_s)) FollowCamera(*mean, time_s);
    const cv::Mat3b strip = ring_.Lay(frame);
    if (!now_.strip.empty()) Tell(strip);
    before_ = now_.strip;
    now_ = {strip, time_s, index};
  }

  void End() {
    if (!now_.strip.empty()) Tell(now_.strip);
    if (lost_since_) AddLost(now_.time_s);
  }

  std::vector<Seen> seen;
  std::vector<Gap> lost;

 private:
  struct Strip {
    cv::Mat3b strip;
    double time_s = 0;
    long index = 0;
  };

  void FollowCamera(const cv::Mat3b& mean, double time_s) {
    const auto drawing = live::MakeDrawing(mean, options_.drawing_width_px);
    auto followed = tracker_.Follow(mean, drawing, false);
    if (!followed.ok() && last_) {  // the light has wandered too far since the keyframe: start from the last picture
      tracker_.Start(last_->first, last_->second);
      followed = tracker_.Follow(mean, drawing, false);
    }
    if (followed.ok()) {
      last_ = {followed.value().pose, drawing};
      if (lost_since_) AddLost(time_s);
      ring_.LookFrom(followed.value().pose);
      lost_since_.reset();
    } else if (!lost_since_) {
      lost_since_ = time_s - options_.pose_every_s;
    }
  }

  void AddLost(double to_s) {
    if (to_s - *lost_since_ < options_.give_up_s) return;
    lost.push_back({std::max(0.0, *lost_since_), to_s,
                    "the camera could not be followed: it moved too far, or too "
                    "little of the wall is lit"});
  }

  void Tell(const cv::Mat3b& after) {
    seen.push_back({now_.time_s, now_.index, ring_.Find(MiddleOf(before_, now_.strip, after))});
  }

  FollowOptions options_;
  Average average_;
  live::Tracker tracker_;
  RootRing ring_;
  cv::Mat3b before_;
  Strip now_;
  std::optional<std::pair<bore::BoreFromCam, live::Drawing>> last_;  ///< The last picture that was followed.
  std::optional<double> lost_since_;
};

void AddUncertainties(const bore::Bore& bore, Welding* welding, const FollowOptions& o) {
  const auto& course = welding->course;
  const double pose_u = PoseThetaUDeg(welding->start, bore);
  welding->theta_u_deg = std::hypot(std::hypot(course.theta_u_deg, pose_u), o.roll_u_deg, o.stand_u_deg);
  const double edge_deg = o.edge_s * course.mean_speed_mm_min / 60 / bore.radius_mm * bore::kDegPerRad;
  welding->swept_u_deg = std::sqrt(2.0) * std::hypot(welding->theta_u_deg, edge_deg);
  double travelled_mm = 0, time_s = 0;
  for (const auto& burn : course.burns) {
    travelled_mm += bore::ArcMm(std::abs(burn.to_theta_deg - burn.from_theta_deg), bore.radius_mm);
    time_s += burn.to_s - burn.from_s - burn.stood_s;
  }
  const double share = travelled_mm > 0 ? bore::ArcMm(welding->swept_u_deg, bore.radius_mm) / travelled_mm : 1;
  welding->mean_speed_u_mm_min = course.mean_speed_mm_min * std::hypot(share, bore.radius_u_mm / bore.radius_mm,
                                                                       2 * o.edge_s / std::max(1.0, time_s));
}

void AddNotes(Welding* welding) {
  welding->notes.push_back("Times: " + welding->info.clock + ".");
  welding->notes.push_back(
      "theta is the brightest place on the root; the electrode itself is outside and is not seen. theta's zero stands "
      "on "
      "the roll given in the joint file.");
  if (welding->full_share > 0.5)
    welding->notes.push_back("The light is blown out in most pictures: its place is the middle of what is blown out.");
}

}  // namespace

Status FollowOptions::Check() const {
  if (auto broken = pool.Check()) return broken;
  if (auto broken = FirstOutside("FollowOptions", {{"most_per_second", most_per_second, 0.1, 1000},
                                                   {"drawing_width_px", drawing_width_px, 64, 4096},
                                                   {"roll_u_deg", roll_u_deg, 0, 90},
                                                   {"stand_u_deg", stand_u_deg, 0, 90},
                                                   {"edge_s", edge_s, 0, 10}}))
    return broken;
  if (auto broken = light.Check()) return broken;
  if (auto broken = course.Check()) return broken;
  if (auto broken = tracker.Check()) return broken;
  if (!(pose_every_s >= 0.1 && pose_every_s <= 10)) return BadInput("FollowOptions::pose_every_s must be 0.1 to 10.");
  if (!(give_up_s > 0)) return BadInput("FollowOptions::give_up_s must be above 0.");
  return std::nullopt;
}

Result<Welding> Follow(const std::string& source, const bore::Bore& bore, const pose::FrameSetting& setting,
                       const FollowOptions& options, const JobContext& job) {
  if (auto broken = options.Check()) return *broken;
  const auto start = FindStart(source, bore, setting, options, job.Part(0, 0.3));
  if (!start.ok()) return start.error();
  auto stream = recording::FrameStream::Open(source);
  if (!stream.ok()) return stream.error();
  Walk walk(start.value(), bore, setting, options);
  Welding welding;
  while (true) {
    auto next = stream.value().Next(job.Part(0.3, 1));
    if (!next.ok()) return next.error();
    if (!next.value()) break;
    walk.Take(Coloured(next.value()->image), next.value()->time_s, next.value()->index);
    welding.duration_s = next.value()->time_s;
    ++welding.frames;
  }
  walk.End();
  std::erase_if(walk.seen, [&](const Seen& s) {
    return std::any_of(walk.lost.begin(), walk.lost.end(),
                       [&](const Gap& gap) { return s.time_s >= gap.from_s && s.time_s <= gap.to_s; });
  });
  const auto samples = FollowPool(walk.seen, bore.radius_mm, options.pool);
  auto course = Tell(samples, bore.radius_mm, options.course);
  if (!course.ok()) return Error{course.error().code, source + ": " + course.error().message};
  welding.source = source;
  welding.info = stream.value().info();
  welding.radius_mm = bore.radius_mm, welding.radius_u_mm = bore.radius_u_mm;
  welding.course = std::move(course).value();
  welding.start = start.value().pose, welding.start_s = start.value().time_s;
  welding.gaps = walk.lost;
  for (const auto& damage : stream.value().damage()) welding.gaps.push_back({damage.from_s, damage.to_s, damage.what});
  for (const auto& burn : welding.course.unsteady)
    welding.gaps.push_back(
        {burn.from_s, burn.to_s,
         "what shines on the root does not travel as a pool does: spatter, glints, or a pool too dim beside them"});
  double full = 0, glowing = 0;
  for (const auto& s : samples) glowing += s.glows, full += s.glows && s.full_share > 0.9;
  welding.full_share = glowing > 0 ? full / glowing : 0;
  AddUncertainties(bore, &welding, options);
  AddNotes(&welding);
  return welding;
}

}  // namespace vision::arc
