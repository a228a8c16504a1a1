#pragma once

#include <vector>

#include "vision/arc/course.h"

/// Parts of Tell(); inside the room only.
namespace vision::arc {

/// A stretch with the arc on, and the samples of it.
struct Span {
  std::size_t first = 0, last = 0;  ///< Both counted.
};

/// @return Stretches in which the arc is on, judged by the light against the recording's own usual light.
std::vector<Span> SpansOn(const std::vector<Sample>& samples, const CourseOptions& options);

/// Place of the light along the way of travel in one burn, a tenth of a second at a time.
struct Track {
  std::vector<double> time_s, along_mm;
};

/// How the light's place scatters about a smooth path.
struct Scatter {
  double sigma_mm = 0;
  double alike = 1;  ///< So many neighbours of a track say the same.
};

/// A standing found in a burn.
struct Standing {
  double from_s = 0, to_s = 0, along_mm = 0;
  double gain = 0;  ///< How much better than a steady travel it explains the track (chi squared).
};

/// Where the torch stood with the arc on. @param usual_mm_s Speed of travel of the whole weld.
std::vector<Standing> StandingsIn(const Track& track, const Scatter& scatter, double usual_mm_s,
                                  const CourseOptions& options);

/// How long it stood at the burn's start, s.
double StoodAtStart(const Track& track, const Scatter& scatter, const CourseOptions& options);

/// Slope and value of the track at a time by a weighted line over the window; both in mm and s.
struct LineAt {
  double along_mm = 0, speed_mm_s = 0, speed_u_mm_s = 0;
  double rest_mm = 0;  ///< Root mean square of the track about the line.
};
/// @param from_s, to_s Of the track nothing outside is used.
LineAt FitLine(const Track& track, double time_s, double window_s, const Scatter& scatter, double from_s = -1e9,
               double to_s = 1e9);

}  // namespace vision::arc
