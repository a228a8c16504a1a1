#pragma once

#include "vision/base/result.h"

/// Minimum wall of straight pipe under internal pressure. Pressure and stress in one unit, lengths in one unit.
namespace app::repair {

/// Design data as the formulas name them. No default stands for a value of the contract.
struct PressureDesign {
  double pressure = 0;          ///< P, gauge; > 0.
  double outside_diameter = 0;  ///< D; > 0.
  double stress = 0;            ///< S, allowable at design temperature; > 0.
  double quality = 1;           ///< E, in (0, 1].
  double weld_strength = 1;     ///< W, in (0, 1].
  double coefficient = 0;       ///< Y (B31.1: y), in [0, 1).
  double allowance = 0;         ///< c (B31.1: A): corrosion, erosion, threads; >= 0.
  double stress_basis() const { return stress * quality * weld_strength; }

  /// First broken constraint, naming the field.
  [[nodiscard]] vision::Status Check() const;
};

struct MinimumWall {
  double pressure_design = 0;  ///< t, without allowance.
  double required = 0;         ///< t_m = t + allowance.
};

/// ASME B31.3 304.1.2(a) eq. (3a): t = P D / (2 (S E W + P Y)), for t < D/6 and P/(S E) <= 0.385.
/// @return kBadInput outside that range: thick pipe needs a special design, which this does not do.
vision::Result<MinimumWall> MinimumWallB313(const PressureDesign& design);

/// ASME B31.3 304.1.2(a) eq. (3b), by the inside diameter d: t = P (d + 2c) / (2 (S E W - P (1 - Y))).
/// @param design Its outside_diameter is used for the range t < D/6 only.
vision::Result<MinimumWall> MinimumWallB313Inside(const PressureDesign& design, double inside_diameter);

/// ASME B31.1 104.1.2(a): t_m = P Do / (2 (S E W + P y)) + A. From memory; the same form is seen in a secondary source.
vision::Result<MinimumWall> MinimumWallB311(const PressureDesign& design);

/// Pressure that a wall carries by eq. (3a) solved for P.
double PressureOfWallB313(const PressureDesign& design, double wall);

}  // namespace app::repair
