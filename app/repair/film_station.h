#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/words/text.h"
#include "vision/base/result.h"

/// From a place on a radiograph to a place in the bore and back. Three things can turn a place round: from which end a
/// person looks, which way the numbers run, which face of the film was up. Each is asked for, none is guessed.
/// theta_deg and z_mm are the joint's (vision/bore/bore.h): theta clockwise looking along +z.
namespace app::repair {

/// Direction in which a person looks along the pipe.
enum class View { kAlongPlusZ, kAgainstPlusZ };

/// Way round for that person.
enum class Turn { kClockwise, kAnticlockwise };

/// The numbered belt (or lead numbers) on the outside of the pipe.
struct Belt {
  View view = View::kAlongPlusZ;        ///< From where zero and turn are told.
  double zero_clock_deg = 0;            ///< Place of number 0, degrees clockwise from the datum in that view.
  Turn numbers_run = Turn::kClockwise;  ///< In that view.
  double spacing_mm = 0;                ///< From number to number along the outside; > 0.
  double length_mm = 0;                 ///< Once round, as measured (or pi OD); > 0.

  /// First broken constraint: also spacing longer than the belt.
  [[nodiscard]] vision::Status Check() const;

  /// Numbers that lie on the belt: 0, 1, ... with the last interval, to 0 again, of at most one spacing.
  int Numbers() const;

  /// From the last number on to 0, mm.
  double LastIntervalMm() const;
};

enum class Exposure {
  kSingleWall,          ///< Source inside, or double wall with only the wall at the film read.
  kDoubleWallElliptic,  ///< Both walls on the film, apart: the place is theta or theta + 180.
};

/// Where on the film the indication lies, told from the nearest number.
enum class Side { kTowardsHigher, kTowardsLower, kRight, kLeft };

struct FilmIndication {
  int number = 0;  ///< The nearest marker.
  Side side = Side::kTowardsHigher;
  double film_mm = 0;              ///< From the marker, measured on the film; >= 0.
  double interval_on_film_mm = 0;  ///< From marker to marker on the film, for the enlargement; > 0.
  Exposure exposure = Exposure::kSingleWall;
  /// Needed for kRight and kLeft only: which way is up on the film as it lies, and from which face it is read.
  std::optional<View> up_points;          ///< kAlongPlusZ: +z is up.
  std::optional<bool> read_from_outside;  ///< true: as seen from outside the pipe; false: as from the source side.
};

/// One place in the bore with its honest search band.
struct Place {
  double theta_deg = 0;      ///< In [0, 360).
  double inside_arc_mm = 0;  ///< From the datum, clockwise looking along +z, on the bore.
  double band_half_deg = 0;  ///< Search this far each side.
  double band_half_inside_mm = 0;
};

struct Located {
  std::vector<Place> candidates;  ///< Two for an elliptic exposure, until one is confirmed inside.
  double belt_mm = 0;             ///< Along the belt from number 0 towards higher numbers.
  words::Text said;               ///< What was understood, in words, for the person to check.
};

/// @param bore_radius_mm Turns the angle into an arc on the bore.
/// @return kBadInput naming what is missing or off the belt.
vision::Result<Located> Locate(const Belt& belt, const FilmIndication& indication, double bore_radius_mm);

/// Where a hand outside puts the marker or magnet for a place inside.
struct OutsideMark {
  double belt_mm = 0;       ///< Along the belt from number 0 towards higher numbers.
  int number = 0;           ///< The number just before it.
  double beyond_mm = 0;     ///< From that number towards the next.
  double clock_deg = 0;     ///< Degrees clockwise from the datum in the belt's view.
  double from_weld_mm = 0;  ///< From the weld's centreline along the pipe, unsigned.
  std::string towards;      ///< Name of the piece on whose side it lies.
};

OutsideMark MarkOutside(const Belt& belt, double theta_deg, double z_mm, const std::string& piece_a,
                        const std::string& piece_b);

/// Theta under a place of the belt, in [0, 360).
/// @param belt_mm From number 0 towards higher numbers.
double ThetaOfBelt(const Belt& belt, double belt_mm);

/// Degrees clockwise from the datum, as a person with `view` reads them.
double ClockDegInView(double theta_deg, View view);

}  // namespace app::repair
