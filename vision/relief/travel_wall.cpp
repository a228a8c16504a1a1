#include "vision/relief/travel_wall.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/core/optim.hpp>

#include "vision/base/median.h"
#include "vision/base/says.h"
#include "vision/bore/angle.h"
#include "vision/statistics/quantile.h"

namespace vision::relief {
namespace {

/// Light of one place of wall in every frame that shows it.
struct Place {
  Eigen::Vector3d at, normal;
  std::vector<double> log_light;  ///< NaN = not seen.
};

/// Mean light of 3 x 3 rays about a place; NaN where it is not seen or blown out.
double LightOf(const TravelFrame& frame, const cv::Mat1f& light, const cv::Mat1f& blown, double theta_deg, double z_mm,
               double radius_mm) {
  double sum = 0;
  for (int i = -1; i <= 1; ++i)
    for (int k = -1; k <= 1; ++k) {
      const auto at = bore::XyzFromBore({theta_deg + 1.2 * i, z_mm + 0.7 * k, 0}, radius_mm);
      const auto px = frame.setting->lens.Project(frame.pose.CamFromBore(at));
      if (!px || !(px->x() > 3 && px->y() > 3 && px->x() < light.cols - 4 && px->y() < light.rows - 4)) return NAN;
      const int x = cvRound(px->x()), y = cvRound(px->y());
      if (blown(y, x) > 0 || (!frame.setting->mask.empty() && frame.setting->mask(y, x) != 0)) return NAN;
      sum += static_cast<double>(light(y, x));
    }
  return sum > 9 * 0.004 ? std::log(sum / 9) : NAN;
}

/// Places of bare wall on both sides of the weld with what each frame shows of them.
std::vector<Place> PlacesOf(const std::vector<TravelFrame>& frames, const Samples& s,
                            const TravelSampleOptions& travel_sample, const TravelWallOptions& travel_wall) {
  double near = 1e9, far = -1e9;
  for (const auto& line : s.lines) near = std::min(near, line.toe_near), far = std::max(far, line.toe_far);
  std::vector<Place> places;
  std::vector<std::pair<double, double>> where;
  const double pitch = travel_wall.pitch_share * s.radius_mm;
  for (double z = near - travel_wall.near_share * s.radius_mm; z < far + travel_wall.far_share * s.radius_mm;
       z += pitch)
    for (int k = 0; k < travel_wall.around; ++k)
      if (z < near - travel_wall.clear_mm || z > far + travel_wall.clear_mm)
        where.push_back({360.0 * k / travel_wall.around, z});
  for (const auto& [theta_deg, z] : where) {
    const double t = theta_deg * bore::kRadPerDeg;
    places.push_back({{-s.radius_mm * std::sin(t), s.radius_mm * std::cos(t), z},
                      {std::sin(t), -std::cos(t), 0},
                      std::vector<double>(frames.size(), NAN)});
  }
  for (std::size_t f = 0; f < frames.size(); ++f) {
    cv::Mat1f blown;
    const cv::Mat1f light = LinearLight(*frames[f].picture, &blown, travel_sample);
    for (std::size_t i = 0; i < places.size(); ++i)
      places[i].log_light[f] = LightOf(frames[f], light, blown, where[i].first, s.along * where[i].second, s.radius_mm);
  }
  std::erase_if(places, [](const Place& p) {
    return std::count_if(p.log_light.begin(), p.log_light.end(), [](double v) { return std::isfinite(v); }) < 3;
  });
  return places;
}

/// ln light less what is told, albedo of each place and gain of each frame taken out by turns.
struct Residuals {
  std::vector<std::vector<double>> off;  ///< Place by frame; NaN = not seen.
  std::vector<double> gain;              ///< ln, by frame; mean 0.
};

Residuals ResidualsOf(const std::vector<Place>& places, const std::vector<Stand>& stands, const WallTold& told) {
  Residuals r;
  const std::size_t frames = stands.size();
  r.gain.assign(frames, 0);
  for (const Place& place : places) {
    std::vector<double> off(frames, NAN);
    for (std::size_t f = 0; f < frames; ++f)
      if (std::isfinite(place.log_light[f]))
        off[f] = place.log_light[f] -
                 std::log(ShadeAt(place.at, place.normal, stands[f], told.gloss, told.lamps.spread, told.ambient));
    r.off.push_back(off);
  }
  for (int round = 0; round < 4; ++round) {
    for (auto& off : r.off) {
      double sum = 0;
      int count = 0;
      for (const double v : off)
        if (std::isfinite(v)) sum += v, ++count;
      for (double& v : off) v -= sum / count;
    }
    for (std::size_t f = 0; f < frames; ++f) {
      std::vector<double> own;
      for (const auto& off : r.off)
        if (std::isfinite(off[f])) own.push_back(off[f]);
      const double middle = statistics::MedianOr(own, 0.0);
      for (auto& off : r.off) off[f] -= middle;
      r.gain[f] += middle;
    }
  }
  return r;
}

std::vector<Stand> StandsOf(const Samples& s, const LampRing& ring) {
  std::vector<Stand> stands;
  for (const auto& pose : s.poses) stands.push_back(StandOf(pose, ring, 0.5, s.along));
  return stands;
}

/// The numbers asked of the wall, free of bounds: share of gloss, roughness, ambient, ring, spread.
using Numbers = std::array<double, 5>;

WallTold ToldBy(const Numbers& x, const TravelOptions& o, double radius_mm) {
  WallTold told;
  told.gloss.share = 1 / (1 + std::exp(-x[0]));
  told.gloss.roughness = std::clamp(std::exp(x[1]), 0.03, 1.0);
  told.ambient = std::exp(x[2]);
  if (o.lamps)
    told.lamps = *o.lamps;
  else
    told.lamps.radius_mm = std::clamp(std::exp(x[3]), 1.0, 0.6 * radius_mm);
  told.lamps.spread = o.lamps ? o.lamps->spread : std::clamp(std::exp(x[4]), 0.1, 8.0);
  return told;
}

struct WallCost final : cv::MinProblemSolver::Function {
  const std::vector<Place>* places = nullptr;
  const Samples* samples = nullptr;
  const TravelOptions* options = nullptr;

