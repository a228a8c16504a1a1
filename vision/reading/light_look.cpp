#include "vision/reading/light_look.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/base/number.h"
#include "vision/base/says.h"
#include "vision/bore/angle.h"
#include "vision/unroll/origin.h"

namespace vision::reading {
namespace {

constexpr int kBeside_px = 4;  ///< Halo beside the stripe that is replaced with it.

Result<std::vector<relief::LightFrame>> LoadFrames(const RecordingInput& recording, const JobContext& job) {
  std::vector<relief::LightFrame> frames;
  for (const auto& input : recording.frames) {
    if (job.Cancelled()) return Cancelled();
    auto still = recording::ReadStill(input.file, {input.lens.width_px, input.lens.height_px});
    if (!still.ok()) return still.error();
    relief::LightFrame frame;
    frame.image = still.value().image;
    frame.name = still.value().name;
    auto setting = SettingOf(input);
    if (!setting.ok()) return setting.error();
    frame.setting = std::move(setting).value();
    frames.push_back(std::move(frame));
  }
  return frames;
}

/// The frame in which the stripe lies furthest beyond the weld (the camera nearest to it), among those used.
std::size_t ClearestFrame(const relief::LightSection& section) {
  std::size_t best = 0;
  double furthest = -1e9;
  for (std::size_t i = 0; i < section.poses.size(); ++i) {
    const auto& pose = section.poses[i];
    const double along = pose.rotation(2, 2) > 0 ? 1 : -1;
    const double beyond = along * pose.translation_mm.z() + section.plane.distance_mm;
    const double clear = beyond > 0 ? beyond : -beyond - 2;  // beyond the weld rather than before it
    if (clear > furthest) furthest = clear, best = i;
  }
  return best;
}

/// Brightness of the wall around the stripe in one frame over another's at the same places.
double GainBetween(const std::vector<std::pair<cv::Vec3b, cv::Vec3b>>& pairs) {
  std::vector<double> ratios;
  for (const auto& [here, there] : pairs) {
    const double b = there[0] + there[1] + there[2];
    if (b > 30) ratios.push_back((here[0] + here[1] + here[2]) / b);
  }
  if (ratios.size() < 50) return 1;
  auto middle = ratios.begin() + static_cast<std::ptrdiff_t>(ratios.size() / 2);
  std::nth_element(ratios.begin(), middle, ratios.end());
  return *middle;
}

/// The chosen frame with its stripe replaced by the same wall as another frame of the push shows it: the frames
/// furthest away along the axis first. What no frame shows stays as it is.
/// @param shown_by Gets the number of the frame (among those used) that gave each pixel.
cv::Mat3b WithoutStripe(const relief::LightSection& section, const std::vector<relief::LightFrame>& frames,
                        std::size_t chosen, double radius_mm, cv::Mat1s& shown_by) {
  const auto& lens = frames[section.used[chosen]].setting.lens;
  const auto& pose = section.poses[chosen];
  cv::Mat3b picture = frames[section.used[chosen]].image.clone();
  shown_by = cv::Mat1s(picture.size(), static_cast<short>(chosen));
  const cv::Mat kernel = cv::Mat::ones(2 * kBeside_px + 1, 2 * kBeside_px + 1, CV_8U);
  std::vector<cv::Mat1b> hidden(section.poses.size());
  for (std::size_t i = 0; i < hidden.size(); ++i) cv::dilate(section.stripe_mask[i], hidden[i], kernel);
  cv::Mat1b wanted = hidden[chosen].clone(), rim;
  cv::dilate(wanted, rim, cv::Mat::ones(31, 31, CV_8U));
  std::vector<std::size_t> others;
  for (std::size_t i = 0; i < section.poses.size(); ++i)
    if (i != chosen) others.push_back(i);
  const auto away = [&](std::size_t i) {
    return std::abs(section.poses[i].translation_mm.z() - pose.translation_mm.z());
  };
  std::sort(others.begin(), others.end(), [&](std::size_t a, std::size_t b) { return away(a) > away(b); });
  for (const std::size_t other : others) {
    const cv::Mat3b& source = frames[section.used[other]].image;
    const auto at = [&](int u, int v) -> std::optional<cv::Vec3b> {
      const auto ray = lens.Ray({u, v});
      if (!ray) return std::nullopt;
      const auto wall = bore::WallFromRay(pose.translation_mm, pose.rotation * *ray, radius_mm);
      if (!wall) return std::nullopt;
      const auto px = lens.Project(section.poses[other].CamFromBore(bore::XyzFromBore(*wall, radius_mm)));
      if (!px || !(px->x() > 1 && px->y() > 1 && px->x() < lens.width_px - 2 && px->y() < lens.height_px - 2))
        return std::nullopt;
      if (hidden[other](cvRound(px->y()), cvRound(px->x())) != 0) return std::nullopt;
      cv::Mat3b patch;
      cv::getRectSubPix(source, {1, 1}, {static_cast<float>(px->x()), static_cast<float>(px->y())}, patch);
      return patch(0, 0);
    };
    std::vector<std::pair<cv::Vec3b, cv::Vec3b>> pairs;
    for (int v = 0; v < rim.rows; v += 3)
      for (int u = 0; u < rim.cols; u += 3)
        if (rim(v, u) != 0 && hidden[chosen](v, u) == 0)
          if (const auto there = at(u, v)) pairs.push_back({picture(v, u), *there});
    const double gain = GainBetween(pairs);
    for (int v = 0; v < wanted.rows; ++v)
      for (int u = 0; u < wanted.cols; ++u) {
        if (wanted(v, u) == 0) continue;
        if (const auto there = at(u, v)) {
          for (int k = 0; k < 3; ++k) picture(v, u)[k] = cv::saturate_cast<uchar>(gain * (*there)[k]);
          wanted(v, u) = 0;
          shown_by(v, u) = static_cast<short>(other);
        }
      }
    if (cv::countNonZero(wanted) == 0) break;
  }
  return picture;
}

std::vector<FramePose> RecordsOf(const relief::LightSection& section, const std::vector<relief::LightFrame>& frames) {
  std::vector<FramePose> records;
  for (std::size_t i = 0; i < section.poses.size(); ++i) {
    const auto& pose = section.poses[i];
    FramePose record;
    record.file = frames[section.used[i]].name;
    record.offset_x_mm = pose.translation_mm.x();
    record.offset_y_mm = pose.translation_mm.y();
    record.offset_u_mm = section.offset_u_mm[i];
    record.distance_to_weld_mm = std::abs(pose.translation_mm.z());
    record.distance_u_mm = section.z_u_mm[i];
    record.tilt_deg = pose.tilt_deg();
    record.tilt_u_deg = section.tilt_u_deg[i];
    record.axis_azimuth_deg = pose.axis_azimuth_deg();
    record.residual_px = section.drawing_residual_px;
    record.facing = pose::NameOf(frames[section.used[i]].setting.facing);
    record.how = WordsOf(Says::kSolvedWithAll);
    records.push_back(record);
  }
  return records;
}

}  // namespace

std::optional<Sentence> LeansTooFar(const std::vector<bore::BoreFromCam>& poses, double most_deg) {
  double lean_deg = 0;
  for (const auto& pose : poses) lean_deg = std::max(lean_deg, pose.tilt_deg());
  if (lean_deg <= most_deg) return std::nullopt;
  return Sentence{Says::kLeansTooFar, {NumberText(lean_deg, "%.1f"), NumberText(most_deg, "%.1f")}};
}

Result<LightLook> TakeLightLook(const RecordingInput& recording, const MeasureInput& input,
                                const MeasureOptions& options, const JobContext& job) {
  if (recording.video) return NotFound(Says::kStillsOnly);
  auto frames = LoadFrames(recording, job);
  if (!frames.ok()) return frames.error();
  relief::LightPlane plane;
  if (recording.light_plane) plane = *recording.light_plane;
  auto section = relief::ReliefByLight(frames.value(), input.bore, plane, {}, job.Part(0, 0.8));
  if (!section.ok()) return section.error();
  LightLook out;
  out.section = std::move(section).value();
  out.no_heights = LeansTooFar(out.section.poses, options.most_lean_for_heights_deg);
  const std::size_t clearest = out.chosen = ClearestFrame(out.section);
  for (const std::size_t used : out.section.used) out.settings.push_back(frames.value()[used].setting);
  const auto& frame = frames.value()[out.section.used[clearest]];
  recording::Frame picture;
  picture.name = frame.name;
  picture.image = WithoutStripe(out.section, frames.value(), clearest, input.bore.radius_mm, out.shown_by);
  FrameInput setting = recording.frames[out.section.used[clearest]];
  setting.known_pose = out.section.poses[clearest];
  std::optional<pose::Sought> sought;
  auto look = TakeLook(picture, setting, input, options, job.Part(0.8, 1), sought);
  if (!look.ok()) return look.error();
  out.look = std::move(look).value();
  const unroll::Origin origin(out.section.poses[clearest].translation_mm.z() -
                              out.look.pose.bore_from_cam.translation_mm.z());
  origin.Move(out.section.relief.grid);
  origin.Move(out.section.poses);
  out.poses = RecordsOf(out.section, frames.value());
  return out;
}

}  // namespace vision::reading
