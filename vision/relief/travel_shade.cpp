#include "vision/relief/travel_shade.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "vision/bore/angle.h"

namespace vision::relief {
namespace {

constexpr double kGrazing = 0.02;  // cosine below which a surface is taken to be seen edge-on

}  // namespace

Stand StandOf(const bore::BoreFromCam& pose, const LampRing& ring, double spin, double along) {
  Stand stand;
  const Eigen::Vector3d flip(1, 1, along);
  const auto placed = [&](const Eigen::Vector3d& cam) -> Eigen::Vector3d {
    return flip.cwiseProduct(pose.rotation * cam + pose.translation_mm);
  };
  stand.eye = flip.cwiseProduct(pose.translation_mm);
  const double tilt = ring.tilt_out_deg * bore::kRadPerDeg;
  for (int i = 0; i < ring.lamps; ++i) {
    const double turn = 2 * std::numbers::pi * (i + spin) / ring.lamps;
    const Eigen::Vector3d out(std::cos(turn), std::sin(turn), 0);
    const Eigen::Vector3d axis = std::sin(tilt) * out + Eigen::Vector3d(0, 0, std::cos(tilt));
    stand.lamps.push_back(placed(ring.radius_mm * out + Eigen::Vector3d(0, 0, ring.ahead_mm)));
    stand.axes.push_back(flip.cwiseProduct(pose.rotation * axis));
  }
  return stand;
}

std::vector<double> LobesAt(const Eigen::Vector3d& at, const Stand& stand, double spread) {
  std::vector<double> lobes;
  for (std::size_t i = 0; i < stand.lamps.size(); ++i) {
    const double cosine = (at - stand.lamps[i]).normalized().dot(stand.axes[i]);
    lobes.push_back(std::pow(std::max(0.02, 0.5 + 0.5 * cosine), spread));
  }
  return lobes;
}

double ShadeAt(const Eigen::Vector3d& at, const Eigen::Vector3d& normal, const Stand& stand, const Gloss& gloss,
               double spread, double ambient) {
  return ShadeWith(at, normal, stand, gloss, LobesAt(at, stand, spread).data(), ambient);
}

double ShadeWith(const Eigen::Vector3d& at, const Eigen::Vector3d& normal, const Stand& stand, const Gloss& gloss,
                 const double* lobes, double ambient) {
  Eigen::Vector3d view = stand.eye - at;
  const double away2 = view.squaredNorm();
  view /= std::sqrt(away2);
  const double nv = std::max(kGrazing, normal.dot(view));
  const double a2 = gloss.roughness * gloss.roughness, masked_view = std::sqrt(a2 + (1 - a2) * nv * nv);
  double sum = 0;
  for (std::size_t i = 0; i < stand.lamps.size(); ++i) {
    Eigen::Vector3d to = stand.lamps[i] - at;
    const double r2 = to.squaredNorm();
    to /= std::sqrt(r2);
    const double nl = normal.dot(to);
    if (nl <= 0) continue;
    const Eigen::Vector3d half = to + view;
    const double nh = normal.dot(half), nh2 = nh * nh / half.squaredNorm();
    const double d = nh2 * (a2 - 1) + 1, peak = a2 / (std::numbers::pi * d * d);
    const double masked_lamp = std::sqrt(a2 + (1 - a2) * nl * nl);
    const double shine = peak * 0.5 / (nl * masked_view + nv * masked_lamp) * nl;  // Smith's masking, both ways
    sum += lobes[i] / r2 * ((1 - gloss.share) / std::numbers::pi * nl + gloss.share * shine);
  }
  return sum + ambient * static_cast<double>(stand.lamps.size()) / away2;
}

}  // namespace vision::relief
