#include "vision/track/track.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <opencv2/imgproc.hpp>

#include "vision/base/range.h"
#include "vision/bore/angle.h"
#include "vision/track/patch.h"
#include "vision/unroll/unroll.h"

namespace vision::track {
namespace {

/// How one round follows patches.
struct Round {
  double pitch_mm, patch_mm, spacing_mm, reach_mm;
  int around;
};

/// One frame's wall laid flat, band-passed, wrapped by a margin on either side.
struct Flat {
  cv::Mat1f drawing;
  cv::Mat1b unseen;  ///< 1 where not seen (or blown out); same margins.
};

Result<Flat> Flatten(const TrackFrame& frame, const bore::BoreFromCam& pose, const unroll::StripGrid& grid, int margin,
                     double radius_mm, const TrackOptions& o) {
  unroll::UnrollOptions options;
  options.max_resolution_mm = 0.04 * radius_mm;
  options.dark_level = 6;
  const auto map = unroll::BuildMap(frame.known.setting.lens, pose, grid, frame.known.setting.mask, options);
  cv::Mat grey, blown, fine, coarse;
  cv::remap(frame.grey, grey, map.fixed_xy, map.fixed_fraction, cv::INTER_CUBIC, cv::BORDER_REPLICATE);
  Flat flat;
  flat.unseen = (map.seen == 0) | (grey >= options.clipped_level) | (grey < options.dark_level);
  flat.unseen.setTo(1, flat.unseen);
  grey.convertTo(grey, CV_32F);
  cv::max(grey, 4.0F, grey);
  cv::log(grey, grey);
  cv::copyMakeBorder(grey, grey, 0, 0, margin, margin, cv::BORDER_WRAP);
  cv::copyMakeBorder(flat.unseen, flat.unseen, 0, 0, margin, margin, cv::BORDER_WRAP);
  cv::GaussianBlur(grey, fine, {}, o.fine_share * radius_mm / grid.pitch_mm);
  cv::GaussianBlur(grey, coarse, {}, o.coarse_share * radius_mm / grid.pitch_mm);
  cv::subtract(fine, coarse, flat.drawing);
  cv::min(flat.drawing, 0.3F, flat.drawing);
  cv::max(flat.drawing, -0.3F, flat.drawing);
  return flat;
}

/// Everything a round works on.
struct Work {
  const std::vector<TrackFrame>& frames;
  const std::vector<bore::BoreFromCam>& poses;
  const TrackOptions& options;
  Round round;
  unroll::StripGrid grid;
  int margin = 0;
  std::vector<Flat> flats;

