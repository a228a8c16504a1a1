#include "vision/relief/travel.h"

#include <algorithm>
#include <cmath>
#include <opencv2/core.hpp>

#include "vision/base/median.h"
#include "vision/base/range.h"
#include "vision/base/says.h"
#include "vision/bore/angle.h"
#include "vision/relief/travel_fit.h"
#include "vision/relief/travel_posterior.h"
#include "vision/relief/travel_wall.h"

namespace vision::relief {
namespace {

/// Frames that tell, nearest first, evenly over the distances.
Result<std::vector<TravelFrame>> Chosen(const std::vector<TravelFrame>& frames, double radius_mm,
                                        const TravelOptions& o) {
  std::vector<TravelFrame> near;
  for (const auto& frame : frames)
    if (std::abs(frame.pose.translation_mm.z()) < o.farthest_share * radius_mm) near.push_back(frame);
  const auto distance = [](const TravelFrame& f) { return std::abs(f.pose.translation_mm.z()); };
  std::sort(near.begin(), near.end(), [&](const auto& a, const auto& b) { return distance(a) < distance(b); });
  if (near.size() < 3) return NotFound(Says::kFewNearFrames);
  if (distance(near.front()) > o.nearest_share * radius_mm) return NotFound(Says::kStoppedTooFar);
  if (distance(near.back()) - distance(near.front()) < o.least_travel_share * radius_mm)
    return NotFound(Says::kTravelTooShort);
  const auto most = static_cast<std::size_t>(o.most_frames);
  if (near.size() <= most) return near;
  std::vector<TravelFrame> chosen;
  for (std::size_t k = 0; k < most; ++k) chosen.push_back(near[k * (near.size() - 1) / (most - 1)]);
  return chosen;
}

Scenery SceneryOf(const Samples& samples, const WallTold& told, const TravelOptions& o) {
  Scenery scenery;
  for (std::size_t f = 0; f < samples.poses.size(); ++f) {
    scenery.stands.push_back(StandOf(samples.poses[f], told.lamps, 0.5, samples.along));
    scenery.blur_mm.push_back(std::hypot(o.blur_px / samples.px_per_mm[f], o.blur_mm));
  }
  scenery.wall = scenery.bead = told.gloss;
  scenery.spread = told.lamps.spread;
  scenery.ambient = told.ambient;
  return scenery;
}

std::vector<LineCurve> Curves(const Samples& samples, const Scenery& scenery, const TravelOptions& o) {
  std::vector<LineCurve> curves(samples.lines.size());
  cv::parallel_for_(cv::Range(0, static_cast<int>(curves.size())), [&](const cv::Range& range) {
    for (int i = range.start; i < range.end; ++i) {
      const auto k = static_cast<std::size_t>(i);
      curves[k] = CurveOf(samples, k, scenery, o);
    }
  });
  return curves;
}

}  // namespace

Result<TravelHeights> HeightsByTravel(const std::vector<TravelFrame>& frames, const bore::Bore& bore,
                                      const std::vector<TravelLine>& lines, const TravelOptions& o,
                                      const JobContext& job) {
  if (auto broken = o.Check()) return *broken;
  if (!(bore.radius_mm > 0)) return BadInput("The bore's radius must be > 0 mm.");
  auto chosen = Chosen(frames, bore.radius_mm, o);
  if (!chosen.ok()) return chosen.error();
  auto sampled = SampleLines(chosen.value(), bore, lines, o, job);
  if (!sampled.ok()) return sampled.error();
  Samples& samples = sampled.value();
  job.Report(0.1, "asking the bare wall how it is lit");
  const auto told = AskWall(chosen.value(), samples, o);
  if (!told.ok()) return told.error();
  const auto frame_gain = FrameGains(chosen.value(), samples, told.value(), o.sampling, o.wall);
  LampRing lamps = told.value().lamps;
  Scenery scenery = SceneryOf(samples, told.value(), o);
  SetGains(samples, frame_gain, scenery, o.wall);
  job.Report(0.2, "asking the bead how it shines");
  PickGloss(chosen.value(), samples, frame_gain, o, lamps, scenery);
  TravelOptions fitted = o;
  const double shown = std::clamp(NoiseShown(samples, scenery, o), o.least_noise, o.most_noise);
  fitted.noise_share *= shown, fitted.noise_floor *= shown;
  double shift = 0;
  for (int round = 0; round < o.register_rounds; ++round) {
    if (job.Cancelled()) return Cancelled();
    shift += Register(fitted, scenery, samples);
  }
  if (shift > o.most_shift_mm) return NotFound(Says::kFramesApart);
  job.Report(0.5, "height by travel");
  const auto curves = Curves(samples, scenery, fitted);
  if (job.Cancelled()) return Cancelled();
  TravelHeights out = Stated(lines, samples, curves, o, shown);
  if (!(out.usual_misfit <= o.most_usual_misfit)) return NotFound(Says::kNotLitByRing);
  out.lamp_ring_mm = lamps.radius_mm;
  out.wall = told.value().gloss, out.bead = scenery.bead, out.wall_residual = told.value().residual;
  out.shift_mm = shift;
  out.frames = static_cast<int>(chosen.value().size());
  return out;
}

Status LampRing::Check() const {
  if (auto broken = FirstOutside("LampRing", {{"lamps", lamps, 3, 64}})) return broken;
  if (!(radius_mm > 0)) return BadInput("LampRing::radius_mm must be > 0 mm.");
  if (!(tilt_out_deg >= 0 && tilt_out_deg <= 80)) return BadInput("LampRing::tilt_out_deg must be 0 to 80 degrees.");
  if (!(spread >= 0)) return BadInput("LampRing::spread must be 0 or more.");
  return std::nullopt;
}

Status TravelOptions::Check() const {
  for (const auto& broken : {wall.Check(), search.Check(), sampling.Check()})
    if (broken) return broken;
  if (auto broken = FirstOutside("TravelOptions", {{"reweighting_rounds", reweighting_rounds, 1, 20}})) return broken;
  const auto within = [](const char* name, double value, double low, double high) -> Status {
    if (value >= low && value <= high) return std::nullopt;
    return BadInput("TravelOptions::" + std::string(name) + " is " + std::to_string(value) + "; it must be " +
                    std::to_string(low) + " to " + std::to_string(high) + ".");
  };
  for (const auto& broken : {within("most_frames", most_frames, 3, 64),
                             within("farthest_share", farthest_share, 0.1, 10),
                             within("least_travel_share", least_travel_share, 0.01, 10),
                             within("line_half_deg", line_half_deg, 0, 3),
                             within("before_mm", before_mm, 1, 20),
                             within("behind_mm", behind_mm, 1, 20),
                             within("sample_mm", sample_mm, 0.05, 0.5),
                             within("cell_mm", cell_mm, 0.05, 0.5),
                             within("noise_share", noise_share, 1e-3, 1),
                             within("noise_floor", noise_floor, 1e-4, 1),
                             within("tail", tail, 1, 100),
                             within("least_noise", least_noise, 0.01, 1),
                             within("most_noise", most_noise, 1, 100),
                             within("hat_mm", hat_mm, 0.1, 2),
                             within("hat_share", hat_share, 1e-3, 10),
                             within("hat_toe_share", hat_toe_share, 1e-3, 10),
                             within("temper", temper, 1, 1000),
                             within("wall_share", wall_share, 1e-3, 10),
                             within("calm_mm", calm_mm, 1e-3, 5),
                             within("albedo_spread", albedo_spread, 1e-3, 10),
                             within("toe_blend_mm", toe_blend_mm, 1e-3, 5),
                             within("blur_px", blur_px, 1e-3, 20),
                             within("blur_mm", blur_mm, 1e-3, 2),
                             within("register_rounds", register_rounds, 0, 20),
                             within("neighbour_steps", neighbour_steps, 0, 10),
                             within("neighbour_cap", neighbour_cap, 1e-3, 1e6),
                             within("most_usual_misfit", most_usual_misfit, 1, 100),
                             within("widen", widen, 1, 10),
                             within("common_u_mm", common_u_mm, 1e-3, 1),
                             within("most_u_mm", most_u_mm, 1e-3, 10),
                             within("most_toe_u_mm", most_toe_u_mm, 1e-3, 10),
                             within("most_misfit", most_misfit, 1, 100),
                             within("nearest_share", nearest_share, 0.1, 10),
                             within("class_mm", class_mm, 0.01, 10),
                             within("most_shift_mm", most_shift_mm, 1e-3, 10),
                             within("beside_deg", beside_deg, 1, 45),
                             within("most_jump_mm", most_jump_mm, 0.1, 10),
                             within("astray_chance", astray_chance, 0, 0.5),
                             within("class_u_mm", class_u_mm, 1e-3, 1),
                             within("told_chance", told_chance, 0.5, 1),
                             within("line_step_deg", line_step_deg, 0.5, 10),
                             within("step_mm", step_mm, 0.02, 0.5),
                             within("lowest_mm", lowest_mm, -20, 0),
                             within("highest_mm", highest_mm, lowest_mm + 1, 10)})
    if (broken) return *broken;
  return lamps ? lamps->Check() : std::nullopt;
}

}  // namespace vision::relief