  int getDims() const override { return static_cast<int>(Numbers{}.size()); }
  double calc(const double* x) const override {
    Numbers numbers{};
    std::copy_n(x, numbers.size(), numbers.begin());
    const WallTold told = ToldBy(numbers, *options, samples->radius_mm);
    const Residuals r = ResidualsOf(*places, StandsOf(*samples, told.lamps), told);
    double sum = 0;
    int count = 0;
    for (const auto& off : r.off)
      for (const double v : off)
        if (std::isfinite(v)) sum += std::log1p(v * v / (options->wall.usual * options->wall.usual)), ++count;
    double held = 0;
    for (std::size_t i = 0; i < numbers.size(); ++i)
      held += std::pow((numbers[i] - options->wall.usually[i]) / options->wall.held_by[i], 2);
    return sum / count + 0.002 * held;
  }
};

/// Gain of one line in every frame, ln, over what the frame's own gain makes of it.
std::vector<double> LineGain(const Samples& samples, std::size_t index, const std::vector<double>& frame_gain,
                             const Scenery& scenery, std::vector<double>& albedos, const TravelWallOptions& o) {
  const auto& line = samples.lines[index];
  const double t = line.theta_deg * bore::kRadPerDeg;
  const std::size_t frames = frame_gain.size();
  std::vector<std::vector<double>> off(frames);
  for (int side = 0; side < 2; ++side)
    for (std::size_t k = 0; k < 4; ++k) {
      const double z = side == 0 ? line.toe_near - o.before_mm[k] : line.toe_far + o.beyond_mm[k],
                   h = side == 0 ? line.wall_near : line.wall_far, r = samples.radius_mm - h;
      std::vector<double> own(frames, NAN);
      double sum = 0;
      int count = 0;
      for (std::size_t f = 0; f < frames; ++f) {
        const double at = z + h * (z - scenery.stands[f].eye.z()) / samples.radius_mm;
        const double light = LightAt(line.along_mm, line.light[f], at);
        if (!(light > 0.02)) continue;
        own[f] = std::log(light) - frame_gain[f] -
                 std::log(ShadeAt({-r * std::sin(t), r * std::cos(t), z}, {std::sin(t), -std::cos(t), 0},
                                  scenery.stands[f], scenery.wall, scenery.spread, scenery.ambient));
        sum += own[f], ++count;
      }
      if (count < 3) continue;
      albedos.push_back(std::exp(sum / count));
      for (std::size_t f = 0; f < frames; ++f)
        if (std::isfinite(own[f])) off[f].push_back(own[f] - sum / count);
    }
  std::vector<double> gain;
  for (std::size_t f = 0; f < frames; ++f) gain.push_back(statistics::MedianOr(off[f], 0.0));
  return gain;
}

}  // namespace

Result<WallTold> AskWall(const std::vector<TravelFrame>& frames, const Samples& samples, const TravelOptions& options) {
  std::vector<Place> places = PlacesOf(frames, samples, options.sampling, options.wall);
  if (static_cast<int>(places.size()) < options.wall.least_places) return NotFound(Says::kWallHardlyShared);
  auto cost = cv::makePtr<WallCost>();
  cost->places = &places, cost->samples = &samples, cost->options = &options;
  cv::Mat1d x(1, static_cast<int>(options.wall.usually.size())), step(1, static_cast<int>(options.wall.usually.size()));
  for (int i = 0; i < x.cols; ++i) {
    x(0, i) = options.wall.usually[static_cast<std::size_t>(i)];
    step(0, i) = options.wall.held_by[static_cast<std::size_t>(i)];
  }
  const auto solver =
      cv::DownhillSolver::create(cost, step, {cv::TermCriteria::MAX_ITER + cv::TermCriteria::EPS, 250, 1e-4});
  solver->minimize(x);
  Numbers numbers{};
  std::copy_n(x.ptr<double>(), numbers.size(), numbers.begin());
  WallTold told = ToldBy(numbers, options, samples.radius_mm);
  const Residuals r = ResidualsOf(places, StandsOf(samples, told.lamps), told);
  std::vector<double> off;
  for (const auto& own : r.off)
    for (const double v : own)
      if (std::isfinite(v)) off.push_back(std::abs(v));
  told.residual = statistics::MedianOr(off, 0.0);
  told.places = static_cast<int>(places.size());
  return told;
}

std::vector<double> FrameGains(const std::vector<TravelFrame>& frames, const Samples& samples, const WallTold& told,
                               const TravelSampleOptions& travel_sample, const TravelWallOptions& travel_wall) {
  return ResidualsOf(PlacesOf(frames, samples, travel_sample, travel_wall), StandsOf(samples, told.lamps), told).gain;
}

void SetGains(const Samples& samples, const std::vector<double>& frame_gain, Scenery& scenery,
              const TravelWallOptions& o) {
  std::vector<double> albedos;
  std::vector<std::vector<double>> raw;
  for (std::size_t i = 0; i < samples.lines.size(); ++i)
    raw.push_back(LineGain(samples, i, frame_gain, scenery, albedos, o));
  scenery.gain.assign(raw.size(), std::vector<double>(frame_gain.size(), 1));
  for (std::size_t i = 0; i < raw.size(); ++i)
    for (std::size_t f = 0; f < frame_gain.size(); ++f) {
      double sum = 0, weight_sum = 0;
      for (std::size_t k = 0; k < raw.size(); ++k) {
        const double apart = bore::Wrap180(samples.lines[k].theta_deg - samples.lines[i].theta_deg);
        if (std::abs(apart) > 2.5 * o.even_deg) continue;
        const double weight = std::exp(-0.5 * apart * apart / (o.even_deg * o.even_deg));
        sum += weight * raw[k][f], weight_sum += weight;
      }
      scenery.gain[i][f] = std::exp(frame_gain[f] + sum / weight_sum);
    }
  scenery.albedo = statistics::MedianOr(albedos, 0.0);
}

}  // namespace vision::relief
