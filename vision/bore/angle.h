#pragma once

#include <cmath>
#include <numbers>
#include <string>
#include <vector>

/// Angles around the bore: theta in degrees, 0 at the joint's datum, growing clockwise for someone looking along +z.
namespace vision::bore {

constexpr double kDegPerRad = 180.0 / std::numbers::pi;
constexpr double kRadPerDeg = std::numbers::pi / 180.0;

/// @return The same angle in [0, 360).
double Wrap360(double theta_deg);

/// @return The same angle in [-180, 180).
double Wrap180(double theta_deg);

/// @return Length of the arc at `radius_mm` that `theta_deg` spans, mm.
constexpr double ArcMm(double theta_deg, double radius_mm) { return theta_deg * kRadPerDeg * radius_mm; }

/// @return Clock position as a person says it, to the minute of the dial: 0 deg -> "12:00", 135 deg -> "4:30".
/// 12 o'clock is theta 0; the reader must be told the view (looking along +z).
std::string ClockText(double theta_deg);

/// An arc of the circumference that runs clockwise from `start_deg` over `length_deg`; may wrap through 0.
struct Arc {
  double start_deg = 0;   ///< In [0, 360).
  double length_deg = 0;  ///< In [0, 360].

  double end_deg() const { return Wrap360(start_deg + length_deg); }
  /// The end as files write it: all round is 0 to 360, not 0 to 0.
  double closing_deg() const { return length_deg >= 360 ? 360 : end_deg(); }
  /// A place, both ends counted.
  bool Contains(double theta_deg) const { return Wrap360(theta_deg - start_deg) <= length_deg; }
  /// A station line, which stands for the step that begins at it: the line at the end is not the arc's own.
  bool HoldsLine(double theta_deg) const { return Wrap360(theta_deg - start_deg) < length_deg; }
  bool Meets(const Arc& other) const { return Contains(other.start_deg) || other.Contains(start_deg); }
};

/// @return From `start_deg` clockwise to `end_deg`; 0 to 360 is all round, 90 to 90 nothing.
inline Arc ArcBetween(double start_deg, double end_deg) {
  const double length = Wrap360(end_deg - start_deg);
  return {Wrap360(start_deg), length == 0 && end_deg != start_deg ? 360 : length};
}

/// @param flags One flag for each of n equal steps around the circle, flags[i] at theta = i * 360 / n.
/// @return Maximal runs of true; each flag stands for one whole step that starts at its theta. Sorted by start.
std::vector<Arc> RunsOnCircle(const std::vector<bool>& flags);

/// Runs of false no longer than `longest_deg` become true; steps as in RunsOnCircle.
void FillGaps(double longest_deg, std::vector<bool>* flags);

}  // namespace vision::bore
