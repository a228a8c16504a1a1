#pragma once

#include <filesystem>
#include <vector>

#include "app/repair/film_station.h"

/// The radiograph's picture, pinned to the bore by the numbers seen on it.
namespace app::repair {

/// A number of the belt as it is seen on the film.
struct FilmMarker {
  int number = 0;
  double x_px = 0;  ///< Column of the picture, from its left edge.
};

struct FilmPicture {
  std::filesystem::path file;
  std::vector<FilmMarker> markers;  ///< Two or more, from left to right.

  /// First broken constraint: fewer than two, not from left to right, a number that is not on the belt, numbers that do
  /// not all run one way, or more than once round.
  [[nodiscard]] vision::Status Check(const Belt& belt) const;
};

/// A stretch of the picture between two numbers and the stretch of bore under it. Between them the picture is taken to
/// be even: a film's enlargement changes from number to number, which is why each pair is pinned by itself.
struct FilmStretch {
  double x_from_px = 0, x_to_px = 0;            ///< from < to.
  double theta_from_deg = 0, theta_to_deg = 0;  ///< `from` in [0, 360); `to` unwrapped, below `from` where theta falls.
};

/// @param picture Must pass Check. What lies outside the outermost numbers is pinned by nothing and left out.
std::vector<FilmStretch> StretchesOf(const FilmPicture& picture, const Belt& belt);

}  // namespace app::repair
