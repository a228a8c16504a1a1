#pragma once

#include <QString>
#include <optional>
#include <vector>

#include "app/words/text.h"

/// How numbers and places are written on the record. Every function treats NaN as "not measured" and never prints it.
namespace app::report {

inline constexpr double kCoverage = 2.0;  ///< k of the expanded uncertainty in print.

using words::EnglishOf, words::Joined, words::Number, words::Print, words::Term, words::Text, words::Typed;

/// What stands where a number would be: "not measurable from this recording: REASON".
Text NotMeasurable(const Text& reason);

/// @return `mm` as inches to the nearest 1/denominator, reduced: 19.05 -> "3/4 in", 28.6 -> "1 1/8 in", 0.1 -> "0 in".
QString FractionText(double mm, int denominator);

/// Millimetres, with inches beside them on request.
struct LengthFormat {
  bool inches = false;
  int denominator = 64;

  /// "6.21 ± 0.30 mm" with U = k u; "6.21 mm (uncertainty not stated)" without u; with inches
  /// "6.21 ± 0.30 mm (0.244 ± 0.012 in, ≈ 1/4 in)". Digits follow U: two decimals below U = 1 mm, else one.
  Text Measured(double mm, double u_mm) const;
  /// A length without an uncertainty of its own (a limit, a nominal size): "1.59 mm (0.063 in, ≈ 1/16 in)".
  Text Plain(double mm, int decimals = 2) const;
};

/// "135.0°"; never "360.0°".
Text DegText(double theta_deg);

/// Where something is: "4:30 (135.0°)" or, when the picture's up was not known, "135.0° relative".
Text PlaceText(double theta_deg, bool relative);

/// Clockwise span: "4:00 to 4:30 (120.0° to 135.0°)".
Text SpanText(double start_deg, double end_deg, bool relative);

/// One mark of a ruler around the bore.
struct Tick {
  double theta_deg = 0;
  QString label;  ///< Empty for a small mark.
};

/// Clock marks in [from_deg, to_deg]: every half hour, labelled on the hour ("12", "1", ...).
std::vector<Tick> ClockTicks(double from_deg, double to_deg);
/// Degree marks: every 10, labelled every 30.
std::vector<Tick> DegreeTicks(double from_deg, double to_deg);
/// Marks of arc length from theta 0 at `radius_mm`: every 5 mm, labelled every `label_every_mm`.
std::vector<Tick> ArcTicks(double from_deg, double to_deg, double radius_mm, int label_every_mm = 20);

}  // namespace app::report
