#pragma once

#include <algorithm>
#include <cmath>
#include <opencv2/core.hpp>

#include "vision/bore/angle.h"
#include "vision/match/removed.h"

/// A weld's relief by formula, before and after a pocket was ground out of it.
namespace vision::match::test {

inline constexpr double kRadius_mm = 50, kStep_mm = 0.3, kCrown_mm = 1.2, kFloor_mm = 0.6, kRoll_deg = 33;

inline double Chord(double z) { return kStep_mm * std::clamp((z + 3) / 6, 0.0, 1.0); }
inline double Bead(double z) {
  return std::abs(z) < 3 ? kCrown_mm * (1 - std::pow(z / 3, 2)) * (1 - std::pow(z / 3, 2)) : 0;
}

/// A pocket about 100 degrees, z = 1, 20 x 14 mm: flat 0.6 mm below the line of the walls in its inner half, rising
/// straight to the rim; each end's flank may take another share of the way from the rim to the middle.
struct Ground {
  double theta_deg = 100, z_mm = 1, circ_mm = 20, axial_mm = 14, left_flank = 0.5, right_flank = 0.5,
         floor_mm = kFloor_mm;
  double Q(double theta, double z) const {
    return std::hypot(bore::ArcMm(bore::Wrap180(theta - theta_deg), kRadius_mm) / (circ_mm / 2),
                      (z - z_mm) / (axial_mm / 2));
  }
  double Height(double theta, double z) const {
    const double h = Chord(z) + Bead(z), q = Q(theta, z);
    return q >= 1 ? h
                  : std::min(h, Chord(z) - floor_mm * std::min(1.0, (1 - q) / (z < z_mm ? left_flank : right_flank)));
  }
};

inline relief::Relief Wall(const Ground* ground, double roll_deg, double level_mm, double noise_mm, unsigned seed) {
  auto relief = relief::EmptyRelief(kRadius_mm, -12, 12, 0.2, relief::How::kLightSection);
  cv::RNG random(seed);
  for (int row = 0; row < relief.grid.rows; ++row)
    for (int column = 0; column < relief.grid.columns; ++column) {
      const double theta = bore::Wrap360(relief.grid.ThetaDeg(column) - roll_deg), z = relief.grid.ZMm(row);
      const double h = ground ? ground->Height(theta, z) : Chord(z) + Bead(z);
      relief.h_mm(row, column) = static_cast<float>(h + level_mm + random.gaussian(noise_mm));
      relief.u_mm(row, column) = static_cast<float>(std::hypot(noise_mm, 0.01));
    }
  relief.shared_u_mm = 0.01;
  return relief;
}

inline Pocket Outline(const Ground& ground) {
  Pocket pocket;
  pocket.middle = {ground.theta_deg, ground.z_mm};
  pocket.circ_mm = ground.circ_mm, pocket.axial_mm = ground.axial_mm;
  for (int k = 0; k < 90; ++k) {
    const double a = 4 * k * bore::kRadPerDeg;
    pocket.outline.push_back({ground.theta_deg + ground.circ_mm / 2 * std::cos(a) / kRadius_mm * bore::kDegPerRad,
                              ground.z_mm + ground.axial_mm / 2 * std::sin(a)});
  }
  return pocket;
}

inline RingMatch Turned(double roll_deg) {
  RingMatch match;
  match.radius_mm = kRadius_mm;
  match.roll_deg = roll_deg;
  match.residual_mm = 0.05;
  match.trusted = true;
  return match;
}

inline const WallEnds kWalls{-6, 8, -3, 3};

}  // namespace vision::match::test
