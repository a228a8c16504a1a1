#include "app/repair/film_picture.h"

#include <cmath>

#include "vision/bore/angle.h"

namespace app::repair {
namespace {

/// From one number to another along the belt the shorter way round; > 0 towards higher numbers.
double Between(const Belt& belt, int from, int to) {
  const double apart = std::fmod((to - from) * belt.spacing_mm, belt.length_mm);
  if (apart > 0.5 * belt.length_mm) return apart - belt.length_mm;
  return apart <= -0.5 * belt.length_mm ? apart + belt.length_mm : apart;
}

}  // namespace

vision::Status FilmPicture::Check(const Belt& belt) const {
  if (markers.size() < 2)
    return vision::BadInput("film.picture.markers: two numbers or more must be given, to pin the picture.");
  double all = 0;
  for (std::size_t i = 0; i < markers.size(); ++i) {
    const auto number = std::to_string(markers[i].number);
    if (markers[i].number < 0 || markers[i].number >= belt.Numbers())
      return vision::BadInput("film.picture.markers: number " + number + " is not on the belt, which has 0 to " +
                              std::to_string(belt.Numbers() - 1) + ".");
    if (i == 0) continue;
    if (!(markers[i].x_px > markers[i - 1].x_px))
      return vision::BadInput(
          "film.picture.markers: x_px must rise from one number to the next; it does not at number " + number + ".");
    const double step = Between(belt, markers[i - 1].number, markers[i].number);
    if (step == 0 || step * all < 0)
      return vision::BadInput("film.picture.markers: the numbers must run one way; they turn round at number " +
                              number + ".");
    all += step;
  }
  if (std::abs(all) > belt.length_mm)
    return vision::BadInput("film.picture.markers run more than once round the belt.");
  return std::nullopt;
}

std::vector<FilmStretch> StretchesOf(const FilmPicture& picture, const Belt& belt) {
  const double first = ThetaOfBelt(belt, 0), deg_per_mm = 360 / belt.length_mm;
  const double sense = vision::bore::Wrap180(ThetaOfBelt(belt, 0.1 * belt.length_mm) - first) > 0 ? 1 : -1;
  std::vector<FilmStretch> stretches;
  for (std::size_t i = 1; i < picture.markers.size(); ++i) {
    const auto &a = picture.markers[i - 1], &b = picture.markers[i];
    const double from = ThetaOfBelt(belt, a.number * belt.spacing_mm);
    stretches.push_back({a.x_px, b.x_px, from, from + sense * Between(belt, a.number, b.number) * deg_per_mm});
  }
  return stretches;
}

}  // namespace app::repair
