#include "vision/relief/travel_fit.h"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/core.hpp>

#include "vision/base/median.h"
#include "vision/bore/angle.h"
#include "vision/relief/travel_wall.h"
#include "vision/statistics/harmonics.h"

namespace vision::relief {
namespace {

/// Every so many lines, so that about `most` are left.
std::vector<std::size_t> Some(std::size_t lines, std::size_t most) {
  std::vector<std::size_t> some;
  const std::size_t step = std::max<std::size_t>(1, lines / most);
  for (std::size_t i = 0; i < lines; i += step) some.push_back(i);
  return some;
}

/// Mean cost of some lines, each at its own likeliest rough shape; a line's own share is capped by the median's.
double CostTogether(const Samples& samples, const Scenery& scenery, const TravelOptions& o) {
  const auto some = Some(samples.lines.size(), o.search.asked);
  std::vector<double> cost(some.size());
  cv::parallel_for_(cv::Range(0, static_cast<int>(some.size())), [&](const cv::Range& range) {
    for (int i = range.start; i < range.end; ++i) {
      const auto k = static_cast<std::size_t>(i);
      RoughShape(MakeTask(samples, some[k], scenery, o), o, &cost[k]);
    }
  });
  double sum = 0;
  for (const double c : cost) sum += c;
  return sum / static_cast<double>(cost.size());
}

struct Choice {
  double share, roughness, ring_mm;
};

/// How far each frame lies along the sight from what is predicted, at one line; NaN where it does not tell.
std::vector<double> ShiftsAt(const LineTask& task, const Shape& shape, const TravelOptions& o) {
  const auto& line = *task.samples;
  std::vector<std::vector<float>> shown(line.light.size(), std::vector<float>(line.along_mm.size(), NAN));
  CostOf(task, HeightsOf(task, shape), &shown);
  std::vector<double> shifts;
  for (std::size_t f = 0; f < line.light.size(); ++f) {
    double top = 0, bottom = 1e-6;
    for (std::size_t i = 1; i + 1 < line.along_mm.size(); ++i) {
      const double p = static_cast<double>(shown[f][i]),
                   slope = static_cast<double>(shown[f][i + 1] - shown[f][i - 1]) / (2 * o.sample_mm),
                   off = static_cast<double>(line.light[f][i]) - p;
      if (!std::isfinite(slope) || !std::isfinite(off) || line.clipped[f][i] != 0) continue;
      const double sigma = o.noise_share * p + o.noise_floor, r2 = off * off / (sigma * sigma);
      const double weight = 1 / (sigma * sigma * (1 + r2 / o.tail));
      top += weight * slope * off, bottom += weight * slope * slope;
    }
    shifts.push_back(bottom > 1e-3 ? std::clamp(top / bottom, -0.4, 0.4) : kNotMeasured);
  }
  return shifts;
}

/// Mean and first harmonic round the bore, robust.
Eigen::Vector3d Harmonic(const std::vector<double>& theta_deg, const std::vector<double>& value) {
  Eigen::Vector3d x = Eigen::Vector3d::Zero();
  for (int round = 0; round < 5; ++round) {
    Eigen::Matrix3d normal = 1e-6 * Eigen::Matrix3d::Identity();
    Eigen::Vector3d right = Eigen::Vector3d::Zero();
    for (std::size_t i = 0; i < value.size(); ++i) {
      if (!std::isfinite(value[i])) continue;
      const Eigen::Vector3d row = statistics::Harmonics<1>(theta_deg[i]);
      const double off = (value[i] - row.dot(x)) / 0.05, weight = round == 0 ? 1 : 1 / (1 + off * off);
      normal += weight * row * row.transpose(), right += weight * value[i] * row;
    }
    x = normal.ldlt().solve(right);
  }
  return x;
}

/// Samples of one frame at one line, taken `shift_mm` further along.
void Shift(LineSamples& line, std::size_t f, double shift_mm) {
  const std::vector<float> light = line.light[f];
  const std::vector<unsigned char> clipped = line.clipped[f];
  const double pitch = line.along_mm[1] - line.along_mm[0];
  for (std::size_t i = 0; i < light.size(); ++i) {
    line.light[f][i] = static_cast<float>(LightAt(line.along_mm, light, line.along_mm[i] - shift_mm));
    const auto from = std::lround(static_cast<double>(i) - shift_mm / pitch);
    line.clipped[f][i] =
        from < 0 || from >= static_cast<long>(clipped.size()) ? 0 : clipped[static_cast<std::size_t>(from)];
  }
}

}  // namespace

std::vector<double> HeightsOf(const LineTask& task, const Shape& shape) {
  const auto& line = *task.samples;
  std::vector<double> heights;
  for (const double z : task.cells_mm) {
    const double u = std::clamp((2 * z - task.toe_near - task.toe_far) / (task.toe_far - task.toe_near), -1.0, 1.0);
    const double w = std::clamp(u + shape.skew * (1 - u * u), -1.0, 1.0);
    const double chord = line.wall_near + 0.5 * (u + 1) * (line.wall_far - line.wall_near);
    heights.push_back(chord + shape.middle_mm * std::pow(1 - w * w, shape.exponent));
  }
  return heights;
}

Shape RoughShape(const LineTask& task, const TravelOptions& o, double* cost) {
  Shape best;
  *cost = 1e18;
  for (double c = o.lowest_mm; c < o.highest_mm + 1e-9; c += o.search.rough_mm) {
    const Shape shape{c, 1.25, 0};
    const double own = CostOf(task, HeightsOf(task, shape)).cost;
    if (own < *cost) *cost = own, best = shape;
  }
  return best;
}

namespace {

/// A line with its toes moved, and what that costs beforehand (-2 log of the prior, times temper).
struct Moved {
  LineTask task;
  double near_mm = 0, far_mm = 0, prior = 0;
};

std::vector<Moved> MovedToes(const Samples& samples, std::size_t line, const Scenery& scenery, const TravelOptions& o) {
  const auto& s = samples.lines[line];
  const auto moves = [&o](double u) {
    return u > o.search.least_u_mm ? std::vector<double>{0, -o.search.moved * u, o.search.moved * u}
                                   : std::vector<double>{0};
  };
  std::vector<Moved> all;
  for (const double near : moves(s.toe_near_u))
    for (const double far : moves(s.toe_far_u)) {
      if (s.toe_far + far - s.toe_near - near < 1) continue;
      const double prior = std::pow(near / std::max(o.search.least_u_mm, s.toe_near_u), 2) +
                           std::pow(far / std::max(o.search.least_u_mm, s.toe_far_u), 2);
      all.push_back({MakeTask(samples, line, scenery, o, near, far), near, far, o.temper * prior});
    }
  return all;
}

/// -log of the mean of exp(-cost / soft), times soft.
double SoftLeast(const std::vector<double>& costs, double soft) {
  const double low = *std::min_element(costs.begin(), costs.end());
  double sum = 0;
  for (const double c : costs) sum += std::exp(-(c - low) / soft) / static_cast<double>(costs.size());
  return low - soft * std::log(sum);
}

}  // namespace

LineCurve CurveOf(const Samples& samples, std::size_t line, const Scenery& scenery, const TravelOptions& o) {
  const auto steps = static_cast<std::size_t>(std::lround((o.highest_mm - o.lowest_mm) / o.step_mm)) + 1;
  const auto tasks = MovedToes(samples, line, scenery, o);
  LineCurve curve;
  curve.cost.assign(steps, kNotMeasured);
  double least = 1e18;
  const auto middle = [&](std::size_t i) { return o.lowest_mm + static_cast<double>(i) * o.step_mm; };
  const auto ask = [&](const Moved& moved, const Shape& shape) {
    const LineCost own = CostOf(moved.task, HeightsOf(moved.task, shape));
    const double cost = own.cost + moved.prior;
    if (cost < least) {
      least = cost, curve.best = shape, curve.misfit = own.misfit;
      curve.toe_near_mm = moved.near_mm, curve.toe_far_mm = moved.far_mm;
    }
    return cost;
  };
  for (std::size_t i = 0; i < steps; i += 2) curve.cost[i] = ask(tasks.front(), {middle(i), 1.25, 0});
  for (std::size_t i = 1; i + 1 < steps; i += 2) curve.cost[i] = 0.5 * (curve.cost[i - 1] + curve.cost[i + 1]);
  const std::vector<double> rough = curve.cost;
  const double level = *std::min_element(rough.begin(), rough.end()) + o.search.in_play;
  const double soft = 2 * o.temper;
  for (std::size_t i = 0; i < steps; ++i) {
    if (!(rough[i] < level)) continue;
    std::vector<double> own;
    for (const Moved& moved : tasks)
      for (const double e : o.search.exponents) own.push_back(ask(moved, {middle(i), e, 0}));
    for (const double k : o.search.skews)
      if (k != 0) own.push_back(ask(tasks.front(), {middle(i), 1.25, k}));
    curve.cost[i] = SoftLeast(own, soft);
  }
  const double low = *std::min_element(curve.cost.begin(), curve.cost.end());
  for (double& c : curve.cost) c = (c - low) / soft;
  return curve;
}

void PickGloss(const std::vector<TravelFrame>& frames, const Samples& samples, const std::vector<double>& frame_gain,
               const TravelOptions& o, LampRing& lamps, Scenery& scenery) {
  const double ring = lamps.radius_mm;
  const auto cost = [&](const Choice& c) {
    scenery.bead = {c.share, c.roughness};
    if (c.ring_mm != lamps.radius_mm) {
      lamps.radius_mm = c.ring_mm;
      for (std::size_t f = 0; f < frames.size(); ++f)
        scenery.stands[f] = StandOf(samples.poses[f], lamps, 0.5, samples.along);
      SetGains(samples, frame_gain, scenery, o.wall);
    }
    return CostTogether(samples, scenery, o);
  };
  Choice best{0.5, 0.16, ring};
  double least = cost(best);
  const auto try_it = [&](const Choice& c) {
    const double own = cost(c);
    if (own < least) least = own, best = c;
  };
  for (int round = 0; round < 2; ++round) {
    const Choice from = best;
    for (const double r : {0.06, 0.09, 0.12, 0.16, 0.2, 0.26, 0.34, 0.45})
      if (r != from.roughness) try_it({best.share, r, best.ring_mm});
    const Choice then = best;
    for (const double m : {0.2, 0.35, 0.5, 0.65, 0.8})
      if (m != then.share) try_it({m, best.roughness, best.ring_mm});
    if (o.lamps) continue;
    const Choice last = best;
    for (const double scale : {0.5, 0.7, 1.4, 2.0})
      if (ring * scale < 0.6 * samples.radius_mm) try_it({last.share, last.roughness, ring * scale});
  }
  cost(best);
}

double NoiseShown(const Samples& samples, const Scenery& scenery, const TravelOptions& o) {
  const auto some = Some(samples.lines.size(), o.search.asked);
  std::vector<double> misfit(some.size());
  cv::parallel_for_(cv::Range(0, static_cast<int>(some.size())), [&](const cv::Range& range) {
    for (int i = range.start; i < range.end; ++i) {
      const LineTask task = MakeTask(samples, some[static_cast<std::size_t>(i)], scenery, o);
      double cost = 0;
      misfit[static_cast<std::size_t>(i)] = CostOf(task, HeightsOf(task, RoughShape(task, o, &cost))).misfit;
    }
  });
  // (tail + 1) ln(1 + k^2 / tail), the misfit of a residual of k standard deviations, turned round
  return std::sqrt(o.tail * std::expm1(MedianInPlace(misfit) / (o.tail + 1)));
}

double Register(const TravelOptions& o, const Scenery& scenery, Samples& samples) {
  const auto some = Some(samples.lines.size(), 45);
  std::vector<std::vector<double>> shifts(some.size());
  cv::parallel_for_(cv::Range(0, static_cast<int>(some.size())), [&](const cv::Range& range) {
    for (int i = range.start; i < range.end; ++i) {
      const LineTask task = MakeTask(samples, some[static_cast<std::size_t>(i)], scenery, o);
      double cost = 0;
      shifts[static_cast<std::size_t>(i)] = ShiftsAt(task, RoughShape(task, o, &cost), o);
    }
  });
  std::vector<double> theta;
  for (const auto i : some) theta.push_back(samples.lines[i].theta_deg);
  const std::size_t frames = scenery.stands.size();
  std::vector<Eigen::Vector3d> fits;
  Eigen::Vector3d mean = Eigen::Vector3d::Zero();
  for (std::size_t f = 0; f < frames; ++f) {
    std::vector<double> own;
    for (const auto& all : shifts) own.push_back(all[f]);
    fits.push_back(Harmonic(theta, own));
    mean += fits.back() / static_cast<double>(frames);
  }
  double squares = 0;
  for (std::size_t f = 0; f < frames; ++f) {
    const Eigen::Vector3d fit = fits[f] - mean;
    squares += (fit.x() * fit.x() + 0.5 * fit.tail<2>().squaredNorm()) / static_cast<double>(frames);
    for (auto& line : samples.lines) {
      const double t = line.theta_deg * bore::kRadPerDeg;
      Shift(line, f, fit.dot(Eigen::Vector3d(1, std::cos(t), std::sin(t))));
    }
  }
  return std::sqrt(squares);
}

}  // namespace vision::relief
