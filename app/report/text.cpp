#include "app/report/text.h"

#include <cmath>
#include <numeric>

#include "app/words/print.h"
#include "vision/bore/angle.h"

namespace app::report {

namespace {
constexpr double kMmPerInch = 25.4;  // exact: international yard and pound agreement, 1959

/// Decimals that the expanded uncertainty can support.
int DecimalsFor(double expanded_mm) { return expanded_mm >= 1.0 ? 1 : 2; }
}  // namespace

Text NotMeasurable(const Text& reason) {
  return reason.empty() ? Text(Print::kNotMeasurable) : Text(Print::kNotMeasurableSince, {reason});
}

QString FractionText(double mm, int denominator) {
  if (!std::isfinite(mm)) return QString::fromStdString(EnglishOf(NotMeasurable({})));
  const long parts = std::lround(std::abs(mm) / kMmPerInch * denominator);
  const long whole = parts / denominator, rest = parts % denominator;
  const QString sign = mm < 0 && parts > 0 ? "-" : "";
  if (rest == 0) return sign + QString::number(whole) + " in";
  const long divisor = std::gcd(rest, static_cast<long>(denominator));
  const QString fraction = QString("%1/%2").arg(rest / divisor).arg(denominator / divisor);
  return sign + (whole > 0 ? QString("%1 ").arg(whole) : QString()) + fraction + " in";
}

namespace {
Text InInches(const LengthFormat& format, double mm) {
  return Typed(FractionText(mm, format.denominator).toStdString());
}
}  // namespace

Text LengthFormat::Measured(double mm, double u_mm) const {
  if (!std::isfinite(mm)) return NotMeasurable({});
  if (!std::isfinite(u_mm)) return {Print::kWithoutU, {Plain(mm)}};
  const double expanded = kCoverage * u_mm;
  const int decimals = DecimalsFor(expanded);
  const double shown = std::max(expanded, 0.5 * std::pow(10.0, -decimals));  // never "± 0.00"
  const Text text{Print::kPlusMinus, {Number(mm, decimals), Number(shown, decimals)}};
  if (!inches) return text;
  return {Print::kPlusMinusInches,
          {text, Number(mm / kMmPerInch, decimals + 1), Number(shown / kMmPerInch, decimals + 1), InInches(*this, mm)}};
}

Text LengthFormat::Plain(double mm, int decimals) const {
  if (!std::isfinite(mm)) return NotMeasurable({});
  const Text text{Print::kMillimetres, {Number(mm, decimals)}};
  if (!inches) return text;
  return {Print::kWithInches, {text, Number(mm / kMmPerInch, decimals + 1), InInches(*this, mm)}};
}

Text DegText(double theta_deg) {
  if (!std::isfinite(theta_deg)) return NotMeasurable({});
  const double tenths = std::round(vision::bore::Wrap360(theta_deg) * 10.0);
  return {Print::kDegrees, {Number(tenths >= 3600.0 ? 0.0 : tenths / 10.0, 1)}};
}

Text PlaceText(double theta_deg, bool relative) {
  if (!std::isfinite(theta_deg)) return NotMeasurable({});
  if (relative) return {Print::kRelative, {DegText(theta_deg)}};
  return {Print::kAside, {Typed(vision::bore::ClockText(theta_deg)), DegText(theta_deg)}};
}

Text SpanText(double start_deg, double end_deg, bool relative) {
  if (!std::isfinite(start_deg) || !std::isfinite(end_deg)) return NotMeasurable({});
  if (end_deg - start_deg >= 360.0) return Print::kAllRound;
  const Text degrees{Print::kFromTo, {DegText(start_deg), DegText(end_deg)}};
  if (relative) return {Print::kRelative, {degrees}};
  using vision::bore::ClockText;
  return {Print::kAside, {{Print::kFromTo, {Typed(ClockText(start_deg)), Typed(ClockText(end_deg))}}, degrees}};
}

namespace {
/// Marks at i * step_deg, labelled when i is a multiple of `every`.
template <class Label>
std::vector<Tick> TicksEvery(double from_deg, double to_deg, double step_deg, int every, Label label) {
  std::vector<Tick> ticks;
  constexpr double kSlack = 1e-9;  // keeps a mark that falls on the end in spite of rounding
  for (int i = static_cast<int>(std::ceil(from_deg / step_deg - kSlack)); i * step_deg <= to_deg + kSlack; ++i) {
    ticks.push_back({i * step_deg, i % every == 0 ? label(i) : QString()});
  }
  return ticks;
}
}  // namespace

std::vector<Tick> ClockTicks(double from_deg, double to_deg) {
  return TicksEvery(from_deg, to_deg, 15.0, 2, [](int half_hours) {
    const int hour = (half_hours / 2) % 12;
    return QString::number(hour == 0 ? 12 : hour);
  });
}

std::vector<Tick> DegreeTicks(double from_deg, double to_deg) {
  return TicksEvery(from_deg, to_deg, 10.0, 3, [](int tens) { return QString("%1°").arg(tens * 10); });
}

std::vector<Tick> ArcTicks(double from_deg, double to_deg, double radius_mm, int label_every_mm) {
  if (!(radius_mm > 0)) return {};
  const double step_deg = 5.0 / radius_mm * vision::bore::kDegPerRad;
  return TicksEvery(from_deg, to_deg, step_deg, label_every_mm / 5,
                    [](int fives) { return QString::number(fives * 5); });
}

}  // namespace app::report
