#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/words/text.h"
#include "vision/base/result.h"

/// Does the wall that is left after a blend stay above its floor, and does the depth stay within the criterion? Two
/// separate questions: passing one says nothing about the other.
namespace app::repair {

/// k of every expanded uncertainty.
constexpr double kCoverage = 2;

/// A length and its standard uncertainty, mm.
struct Measured {
  double value_mm = 0, u_mm = 0;
};

/// How a wall at the place is known.
enum class WallBy {
  kUltrasonic,         ///< Read beside the indication.
  kNominalAssumption,  ///< Nominal less the mill tolerance: an assumption, never a reading.
};

struct Wall {
  Measured thickness;
  WallBy by = WallBy::kUltrasonic;
  words::Text said;  ///< One phrase for people: where it comes from.
};

/// The lowest of some ultrasonic readings (each with its own u), as the wall beside the indication.
vision::Result<Wall> WallFromReadings(const std::vector<Measured>& readings);

/// Nominal wall with the mill tolerance taken off in full (-12.5 % in ASME B36.10M/B36.19M pipe).
/// @param mill_tolerance Fraction of nominal, in [0, 0.5].
vision::Result<Wall> WallFromNominal(double nominal_mm, double mill_tolerance = 0.125);

/// The floor: the larger of what pressure design and the drawing ask for; at least one must be given.
struct Floor {
  double value_mm = 0;
  words::Text said;  ///< Which of the two rules, and the other's value where given.
};
vision::Result<Floor> FloorOf(std::optional<double> design_mm, std::optional<double> drawing_mm);

enum class Answer { kGo, kNoGo, kTakeReading };

/// go | no-go | take a UT reading
std::string NameOf(Answer answer);

struct Check {
  Answer answer = Answer::kTakeReading;
  double value_mm = 0;     ///< Remaining wall, or depth.
  double expanded_mm = 0;  ///< U, k = 2.
  double margin_mm = 0;    ///< To the limit before U; positive is on the good side.
  double guarded_mm = 0;   ///< margin - U.
  words::Text said;        ///< One sentence with the numbers.
};

/// t_rem = wall - depth, u from both. go when t_rem - U >= floor; no-go when t_rem + U < floor; a reading must decide
/// otherwise, and always where the wall is only assumed.
/// @param depth Below the surface of the base metal, not below the bead's crown: taking off convexity costs no wall.
/// @return kBadInput when the depth is not a positive number or exceeds the wall.
vision::Result<Check> CheckRemainingWall(const Wall& wall, const Measured& depth, const Floor& floor);

/// The second question: the criterion's limit for the depth of a ground spot left in place.
/// kTakeReading here means: within U of the limit, the depth must be measured better.
Check CheckDepth(const Measured& depth, double limit_mm, const std::string& paragraph);

/// Wall readings needed at the bottom of the blend for acceptance, as a sentence for people.
words::Text RuleOfRecord();

}  // namespace app::repair
