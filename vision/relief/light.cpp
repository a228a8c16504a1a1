#include "vision/relief/light.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/base/median.h"
#include "vision/base/range.h"
#include "vision/base/says.h"
#include "vision/bore/angle.h"
#include "vision/pose/axis.h"
#include "vision/relief/light_cuts.h"
#include "vision/relief/light_solve.h"
#include "vision/statistics/harmonics.h"
#include "vision/unroll/origin.h"

namespace vision::relief {
namespace {

/// What is worked on: frames with a stripe.
struct LightSweep {
  std::vector<const LightFrame*> frames;
  std::vector<Cut> cuts;
  std::vector<cv::Mat1b> hidden;
  LightPlane plane;
  Walls walls;
  double weld_z_mm = 0;
};

cv::Mat1b HiddenBy(const Stripe& stripe, const camera::Lens& lens, const LightOptions& o) {
  cv::Mat1b hidden(lens.height_px, lens.width_px, uchar{0});
  const auto n = stripe.points.size();
  const auto pixel = [&](const Eigen::Vector2d& slope) -> std::optional<cv::Point> {
    const auto px = lens.Project({slope.x(), slope.y(), 1});
    if (!px) return std::nullopt;
    return cv::Point(cvRound(px->x()), cvRound(px->y()));
  };
  double half = 0;
  int count = 0;
  for (const auto& p : stripe.points)
    if (p.has_inner() && p.has_outer()) half += 0.5 * (p.outer - p.inner).norm(), ++count;
  if (count > 0) half /= count;
  std::optional<cv::Point> before[2];
  for (std::size_t i = 0; i <= n; ++i) {
    const auto& p = stripe.points[i % n];
    const double phi = 2 * CV_PI * static_cast<double>(i) / static_cast<double>(n);
    const Eigen::Vector2d out(std::cos(phi), std::sin(phi)), circle = stripe.centre + stripe.radius * out;
    Eigen::Vector2d inner = circle - half * out, outer = circle + half * out;
    if (p.has_inner()) inner = p.inner, outer = p.inner + 2 * half * out;
    if (p.has_outer()) outer = p.outer;
    if (p.has_outer() && !p.has_inner()) inner = p.outer - 2 * half * out;
    const std::optional<cv::Point> now[2] = {pixel(inner), pixel(outer)};
    if (now[0] && now[1]) cv::line(hidden, *now[0], *now[1], 255, 2 * o.halo_px + 1);
    for (int k = 0; k < 2; ++k) {
      if (now[k] && before[k]) cv::line(hidden, *before[k], *now[k], 255, 2 * o.halo_px + 1);
      before[k] = now[k];
    }
  }
  return hidden;
}

/// The radius that most frames have: the light travels with the camera, a bead that was taken for it does not. NaN
/// where fewer than half have it.
double UsualRadius(const std::vector<std::optional<Stripe>>& found, const LightOptions& o) {
  double usual = NAN;
  std::ptrdiff_t most = 0;
  for (const auto& stripe : found) {
    if (!stripe) continue;
    const auto alike = std::count_if(found.begin(), found.end(), [&](const std::optional<Stripe>& other) {
      return other && std::abs(other->radius / stripe->radius - 1) < o.same_radius_share;
    });
    if (alike > most) most = alike, usual = stripe->radius;
  }
  return 2 * most < std::ssize(found) ? NAN : usual;
}

/// Median of the frames in which it was found by a colour that tells it from a bead, else of all; NaN where there is
/// none.
double UsualWidth(const std::vector<std::optional<Stripe>>& found) {
  std::vector<double> told, all;
  for (const auto& stripe : found) {
    if (!stripe || !std::isfinite(stripe->width)) continue;
    all.push_back(stripe->width);
    if (stripe->rim.tells()) told.push_back(stripe->width);
  }
  if (all.empty()) return NAN;
  return told.empty() ? Median(all) : Median(told);
}

/// The one of middle strength; absent where no frame learnt a colour that tells.
std::optional<RimColour> UsualRim(const std::vector<std::optional<Stripe>>& found) {
  std::vector<RimColour> rims;
  for (const auto& stripe : found)
    if (stripe && stripe->rim.tells()) rims.push_back(stripe->rim);
  if (rims.empty()) return std::nullopt;
  const auto middle = rims.begin() + static_cast<std::ptrdiff_t>(rims.size() / 2);
  std::nth_element(rims.begin(), middle, rims.end(),
                   [](const RimColour& a, const RimColour& b) { return a.strength < b.strength; });
  return *middle;
}

/// Has half of the frames a ring that is seen nearly all round?
bool MostlyClosed(const std::vector<std::optional<Stripe>>& found, double closed_share) {
  const auto closed = std::count_if(found.begin(), found.end(), [&](const std::optional<Stripe>& stripe) {
    return stripe && stripe->found_share > closed_share;
  });
  return 2 * closed >= std::ssize(found);
}

Status FindStripes(const std::vector<LightFrame>& frames, double radius_mm, LightSection& out, LightSweep& push,
                   const JobContext& job, const LightOptions& o) {
  StripeOptions options;
  options.radius_mm = radius_mm;
  options.trace = o.trace;
  if (std::isfinite(push.plane.distance_mm)) options.expected_slope = radius_mm / push.plane.distance_mm;
  const auto find = [&](std::size_t i) {
    return FindStripe(frames[i].image, frames[i].setting.lens, frames[i].setting.mask, options);
  };
  std::vector<std::optional<Stripe>> found(frames.size());
  for (const bool by_brightest : {false, true}) {
    options.by_brightest = by_brightest;
    for (std::size_t i = 0; i < frames.size(); ++i) {
      if (job.Cancelled()) return Cancelled();
      job.Report(static_cast<double>(i) / static_cast<double>(frames.size()), "finding the stripe");
      found[i] = find(i);
    }
    if (MostlyClosed(found, o.closed_share)) break;
  }
  if (!std::isfinite(options.expected_slope)) options.expected_slope = UsualRadius(found, o);
  options.usual_width = UsualWidth(found);
  options.rim = UsualRim(found);
  OwnLight own(o.own_light);
  for (std::size_t i = 0; i < frames.size(); ++i)
    if (found[i] &&
        std::abs(found[i]->width / options.usual_width - 1) < o.alike_share)  // else another band lies in it
      own.Learn(frames[i].image, frames[i].setting.lens, *found[i]);
  options.unmix = options.rim ? own.Weights() : std::nullopt;
  const auto even = EvenCircles(found, options.expected_slope, o.same_radius_share, options.trace.fewest_even);
  for (std::size_t i = 0; i < frames.size(); ++i) {
    if (job.Cancelled()) return Cancelled();
    options.known = even[i];
    auto stripe = find(i);
    if (!stripe) {
      out.notes.push_back({Says::kNoRingOfLightIn, {frames[i].name}});
      continue;
    }
    push.frames.push_back(&frames[i]);
    push.hidden.push_back(HiddenBy(*stripe, frames[i].setting.lens, o));
    push.cuts.push_back({std::move(*stripe), {}, 0});
    out.used.push_back(i);
  }
  for (std::size_t k = 1; k < out.used.size(); ++k)
    if (const auto lost = out.used[k] - out.used[k - 1] - 1; lost > o.lost_in_a_row)
      return NotFound(Says::kRingOfLightLost, {lost, frames[out.used[k - 1]].name});
  if (push.cuts.size() < 3) return NotFound(Says::kFewRingsOfLight, {push.cuts.size()});
  return std::nullopt;
}

SweepFrame TrackFrameOf(const LightSweep& push, std::size_t i) {
  return {&push.frames[i]->image, &push.frames[i]->setting, push.hidden[i], push.cuts[i].pose};
}

/// The step that the wall's drawing shows before frame i, beyond what its pose says. The furthest reach that finds
/// enough wall clear of the stripe counts.
double StepFrom(const LightSweep& push, std::size_t i, double radius_mm, const DrawingOptions& o) {
  double step = NAN;
  for (const double reach_mm : {7.0, 4.0, 2.5}) {
    if (i > 1 && reach_mm > 4) continue;
    if (!std::isfinite(step))
      step = StepAlong(TrackFrameOf(push, i - 1), TrackFrameOf(push, i), radius_mm, reach_mm, o);
  }
  return step;
}

/// The axis from the first frame that shows it; offsets from the stripe; steps along the axis from the wall's drawing.
Status FirstPoses(double radius_mm, LightSweep& push, const JobContext& job, const DrawingOptions& o) {
  if (!std::isfinite(push.plane.distance_mm)) {
    std::vector<double> distances;
    for (const auto& cut : push.cuts) distances.push_back(radius_mm / cut.stripe.radius);
    push.plane.distance_mm = MedianInPlace(distances);
  }
  Eigen::Vector3d axis(0, 0, 1);
  cv::Mat1b grey;
  cv::cvtColor(push.frames.front()->image, grey, cv::COLOR_BGR2GRAY);
  pose::FrameSetting setting = push.frames.front()->setting;
  setting.mask = setting.mask.empty() ? push.hidden.front() : cv::Mat1b(setting.mask | push.hidden.front());
  if (const auto seen = pose::FindAxis(cv::Mat1f(cv::Mat(grey)), setting, {}); seen.ok()) axis = seen.value().axis_cam;
  double step = 0;
  for (std::size_t i = 0; i < push.cuts.size(); ++i) {
    if (job.Cancelled()) return Cancelled();
    auto& pose = push.cuts[i].pose;
    const auto& here = push.frames[i]->setting;
    pose.rotation = pose::RotationFromAxis(axis, here.up_theta_deg, here.facing);
    const Eigen::Vector3d middle = pose.rotation * push.plane.PointAt(push.cuts[i].stripe.centre);
    pose.translation_mm << -middle.x(), -middle.y(), i == 0 ? 0 : push.cuts[i - 1].pose.translation_mm.z() + step;
    if (i == 0) continue;
    const double off = StepFrom(push, i, radius_mm, o);
    if (!std::isfinite(off)) return NotFound(Says::kWallNotFollowed, {push.frames[i]->name});
    pose.translation_mm.z() += off;
    step = pose.translation_mm.z() - push.cuts[i - 1].pose.translation_mm.z();
  }
  return std::nullopt;
}

/// Residual of one cut about its own smooth run around the bore (mean and three harmonics).
std::vector<double> Roughness(const std::vector<CutPoint>& points) {
  Eigen::Matrix<double, 7, 7> normal = 1e-6 * Eigen::Matrix<double, 7, 7>::Identity();
  Eigen::Matrix<double, 7, 1> right = Eigen::Matrix<double, 7, 1>::Zero();
  for (const auto& p : points) {
    if (!p.valid) continue;
    const auto row = statistics::Harmonics<3>(p.theta_deg);
    normal += row * row.transpose();
    right += p.h_mm * row;
  }
  const Eigen::Matrix<double, 7, 1> c = normal.ldlt().solve(right);
  std::vector<double> rough(points.size(), NAN);
  for (std::size_t i = 0; i < points.size(); ++i)
    if (points[i].valid) rough[i] = points[i].h_mm - statistics::Harmonics<3>(points[i].theta_deg).dot(c);
  return rough;
}

/// Middle of the stretch along the axis in which the cuts are rougher than elsewhere.
double WeldMiddle(const LightSweep& push, double radius_mm, const LightOptions& o) {
  std::vector<std::vector<double>> bins;
  double from = 1e9, to = -1e9;
  std::vector<std::vector<CutPoint>> all;
  for (const auto& cut : push.cuts) {
    all.push_back(MiddlesOf(cut, push.plane, radius_mm));
    for (const auto& p : all.back())
      if (p.valid) from = std::min(from, p.z_mm), to = std::max(to, p.z_mm);
  }
  bins.resize(static_cast<std::size_t>((to - from) / o.middle_bin_mm) + 1);
  for (const auto& points : all) {
    const auto rough = Roughness(points);
    for (std::size_t i = 0; i < points.size(); ++i)
      if (points[i].valid)
        bins[static_cast<std::size_t>((points[i].z_mm - from) / o.middle_bin_mm)].push_back(std::abs(rough[i]));
  }
  std::vector<double> level;
  for (auto& bin : bins) {
    double sum = 0;
    for (const double v : bin) sum += std::min(v, 0.6);
    level.push_back(bin.size() > 60 ? sum / static_cast<double>(bin.size()) : NAN);
  }
  std::vector<double> sorted;
  for (const double v : level)
    if (std::isfinite(v)) sorted.push_back(v);
  if (sorted.size() < 4) return 0.5 * (from + to);
  std::sort(sorted.begin(), sorted.end());
  const double ground = sorted[sorted.size() / 10], top = sorted.back(), least = ground + 0.35 * (top - ground);
  double sum = 0, weight = 0;
  for (std::size_t i = 0; i < level.size(); ++i) {
    if (!(level[i] > least)) continue;
    sum += (level[i] - ground) * (from + (static_cast<double>(i) + 0.5) * o.middle_bin_mm);
    weight += level[i] - ground;
  }
  return sum / weight;
}

std::vector<StripeSight> WallSights(const LightSweep& push, double radius_mm, double clear_mm, const LightOptions& o) {
  std::vector<StripeSight> sights;
  const auto stride = static_cast<std::size_t>(o.wall_stride);
  for (std::size_t f = 0; f < push.cuts.size(); ++f) {
    const auto& cut = push.cuts[f];
    const auto middles = MiddlesOf(cut, push.plane, radius_mm);
    for (std::size_t i = 0; i + stride <= middles.size(); i += stride) {
      Eigen::Vector2d slope(0, 0);
      int count = 0;
      double z = 0;
      for (std::size_t k = i; k < i + stride; ++k) {
        if (!middles[k].valid) continue;
        const auto& p = cut.stripe.points[k];
        const double a = (p.inner - cut.stripe.centre).norm(), b = (p.outer - cut.stripe.centre).norm();
        slope += p.inner + (p.outer - p.inner) * (2 * a * b / (a + b) - a) / (b - a);
        z += middles[k].z_mm;
        ++count;
      }
      if (count < o.wall_stride - 1) continue;
      z /= count;
      if (std::abs(z - push.weld_z_mm) < clear_mm) continue;
      sights.push_back({static_cast<int>(f), slope / count, z < push.weld_z_mm});
    }
  }
  return sights;
}

Result<PathSolved> SolveRound(const bore::Bore& bore, const LightPlane& known, const LightOptions& o, int round,
                              LightSweep& push) {
  std::vector<SweepFrame> frames;
  for (std::size_t i = 0; i < push.cuts.size(); ++i) frames.push_back(TrackFrameOf(push, i));
  SweepOptions track;
  track.drawing = o.drawing;
  track.reach_mm = round == 0 ? 2 : 1;
  track.weld_from_mm = push.weld_z_mm - 4;
  track.weld_to_mm = push.weld_z_mm + 4;
  PathProblem problem;
  problem.drawing = TrackDrawing(frames, bore.radius_mm, track);
  problem.stripe = WallSights(push, bore.radius_mm, o.clear_of_weld_mm, o);
  for (std::size_t i = 0; i < push.cuts.size(); ++i) {
    problem.poses.push_back(push.cuts[i].pose);
    problem.settings.push_back(&push.frames[i]->setting);
  }
  problem.plane = push.plane;
  problem.plane.distance_u_mm = known.distance_u_mm;
  problem.plane.tilt_u_deg = known.tilt_u_deg;
  problem.walls = push.walls;
  problem.bore = bore;
  problem.weld_z_mm = push.weld_z_mm;
  if (problem.drawing.size() < 40) return NotFound(Says::kLittleTexture, {problem.drawing.size()});
  if (problem.stripe.size() < 60) return NotFound(Says::kLittleBareWall, {problem.stripe.size()});
  auto solved = SolvePath(problem);
  if (!solved.ok()) return solved;
  for (std::size_t i = 0; i < push.cuts.size(); ++i) {
    push.cuts[i].pose = solved.value().poses[i];
    push.cuts[i].u_mm = solved.value().cut_u_mm[i];
  }
  push.plane = solved.value().plane;
  push.walls = solved.value().walls;
  return solved;
}

}  // namespace

Eigen::Vector3d LightPlane::Normal() const {
  const double x = tilt_x_deg * bore::kRadPerDeg, y = tilt_y_deg * bore::kRadPerDeg;
  return {std::sin(y), -std::sin(x), std::cos(x) * std::cos(y)};
}

Eigen::Vector3d LightPlane::PointAt(const Eigen::Vector2d& slope, double ahead_mm) const {
  const Eigen::Vector3d normal = Normal(), ray(slope.x(), slope.y(), 1);
  return ray * ((distance_mm + ahead_mm) * normal.z() / normal.dot(ray));
}

Status LightOptions::Check() const {
  for (const auto& broken : {cuts.Check(), trace.Check(), own_light.Check(), drawing.Check()})
    if (broken) return broken;
  if (auto broken = FirstOutside("LightOptions", {{"halo_px", halo_px, 0, 50},
                                                  {"rounds", rounds, 1, 20},
                                                  {"lost_in_a_row", lost_in_a_row, 0, 100},
                                                  {"same_radius_share", same_radius_share, 0, 0.5},
                                                  {"alike_share", alike_share, 0, 1},
                                                  {"closed_share", closed_share, 0, 1},
                                                  {"middle_bin_mm", middle_bin_mm, 0.1, 5},
                                                  {"wall_stride", wall_stride, 2, 100}}))
    return broken;
  if (!(pitch_mm >= 0.05 && pitch_mm <= 1)) return BadInput("LightOptions::pitch_mm must be 0.05 to 1 mm.");
  if (!(longest_gap_mm > 0)) return BadInput("LightOptions::longest_gap_mm must be > 0 mm.");
  if (!(clear_of_weld_mm > 0)) return BadInput("LightOptions::clear_of_weld_mm must be > 0 mm.");
  if (!(plane_u_mm > 0 && plane_tilt_u_deg > 0))
    return BadInput("LightOptions: plane_u_mm and plane_tilt_u_deg must be > 0.");
  return std::nullopt;
}

Result<LightSection> ReliefByLight(const std::vector<LightFrame>& frames, const bore::Bore& bore,
                                   const LightPlane& plane, const LightOptions& options, const JobContext& job) {
  if (auto broken = options.Check()) return *broken;
  if (!(bore.radius_mm > 0)) return BadInput("The bore's radius must be > 0 mm.");
  LightSection out;
  LightSweep push;
  push.plane = plane;
  LightPlane known = plane;
  if (std::isfinite(plane.distance_mm)) {
    if (!std::isfinite(known.distance_u_mm)) known.distance_u_mm = options.plane_u_mm;
    if (!std::isfinite(known.tilt_u_deg)) known.tilt_u_deg = options.plane_tilt_u_deg;
  }
  if (auto failed = FindStripes(frames, bore.radius_mm, out, push, job.Part(0, 0.4), options)) return *failed;
  if (auto failed = FirstPoses(bore.radius_mm, push, job, options.drawing)) return *failed;
  known.distance_mm = push.plane.distance_mm;
  for (int round = 0; round < options.rounds; ++round) {
    if (job.Cancelled()) return Cancelled();
    job.Report(0.5 + 0.15 * round, "solving the poses together");
    push.weld_z_mm = WeldMiddle(push, bore.radius_mm, options);
    auto solved = SolveRound(bore, known, options, round, push);
    if (!solved.ok()) return solved.error();
    const auto& s = solved.value();
    out.offset_u_mm = s.offset_u_mm;
    out.z_u_mm = s.z_u_mm;
    out.tilt_u_deg = s.tilt_u_deg;
    out.wall_residual_mm = s.stripe_rms_mm;
    out.drawing_residual_px = s.drawing_rms_px;
  }
  if (auto none = Distrusted(push.walls, out.wall_residual_mm)) return *none;
  const double half = HalfDepth(push.cuts, push.plane, bore.radius_mm, push.weld_z_mm, options.clear_of_weld_mm);
  out.relief = ReliefFromCuts(push.cuts, push.plane, bore.radius_mm, half, options);
  for (const auto& cut : push.cuts) out.poses.push_back(cut.pose);
  const unroll::Origin weld(push.weld_z_mm);
  weld.Move(out.relief.grid);
  weld.Move(out.poses);
  out.stripe_mask = push.hidden;
  out.plane = push.plane;
  job.Report(1, "relief made");
  return out;
}

}  // namespace vision::relief
