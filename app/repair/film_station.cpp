#include "app/repair/film_station.h"

#include <spdlog/fmt/fmt.h>

#include <algorithm>
#include <cmath>

#include "app/words/print.h"
#include "vision/base/says.h"
#include "vision/bore/angle.h"

namespace app::repair {
namespace {

using vision::bore::Wrap360;

/// The least search band: 10 mm each side or half a spacing, whichever is larger (judgement, no source).
constexpr double kLeastBandMm = 10;

/// +1 when higher numbers lie at larger theta.
double Sense(const Belt& belt) {
  const double turn = belt.numbers_run == Turn::kClockwise ? 1 : -1;
  return belt.view == View::kAlongPlusZ ? turn : -turn;
}

double ZeroTheta(const Belt& belt) { return ClockDegInView(belt.zero_clock_deg, belt.view); }

/// +1 when the film's right hand is towards larger theta. Seen from outside with +z up, theta grows to the right.
double RightIsTheta(View up_points, bool read_from_outside) {
  return (up_points == View::kAlongPlusZ ? 1.0 : -1.0) * (read_from_outside ? 1.0 : -1.0);
}

/// +1 towards higher numbers, -1 towards lower.
vision::Result<double> SignOf(const Belt& belt, const FilmIndication& indication) {
  switch (indication.side) {
    case Side::kTowardsHigher:
      return 1.0;
    case Side::kTowardsLower:
      return -1.0;
    case Side::kRight:
    case Side::kLeft:
      break;
  }
  if (!indication.up_points || !indication.read_from_outside)
    return vision::BadInput(
        "film: right or left of a marker means nothing without up_points (+z or -z) and read_from (outside or source "
        "side); give both, or say towards the higher or the lower number.");
  const double hand = indication.side == Side::kRight ? 1 : -1;
  return hand * RightIsTheta(*indication.up_points, *indication.read_from_outside) * Sense(belt);
}

/// Length of the interval on that side of the marker, mm on the pipe.
double IntervalMm(const Belt& belt, int number, double sign) {
  const bool closes = sign > 0 ? number == belt.Numbers() - 1 : number == 0;
  return closes ? belt.LastIntervalMm() : belt.spacing_mm;
}

Place PlaceAt(double theta_deg, double band_outside_mm, const Belt& belt, double bore_radius_mm) {
  Place place;
  place.theta_deg = Wrap360(theta_deg);
  place.inside_arc_mm = vision::bore::ArcMm(place.theta_deg, bore_radius_mm);
  place.band_half_deg = std::min(180.0, 360 * band_outside_mm / belt.length_mm);
  place.band_half_inside_mm = vision::bore::ArcMm(place.band_half_deg, bore_radius_mm);
  return place;
}

words::Text Understood(const Belt& belt, const FilmIndication& indication, const Located& located) {
  using words::Joined, words::Number, words::Print, words::Text;
  const Text belt_said{
      Print::kBeltUnderstood,
      {Number(belt.zero_clock_deg, 1), belt.numbers_run == Turn::kClockwise ? Print::kClockwise : Print::kAnticlockwise,
       belt.view == View::kAlongPlusZ ? Print::kAlong : Print::kAgainst, Number(located.belt_mm, 1),
       Number(belt.length_mm, 1)}};
  const bool both = indication.exposure == Exposure::kDoubleWallElliptic;
  return Joined(vision::Says::kBesides, {belt_said, both ? Text(Print::kBothWallsOnFilm) : Text()});
}

}  // namespace

double ThetaOfBelt(const Belt& belt, double belt_mm) {
  return Wrap360(ZeroTheta(belt) + Sense(belt) * 360 * belt_mm / belt.length_mm);
}

double ClockDegInView(double theta_deg, View view) {
  return Wrap360(view == View::kAlongPlusZ ? theta_deg : -theta_deg);
}

vision::Status Belt::Check() const {
  if (!(length_mm > 0) || !std::isfinite(length_mm))
    return vision::BadInput("belt.length_mm must be the measured length once round, above 0 mm.");
  if (!(spacing_mm > 0) || spacing_mm > length_mm)
    return vision::BadInput(
        fmt::format("belt.spacing_mm must be above 0 and at most the belt's {:.1f} mm.", length_mm));
  if (!std::isfinite(zero_clock_deg)) return vision::BadInput("belt.zero_clock_deg must be a number of degrees.");
  return std::nullopt;
}

int Belt::Numbers() const { return static_cast<int>(std::ceil(length_mm / spacing_mm - 1e-9)); }

double Belt::LastIntervalMm() const { return length_mm - (Numbers() - 1) * spacing_mm; }

vision::Result<Located> Locate(const Belt& belt, const FilmIndication& indication, double bore_radius_mm) {
  if (auto fault = belt.Check()) return *fault;
  if (!(bore_radius_mm > 0)) return vision::BadInput("bore: the inside radius must be above 0 mm.");
  if (indication.number < 0 || indication.number >= belt.Numbers())
    return vision::BadInput(
        fmt::format("film.number: {} is not on the belt, whose numbers run from 0 to {} ({:.1f} mm "
                    "round, every {:.1f} mm).",
                    indication.number, belt.Numbers() - 1, belt.length_mm, belt.spacing_mm));
  if (!(indication.interval_on_film_mm > 0))
    return vision::BadInput(
        "film.interval_on_film_mm must be the distance of the two markers on the film, above 0 mm.");
  if (!(indication.film_mm >= 0 && indication.film_mm <= indication.interval_on_film_mm))
    return vision::BadInput(
        fmt::format("film.film_mm: {:.1f} mm lies beyond the next marker, {:.1f} mm away on the film: measure from the "
                    "nearest one.",
                    indication.film_mm, indication.interval_on_film_mm));
  auto sign = SignOf(belt, indication);
  if (!sign.ok()) return sign.error();
  const double interval_mm = IntervalMm(belt, indication.number, sign.value());
  const double along = sign.value() * interval_mm * indication.film_mm / indication.interval_on_film_mm;
  Located located;
  located.belt_mm = std::fmod(indication.number * belt.spacing_mm + along + belt.length_mm, belt.length_mm);
  const double band_mm = std::max(kLeastBandMm, belt.spacing_mm / 2);
  const double theta_deg = ThetaOfBelt(belt, located.belt_mm);
  located.candidates.push_back(PlaceAt(theta_deg, band_mm, belt, bore_radius_mm));
  if (indication.exposure == Exposure::kDoubleWallElliptic)
    located.candidates.push_back(PlaceAt(theta_deg + 180, band_mm, belt, bore_radius_mm));
  located.said = Understood(belt, indication, located);
  return located;
}

OutsideMark MarkOutside(const Belt& belt, double theta_deg, double z_mm, const std::string& piece_a,
                        const std::string& piece_b) {
  OutsideMark mark;
  mark.belt_mm = Wrap360(Sense(belt) * (theta_deg - ZeroTheta(belt))) / 360 * belt.length_mm;
  mark.number = std::min(static_cast<int>(mark.belt_mm / belt.spacing_mm), belt.Numbers() - 1);
  mark.beyond_mm = mark.belt_mm - mark.number * belt.spacing_mm;
  mark.clock_deg = ClockDegInView(theta_deg, belt.view);
  mark.from_weld_mm = std::abs(z_mm);
  mark.towards = z_mm < 0 ? piece_a : piece_b;
  return mark;
}

}  // namespace app::repair
