#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/base/median.h"
#include "vision/base/says.h"
#include "vision/bore/angle.h"
#include "vision/bore/stations.h"
#include "vision/statistics/around.h"
#include "vision/surface/ground.h"

/// Wrinkled or crystalline oxide scale on the wall beside a toe: rough light and dark in both directions, where a drawn
/// wall has lines along the axis, turned marks and tint bands around it. What runs along either direction is taken off
/// before the roughness is read, and the bare wall at the same distance from the toe is what it is held against. The
/// limits come from our own renders of scale (16 of 16 found) and from 18 independent renders without any.
namespace vision::surface {
namespace {

int Cells(double mm, const Ground& ground) {
  return std::max(1, static_cast<int>(std::lround(mm / ground.grid.pitch_mm))) | 1;
}

/// Mean over usable cells alone.
cv::Mat1f MaskedMean(const cv::Mat1f& values, const cv::Mat1f& weight, cv::Size size) {
  cv::Mat1f sum, total;
  cv::boxFilter(values.mul(weight), sum, CV_32F, size, {-1, -1}, true, cv::BORDER_REPLICATE);
  cv::boxFilter(weight, total, CV_32F, size, {-1, -1}, true, cv::BORDER_REPLICATE);
  cv::divide(sum, cv::max(total, 1e-3), sum);
  return sum;
}

/// Where the bead ends: the toe, or its course where the scale's own edge was taken for it or none was seen.
std::vector<double> BeadEnd(const std::vector<double>& toe_z_mm, const ScaleOptions& o) {
  std::vector<double> end = statistics::MedianAround(toe_z_mm, o.course_lines, o.course_lines + 1);
  for (std::size_t i = 0; i < bore::kStationLines; ++i)
    if (std::abs(toe_z_mm[i] - end[i]) <= o.off_course_mm) end[i] = toe_z_mm[i];
  return end;
}

/// Wall cells that can be read: usable and outside the bead.
cv::Mat1f WallOf(const Ground& ground, const std::vector<double>& left_z_mm, const std::vector<double>& right_z_mm,
                 const ScaleOptions& o) {
  cv::Mat1b inside;  // the picture's own edge is dark and sharp
  const int rim = 2 * Cells(o.rim_mm, ground) + 1;
  cv::erode(ground.seen, inside, cv::Mat1b::ones(rim, rim), {-1, -1}, 1, cv::BORDER_REPLICATE);
  cv::Mat1f wall(ground.light.size(), 0.0f);
  for (int c = 0; c < wall.cols; ++c) {
    const std::size_t line = ground.Line(c);
    const double left = left_z_mm[line] - 0.5 * o.from_mm, right = right_z_mm[line] + 0.5 * o.from_mm;
    for (int r = 0; r < wall.rows; ++r) {
      const double z = ground.ZMm(r);
      if (ground.usable(r, c) && inside(r, c) && (z < left || z > right)) wall(r, c) = 1;
    }
  }
  return wall;
}

struct Roughness {
  cv::Mat1f rms, share;  ///< Over a window about each cell: roughness | share of usable wall.
};

Roughness RoughnessOf(const Ground& ground, const cv::Mat1f& wall, const ScaleOptions& o) {
  const auto mean = [&](const cv::Mat1f& values, double around_mm, double along_mm) {
    return MaskedMean(values, wall, {Cells(around_mm, ground), Cells(along_mm, ground)});
  };
  cv::Mat1f detail = mean(ground.light, o.fine_mm, o.fine_mm);
  detail -= mean(ground.light, o.coarse_mm, o.coarse_mm);
  detail -= mean(detail, o.thin_mm, o.line_mm);  // along the axis
  detail -= mean(detail, o.line_mm, o.thin_mm);  // around
  Roughness roughness;
  cv::sqrt(mean(cv::Mat1f(detail.mul(detail)), o.window_around_mm, o.window_along_mm), roughness.rms);
  cv::boxFilter(wall, roughness.share, CV_32F, {Cells(o.window_around_mm, ground), Cells(o.window_along_mm, ground)},
                {-1, -1}, true, cv::BORDER_REPLICATE);
  return roughness;
}

/// Roughness along one side: rows = steps outward, columns = station lines; NaN where not read.
struct Side {
  cv::Mat1d rms;
  std::vector<Reason> why;
};

Side ReadSide(const Ground& ground, const Roughness& roughness, const std::vector<double>& toe_z_mm, int outward,
              const std::vector<bool>& unfused, const ScaleOptions& o) {
  const int steps = static_cast<int>((o.to_mm - o.from_mm) / o.step_mm) + 1;
  Side side{cv::Mat1d(steps, static_cast<int>(bore::kStationLines), kNone), std::vector<Reason>(bore::kStationLines)};
  for (std::size_t line = 0; line < bore::kStationLines; ++line) {
    const int c = ground.Column(line);
    if (!std::isfinite(toe_z_mm[line])) {
      side.why[line] = {Says::kNoToe};
      continue;
    }
    if (unfused[line]) side.why[line] = {Says::kEdgeStandsHere};
    for (int k = 0; k < steps && side.why[line].empty(); ++k) {
      const int r = static_cast<int>(std::lround(ground.Row(toe_z_mm[line] + outward * (o.from_mm + k * o.step_mm))));
      if (r < 0 || r >= ground.rows() || roughness.share(r, c) < o.least_usable_share)
        side.why[line] = {Says::kWallBesideHidden};
      else if (!(static_cast<double>(ground.pixel_mm(r, c)) <= o.coarsest_mm))
        side.why[line] = {Says::kPictureTooCoarse};
      else
        side.rms(k, static_cast<int>(line)) = roughness.rms(r, c);
    }
  }
  return side;
}

/// What the wall itself is like so far from the toe: lower quartile all round, since scale may cover much of it.
double WallRoughness(const cv::Mat1d& rms, int step) {
  std::vector<double> values;
  for (int i = 0; i < rms.cols; ++i)
    if (std::isfinite(rms(step, i))) values.push_back(rms(step, i));
  if (values.size() < bore::kStationLines / 10) return kNone;
  const auto quarter = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 4);
  std::nth_element(values.begin(), quarter, values.end());
  return *quarter;
}

struct Found {
  std::vector<bool> flags = std::vector<bool>(bore::kStationLines, false);
  std::vector<double> over = std::vector<double>(bore::kStationLines, 0.0), reach_mm = over;
};

Found FindOn(const Side& side, const SurfaceOptions& options) {
  Found found;
  std::vector<double> asked;
  for (int k = 0; k < side.rms.rows; ++k) {
    const double wall = WallRoughness(side.rms, k);
    asked.push_back(std::isfinite(wall) ? std::max(options.scale_roughness, options.over_wall * wall) : kNone);
  }
  for (int i = 0; i < static_cast<int>(bore::kStationLines); ++i)
    for (int k = 0; k + 1 < side.rms.rows; ++k) {  // two steps together: a spot is no scale
      const auto line = static_cast<std::size_t>(i), step = static_cast<std::size_t>(k);
      const double over = std::min(side.rms(k, i) / asked[step], side.rms(k + 1, i) / asked[step + 1]);
      if (!(over >= 1)) continue;
      found.flags[line] = true;
      found.over[line] = std::max(found.over[line], over);
      found.reach_mm[line] = options.scale.from_mm + (k + 1.5) * options.scale.step_mm;
    }
  return found;
}

/// Over the lines of a run that were found, not those between them.
double MedianFound(const std::vector<double>& values, const Found& found, const bore::Arc& run) {
  std::vector<double> in;
  for (std::size_t i = 0; i < bore::kStationLines; ++i)
    if (run.HoldsLine(Ground::LineDeg(i)) && found.over[i] >= 1) in.push_back(values[i]);
  return Median(std::move(in));
}

}  // namespace