  double Ahead(std::size_t frame, double z_mm) const {
    const double away = z_mm - poses[frame].translation_mm.z();
    return frames[frame].known.setting.facing == pose::Facing::kMinusZ ? -away : away;
  }
};

/// Rows of wall that two or more frames see at a useful distance.
unroll::StripGrid GridFor(const Work& work, double radius_mm) {
  double from = 1e9, to = -1e9;
  for (std::size_t i = 0; i < work.frames.size(); ++i)
    for (const double share : {work.options.nearest_share, work.options.farthest_share}) {
      const bool minus = work.frames[i].known.setting.facing == pose::Facing::kMinusZ;
      const double z = work.poses[i].translation_mm.z() + (minus ? -1 : 1) * share * radius_mm;
      from = std::min(from, z), to = std::max(to, z);
    }
  const double reach = 2 * radius_mm;
  return unroll::StripGrid::Over(radius_mm, std::max(from, -reach), std::min(to, reach), work.round.pitch_mm);
}

/// Frames that see all of a patch and its surroundings, the first the one to compare the others with.
std::vector<std::size_t> FramesThatSee(const Work& work, const cv::Rect& window, double z_mm) {
  const double radius = work.grid.radius_mm;
  std::vector<std::size_t> seen;
  for (std::size_t i = 0; i < work.frames.size(); ++i) {
    const double ahead = work.Ahead(i, z_mm) / radius;
    if (ahead < work.options.nearest_share || ahead > work.options.farthest_share) continue;
    if (cv::countNonZero(work.flats[i].unseen(window)) == 0) seen.push_back(i);
  }
  const auto worth = [&](std::size_t i) { return std::abs(std::log(work.Ahead(i, z_mm) / (0.8 * radius))); };
  std::sort(seen.begin(), seen.end(), [&](std::size_t a, std::size_t b) { return worth(a) < worth(b); });
  const auto most = static_cast<std::size_t>(work.options.most_sightings);
  if (seen.size() <= most) return seen;
  std::vector<std::size_t> thinned{seen.front()};  // the others by even steps of travel, from another start each patch
  std::sort(seen.begin() + 1, seen.end());
  const std::size_t others = seen.size() - 1, start = static_cast<std::size_t>(31 * window.x + 17 * window.y) % others;
  for (std::size_t k = 0; k + 1 < most; ++k) thinned.push_back(seen[1 + (k * others + start) / (most - 1)]);
  return thinned;
}

/// A place of a frame's flat wall as a pixel, with what an error on the wall [arc, z mm] means there.
std::optional<pose::WallSighting> SightingAt(const Work& work, std::size_t frame, double arc_mm, double z_mm,
                                             const Eigen::Matrix2d& covariance_mm2) {
  const double radius = work.grid.radius_mm;
  const auto pixel = [&](double a, double z) {
    const auto wall = bore::XyzFromBore({a / radius * bore::kDegPerRad, z, 0}, radius);
    return work.frames[frame].known.setting.lens.Project(work.poses[frame].CamFromBore(wall));
  };
  const auto here = pixel(arc_mm, z_mm), beside = pixel(arc_mm + 0.05, z_mm), along = pixel(arc_mm, z_mm + 0.05);
  if (!here || !beside || !along) return std::nullopt;
  Eigen::Matrix2d per_mm;
  per_mm << (*beside - *here) / 0.05, (*along - *here) / 0.05;
  pose::WallSighting sighting;
  sighting.frame = frame;
  sighting.pixel = *here;
  sighting.covariance_px2 =
      work.options.alike * per_mm * covariance_mm2 * per_mm.transpose() + 1e-4 * Eigen::Matrix2d::Identity();
  return sighting;
}

/// All sightings of one patch; fewer than three are none.
std::vector<pose::WallSighting> Follow(const Work& work, double theta_deg, double z_mm) {
  const double pitch = work.round.pitch_mm;
  const int size = static_cast<int>(work.round.patch_mm / pitch), reach = static_cast<int>(work.round.reach_mm / pitch);
  const int column = static_cast<int>(std::lround(work.grid.Column(theta_deg))),
            row = static_cast<int>(std::lround(work.grid.Row(z_mm)));
  const cv::Rect patch(column + work.margin - size / 2, row - size / 2, size, size);
  const cv::Rect window(patch.x - reach - 3, patch.y - reach - 3, size + 2 * reach + 6, size + 2 * reach + 6);
  if (window.y < 0 || window.br().y > work.grid.rows) return {};
  const auto seen = FramesThatSee(work, window, z_mm);
  if (seen.size() < 3) return {};
  const double arc_pitch = bore::ArcMm(work.grid.theta_pitch_deg(), work.grid.radius_mm);
  const double arc0 = column * arc_pitch, z0 = work.grid.ZMm(row), floor = std::pow(work.options.floor_mm, 2);
  const double noise_cells =
      std::max(1.0, 4 * std::numbers::pi * std::pow(work.options.fine_share * work.grid.radius_mm / pitch, 2));
  std::vector<pose::WallSighting> sightings;
  if (auto first = SightingAt(work, seen[0], arc0, z0, 0.25 * floor * Eigen::Matrix2d::Identity()))
    sightings.push_back(*first);
  for (std::size_t k = 1; k < seen.size(); ++k) {
    const auto match = MatchPatch(work.flats[seen[0]].drawing, work.flats[seen[k]].drawing, patch, reach,
                                  work.options.min_correlation, noise_cells);
    if (!match) continue;
    const Eigen::Matrix2d covariance = pitch * pitch * match->covariance + floor * Eigen::Matrix2d::Identity();
    if (auto next =
            SightingAt(work, seen[k], arc0 + match->shift.x() * arc_pitch, z0 + match->shift.y() * pitch, covariance))
      sightings.push_back(*next);
  }
  if (sightings.size() < 3) sightings.clear();
  return sightings;
}

struct Tracks {
  std::vector<pose::WallPoint> points;
  std::vector<pose::WallSighting> sightings;
};

Tracks FollowAll(const Work& work) {
  std::vector<pose::WallPoint> places;
  const double first = work.grid.z_from_mm, last = work.grid.ZMm(work.grid.rows - 1);
  const double keep_off = work.options.weld_half_mm + 0.5 * work.round.patch_mm;
  const double forward = work.frames[0].known.setting.facing == pose::Facing::kMinusZ ? -1 : 1;
  const double farthest = work.options.beyond_share * work.grid.radius_mm;
  for (double z = first; z <= last; z += work.round.spacing_mm)
    for (int k = 0; k < work.round.around && std::abs(z) > keep_off && forward * z < farthest; ++k)
      places.push_back({360.0 * k / work.round.around, z, z < 0});
  std::vector<std::vector<pose::WallSighting>> all(places.size());
  cv::parallel_for_(cv::Range(0, static_cast<int>(places.size())), [&](const cv::Range& range) {
    for (int i = range.start; i < range.end; ++i) {
      const auto at = static_cast<std::size_t>(i);
      all[at] = Follow(work, places[at].theta_deg, places[at].z_mm);
    }
  });
  Tracks tracks;
  for (std::size_t i = 0; i < places.size(); ++i) {
    if (all[i].empty()) continue;
    for (auto& sighting : all[i]) {
      sighting.point = tracks.points.size();
      tracks.sightings.push_back(sighting);
    }
    tracks.points.push_back(places[i]);
  }
  return tracks;
}

Result<Tracks> TracksOf(const std::vector<TrackFrame>& frames, const std::vector<bore::BoreFromCam>& poses,
                        const Round& round, double radius_mm, const TrackOptions& options, const JobContext& job) {
  Work work{frames, poses, options, round, {}, 0, {}};
  work.grid = GridFor(work, radius_mm);
  work.margin = static_cast<int>((0.5 * round.patch_mm + round.reach_mm) / round.pitch_mm) + 6;
  for (std::size_t i = 0; i < frames.size(); ++i) {
    if (job.Cancelled()) return Cancelled();
    auto flat = Flatten(frames[i], poses[i], work.grid, work.margin, radius_mm, options);
    if (!flat.ok()) return flat.error();
    work.flats.push_back(std::move(flat).value());
  }
  if (job.Cancelled()) return Cancelled();
  return FollowAll(work);
}

}  // namespace

Status TrackOptions::Check() const {
  if (auto broken = FirstOutside("TrackOptions", {{"fine_share", fine_share, 0.0005, 0.2},
                                                  {"coarse_share", coarse_share, 0.002, 1},
                                                  {"least_reach_mm", least_reach_mm, 0, 50}}))
    return broken;
  if (!(pitch_share >= 0.001 && pitch_share <= 0.05))
    return BadInput("TrackOptions::pitch_share must be 0.001 to 0.05.");
  if (!(patch_mm > 0 && spacing_mm > 0)) return BadInput("TrackOptions::patch_mm and spacing_mm must be > 0 mm.");
  if (around < 12 || around > 360) return BadInput("TrackOptions::around must be 12 to 360.");
  if (!(weld_half_mm >= 0)) return BadInput("TrackOptions::weld_half_mm must be >= 0.");
  if (!(nearest_share > 0 && farthest_share > nearest_share))
    return BadInput("TrackOptions: nearest_share must be > 0 and below farthest_share.");
  if (!(beyond_share > 0)) return BadInput("TrackOptions::beyond_share must be > 0.");
  if (!(min_correlation > 0 && min_correlation < 1))
    return BadInput("TrackOptions::min_correlation must be between 0 and 1.");
  if (most_sightings < 3 || most_sightings > 100) return BadInput("TrackOptions::most_sightings must be 3 to 100.");
  if (!(floor_mm > 0)) return BadInput("TrackOptions::floor_mm must be > 0 mm.");
  if (!(alike >= 1)) return BadInput("TrackOptions::alike must be >= 1.");
  return push.Check();
}

Result<pose::PushSolution> SolveTogether(std::vector<TrackFrame> frames, const bore::Bore& bore,
                                         const TrackOptions& options, const JobContext& job) {
  if (auto broken = options.Check()) return *broken;
  if (frames.size() < 3) return BadInput("Poses are solved together from three frames or more.");
  const double radius = bore.radius_mm, pitch = options.pitch_share * radius;
  // What single frames leave of an offset is a share of the radius, and more in a small bore, where the wall is seen
  // askew.
  const double first_reach_mm = std::min(0.16 * radius, std::max(0.09 * radius, options.least_reach_mm));
  const Round rounds[] = {{2 * pitch, 2 * options.patch_mm, 2 * options.spacing_mm, first_reach_mm, options.around / 2},
                          {pitch, options.patch_mm, options.spacing_mm, 0.03 * radius, options.around},
                          {pitch, options.patch_mm, options.spacing_mm, 0.015 * radius, options.around}};
  std::vector<bore::BoreFromCam> poses;
  for (const auto& frame : frames) poses.push_back(frame.known.start.bore_from_cam);
  Result<pose::PushSolution> solution = NotFound("no round was run");
  for (int i = 0; i < 3; ++i) {
    const auto part = job.Part(i / 3.0, (i + 1) / 3.0);
    part.Report(0, "solving the poses of the run-in together, round " + std::to_string(i + 1));
    const auto tracks = TracksOf(frames, poses, rounds[i], radius, options, part);
    if (!tracks.ok()) return tracks.error();
    std::vector<pose::PushFrame> known;
    for (const auto& frame : frames) known.push_back(frame.known);
    solution = pose::SolvePush(known, tracks.value().points, tracks.value().sightings, bore, options.push, part);
    if (!solution.ok()) return solution;
    for (std::size_t k = 0; k < poses.size(); ++k) poses[k] = solution.value().poses[k].bore_from_cam;
  }
  return solution;
}

}  // namespace vision::track
