#include "app/report/text.h"

#include <cmath>
#include <numeric>

#include "vision/bore/angle.h"

namespace app::report {

namespace {
constexpr double kMmPerInch = 25.4;  // exact: international yard and pound agreement, 1959

QString Number(double value, int decimals) {
  const QString text = QString::number(value, 'f', decimals);
  return text.startsWith('-') && text.toDouble() == 0 ? text.mid(1) : text;  // no "-0.00"
}

/// Decimals that the expanded uncertainty can support.
int DecimalsFor(double expanded_mm) { return expanded_mm >= 1.0 ? 1 : 2; }
}  // namespace

QString NotMeasurable(const QString& reason) {
  return "not measurable from this recording" + (reason.isEmpty() ? QString() : ": " + reason);
}

QString FractionText(double mm, int denominator) {
  if (!std::isfinite(mm)) return NotMeasurable({});
  const long parts = std::lround(std::abs(mm) / kMmPerInch * denominator);
  const long whole = parts / denominator, rest = parts % denominator;
  const QString sign = mm < 0 && parts > 0 ? "-" : "";
  if (rest == 0) return sign + QString::number(whole) + " in";
  const long divisor = std::gcd(rest, static_cast<long>(denominator));
  const QString fraction = QString("%1/%2").arg(rest / divisor).arg(denominator / divisor);
  return sign + (whole > 0 ? QString("%1 ").arg(whole) : QString()) + fraction + " in";
}

QString LengthFormat::Measured(double mm, double u_mm) const {
  if (!std::isfinite(mm)) return NotMeasurable({});
  if (!std::isfinite(u_mm)) return Plain(mm) + " (uncertainty not stated)";
  const double expanded = kCoverage * u_mm;
  const int decimals = DecimalsFor(expanded);
  const double shown = std::max(expanded, 0.5 * std::pow(10.0, -decimals));  // never "± 0.00"
  QString text = QString("%1 ± %2 mm").arg(Number(mm, decimals), Number(shown, decimals));
  if (inches) {
    text += QString(" (%1 ± %2 in, ≈ %3)")
                .arg(Number(mm / kMmPerInch, decimals + 1), Number(shown / kMmPerInch, decimals + 1),
                     FractionText(mm, denominator));
  }
  return text;
}

QString LengthFormat::Plain(double mm, int decimals) const {
  if (!std::isfinite(mm)) return NotMeasurable({});
  QString text = Number(mm, decimals) + " mm";
  if (inches)
    text += QString(" (%1 in, ≈ %2)").arg(Number(mm / kMmPerInch, decimals + 1), FractionText(mm, denominator));
  return text;
}

QString DegText(double theta_deg) {
  if (!std::isfinite(theta_deg)) return NotMeasurable({});
  const double tenths = std::round(vision::bore::Wrap360(theta_deg) * 10.0);
  return Number(tenths >= 3600.0 ? 0.0 : tenths / 10.0, 1) + "°";
}

QString PlaceText(double theta_deg, bool relative) {
  if (!std::isfinite(theta_deg)) return NotMeasurable({});
  if (relative) return DegText(theta_deg) + " relative";
  return QString::fromStdString(vision::bore::ClockText(theta_deg)) + " (" + DegText(theta_deg) + ")";
}

QString SpanText(double start_deg, double end_deg, bool relative) {
  if (!std::isfinite(start_deg) || !std::isfinite(end_deg)) return NotMeasurable({});
  if (end_deg - start_deg >= 360.0) return "all round";
  const QString degrees = DegText(start_deg) + " to " + DegText(end_deg);
  if (relative) return degrees + " relative";
  using vision::bore::ClockText;
  return QString::fromStdString(ClockText(start_deg) + " to " + ClockText(end_deg)) + " (" + degrees + ")";
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
