#pragma once

#include <limits>
#include <string>
#include <vector>

#include "vision/arc/arc_options.h"
#include "vision/arc/light_place.h"
#include "vision/base/result.h"

/// From where the light stood in each picture to what the welder did: arc on and off, travel, stops, overlap.
namespace vision::arc {

/// One picture. theta grows clockwise for someone looking along +z.
struct Sample {
  double time_s = 0;
  long index = 0;         ///< Of the frame in its recording.
  bool glows = false;     ///< Something on the root shines by itself.
  double theta_deg = 0;   ///< Brightest place, in [0, 360); of no meaning while nothing glows.
  double level = 0;       ///< Its light; only compared with that of other samples.
  double full_share = 0;  ///< Share of it at full scale.
};

/// Source: not noted, so taken as chosen; where a field says none.
struct CourseOptions {
  double speed_window_s = 1.5;   ///< A speed is the slope over so much time; in [0.3, 10].
  double shortest_stop_s = 1.0;  ///< In [0.5, 10].
  double longest_stop_s = 6.0;   ///< With the arc on, looked for up to this; > shortest_stop_s.
  double off_below = 0.4;        ///< Of the usual light while welding: the arc is out; in (0, 0.85).
  double wander_s = 0.35;        ///< For so long the light's place about the torch stays what it is; in [0.05, 5].
  /// A pool that travels faster for a twentieth of a burn is none. Root passes run at 50 to 200 mm/min (common
  /// practice, no source). > 0.
  double fastest_mm_min = 600;
  double most_jumpy_mm = 1.5;     ///< A light that scatters so much about its path over a second is no pool; > 0.
  double place_u_mm = 0.3;        ///< Standard uncertainty of the light's place against the arc's own; >= 0.
  double bin_s = 0.1;             ///< Of a track's places; in [0.01, 2]. Chosen.
  double shortest_piece_s = 0.5;  ///< A shorter piece of a burn is not told by itself; in [0, 10]. Chosen.
  double stands_mm = 2;           ///< A burn that travels less than this ... In [0, 50]. Chosen.
  double stands_at_most_s = 2;    ///< ... in more than this is none; in [0, 60]. Chosen.
  double leap_mm = 8;             ///< From one sample to the next: another light; in [0.5, 500]. Chosen.
  BurningOptions burning;
  StandingOptions standing;

  [[nodiscard]] Status Check() const;
};

/// The torch at one picture with the arc on.
struct Moment {
  double time_s = 0;
  long index = 0;
  double theta_deg = 0;     ///< Smoothed, not wrapped: it goes on past 360 where the weld laps over.
  double speed_mm_min = 0;  ///< On the inside surface, >= 0 along the way of the weld.
  double speed_u_mm_min = 0;
};

/// A burn: from a start of the arc to its end.
struct Burn {
  double from_s = 0, to_s = 0, from_theta_deg = 0, to_theta_deg = 0;  ///< Not wrapped.
  double stood_s = 0;                                                 ///< At the start, before it travelled.
  double back_mm = 0;  ///< How far behind the farthest place reached before it started; negative = ahead of it.
};

/// Arc on and no travel, or arc off between two burns.
struct Stop {
  double from_s = 0, to_s = 0, theta_deg = 0;  ///< Not wrapped.
  bool arc_on = true;
};

struct Course {
  std::vector<Moment> moments;
  std::vector<Burn> burns;
  std::vector<Stop> stops;
  std::vector<Burn> unsteady;    ///< Stretches left out: light that does not travel as a pool does (times only).
  bool clockwise = true;         ///< Way of travel for someone looking along +z.
  double scatter_mm = 0;         ///< Of the light's place about its smooth path, standard deviation.
  double swept_deg = 0;          ///< From the first place to the farthest.
  double overlap_deg = 0;        ///< What of it is beyond the whole round.
  double mean_speed_mm_min = 0;  ///< While travelling.
  double theta_u_deg = 0;        ///< Standard uncertainty of a moment's theta by light and path alone, without pose.
};

/// One picture's bright places.
struct Seen {
  double time_s = 0;
  long index = 0;
  std::vector<LightPlace> places;  ///< As RootRing::Find says.
};

/// Of each picture's bright places the one that goes on from picture to picture: spatter flies past or lies and fades,
/// the pool travels slowly and stays.
std::vector<Sample> FollowPool(const std::vector<Seen>& seen, double radius_mm, const PoolOptions& o = {});

/// When a place of the ring was last welded.
/// @param theta_deg Any. @return NaN where the arc never was.
double WeldedAt(const Course& course, double theta_deg);

/// @param samples In order of time. @param radius_mm Of the bore.
/// @return kNotFound when the arc is nowhere on for half a second.
Result<Course> Tell(const std::vector<Sample>& samples, double radius_mm, const CourseOptions& options = {});

}  // namespace vision::arc