void FindScale(const Ground& ground, const Bead& bead, const SurfaceOptions& options, Surface& surface) {
  const auto left_end = BeadEnd(ground.left_z_mm, options.scale), right_end = BeadEnd(ground.right_z_mm, options.scale);
  const Roughness roughness = RoughnessOf(ground, WallOf(ground, left_end, right_end, options.scale), options.scale);
  for (const bool left : {true, false}) {
    const auto& toe = left ? left_end : right_end;
    const Side side =
        ReadSide(ground, roughness, toe, left ? -1 : 1, left ? bead.unfused_left : bead.unfused_right, options.scale);
    Search search{"scale", left ? "left" : "right", std::vector<double>(bore::kStationLines, kNone), side.why};
    for (std::size_t i = 0; i < bore::kStationLines; ++i)
      if (side.why[i].empty()) search.smallest_mm[i] = options.least_scale_mm;
    Found found = FindOn(side, options);
    // smooth places between two wrinkled ones belong to them, up to two windows' width
    bore::FillGaps(2 * options.scale.window_around_mm / bore::ArcMm(1, ground.grid.radius_mm), &found.flags);
    for (const auto& run : bore::RunsOnCircle(found.flags)) {
      const double length_mm = bore::ArcMm(run.length_deg, ground.grid.radius_mm);
      if (length_mm < options.least_scale_mm) continue;
      const double reach = MedianFound(found.reach_mm, found, run), over = MedianFound(found.over, found, run);
      const auto middle =
          static_cast<std::size_t>(std::lround((run.start_deg + run.length_deg / 2) * bore::kStationLines / 360)) %
          bore::kStationLines;
      Seen seen;
      seen.kind = "scale", seen.side = search.side;
      seen.theta_deg = Ground::LineDeg(middle);
      seen.z_mm = toe[middle] + (left ? -0.5 : 0.5) * reach;
      seen.length_mm = length_mm;
      seen.length_u_mm = std::hypot(2 * options.scale.window_around_mm / 3,
                                    options.scale.ends_share * length_mm);  // thin ends are missed
      seen.width_mm = reach;
      seen.width_u_mm = options.scale.window_along_mm / 2;
      seen.confidence = std::min(0.9, 0.5 + 0.8 * (over - 1));
      surface.seen.push_back(seen);
    }
    surface.searched.push_back(std::move(search));
  }
}

}  // namespace vision::surface
