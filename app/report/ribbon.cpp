#include <QPainter>
#include <algorithm>
#include <cmath>

#include "app/report/drawing.h"
#include "app/report/figures.h"
#include "app/report/text.h"
#include "app/report/wording.h"
#include "app/words/print.h"
#include "vision/base/says.h"

namespace app::report {

namespace {

using vision::Says;

/// Maps theta and width to the figure.
struct Axes {
  QRectF box;
  double low_mm = 0, high_mm = 1;
  double X(double theta_deg) const { return box.left() + box.width() * theta_deg / 360.0; }
  double Y(double mm) const { return box.bottom() - box.height() * (mm - low_mm) / (high_mm - low_mm); }
};

Axes AxesFor(const vision::reading::Profile& profile, const std::optional<WidthLimit>& limit, double width_mm) {
  Axes axes;
  axes.box = QRectF(120, 70, width_mm * 10 - 160, 360);
  double low = INFINITY, high = -INFINITY;
  const auto include = [&](double mm) {
    if (!std::isfinite(mm)) return;
    low = std::min(low, mm);
    high = std::max(high, mm);
  };
  for (std::size_t i = 0; i < profile.width_mm.size(); ++i) {
    const double u = std::isfinite(profile.width_u_mm[i]) ? kCoverage * profile.width_u_mm[i] : 0;
    include(profile.width_mm[i] - u);
    include(profile.width_mm[i] + u);
  }
  if (limit && limit->least_mm) include(*limit->least_mm);
  if (limit && limit->most_mm) include(*limit->most_mm);
  if (!(low <= high)) low = 0, high = 8;
  axes.low_mm = std::max(0.0, std::floor(low - 0.3));
  axes.high_mm = std::ceil(high + 0.3);
  return axes;
}

/// Maximal stretches [first, last] of lines with a width, not joined over the cut at theta 0.
std::vector<std::pair<std::size_t, std::size_t>> Stretches(const std::vector<double>& values) {
  std::vector<std::pair<std::size_t, std::size_t>> stretches;
  for (std::size_t i = 0; i < values.size(); ++i) {
    if (!std::isfinite(values[i])) continue;
    if (stretches.empty() || stretches.back().second + 1 != i) stretches.push_back({i, i});
    stretches.back().second = i;
  }
  return stretches;
}

void DrawGrid(QPainter& painter, const Wording& wording, const Axes& axes, bool relative) {
  painter.setFont(FontOf(2.8));
  const int step = axes.high_mm - axes.low_mm > 8 ? 2 : 1;
  for (double mm = axes.low_mm; mm <= axes.high_mm; mm += step) {
    painter.setPen(QPen(ink::kBand, 1.5));
    painter.drawLine(QPointF(axes.box.left(), axes.Y(mm)), QPointF(axes.box.right(), axes.Y(mm)));
    painter.setPen(ink::kText);
    painter.drawText(QRectF(0, axes.Y(mm) - 30, axes.box.left() - 12, 60), Qt::AlignRight | Qt::AlignVCenter,
                     QString::number(mm, 'f', 0));
  }
  painter.drawText(QRectF(0, 6, 400, 50), Qt::AlignLeft | Qt::AlignVCenter, wording(Print::kWidthMm));
  for (const Tick& tick : DegreeTicks(0, 360)) {
    const double x = axes.X(tick.theta_deg);
    painter.setPen(QPen(ink::kRule, tick.label.isEmpty() ? 1 : 2));
    painter.drawLine(QPointF(x, axes.box.bottom()), QPointF(x, axes.box.bottom() + (tick.label.isEmpty() ? 8 : 16)));
    painter.setPen(ink::kText);
    if (!tick.label.isEmpty()) DrawCentred(painter, {x, axes.box.bottom() + 38}, tick.label);
  }
  if (relative) return;
  for (const Tick& tick : ClockTicks(0, 360)) {
    painter.setFont(FontOf(2.8, true));
    if (!tick.label.isEmpty()) DrawCentred(painter, {axes.X(tick.theta_deg), axes.box.bottom() + 78}, tick.label);
  }
}

/// Arcs without a width are dotted from top to bottom: absent, not zero.
void DrawAbsent(QPainter& painter, const Axes& axes, const std::vector<double>& values) {
  const double lines = static_cast<double>(values.size());
  for (std::size_t i = 0; i < values.size(); ++i) {
    if (std::isfinite(values[i])) continue;
    std::size_t end = i;
    while (end < values.size() && !std::isfinite(values[end])) ++end;
    const double from = axes.X(360.0 * static_cast<double>(i) / lines),
                 to = axes.X(360.0 * static_cast<double>(end) / lines);
    QPainterPath area;
    area.addRect(QRectF(from, axes.box.top(), to - from, axes.box.height()));
    FillDotted(painter, area);
    i = end;
  }
}

void DrawStretch(QPainter& painter, const Axes& axes, const vision::reading::Profile& profile, std::size_t first,
                 std::size_t last) {
  QPolygonF upper, lower, middle;
  for (std::size_t i = first; i <= last; ++i) {
    const double x = axes.X(profile.theta_deg[i]), width = profile.width_mm[i];
    const double expanded = std::isfinite(profile.width_u_mm[i]) ? kCoverage * profile.width_u_mm[i] : 0;
    upper << QPointF(x, axes.Y(width + expanded));
    lower.prepend(QPointF(x, axes.Y(width - expanded)));
    middle << QPointF(x, axes.Y(width));
  }
  painter.setPen(Qt::NoPen);
  painter.setBrush(ink::kBand);
  painter.drawPolygon(upper + lower);
  painter.setBrush(Qt::NoBrush);
  painter.setPen(QPen(ink::kText, 4, Qt::SolidLine, Qt::RoundCap, Qt::RoundJoin));
  if (first == last) painter.drawPoint(middle.front());
  painter.drawPolyline(middle);
}

/// @param name "not more than".
void DrawLimit(QPainter& painter, const Wording& wording, const Axes& axes, std::optional<double> limit_mm, Print name,
               bool above) {
  if (!limit_mm) return;
  const double y = axes.Y(*limit_mm);
  painter.setPen(PenOf(marks::MarkOf(marks::Means::kLimit).pattern, ink::kText, 5));
  painter.drawLine(QPointF(axes.box.left(), y), QPointF(axes.box.right(), y));
  painter.setFont(FontOf(2.8, true));
  const QString text = wording(Joined(Says::kBesides, {name, {Print::kMillimetres, {Number(*limit_mm, 2)}}}));
  const double wide = QFontMetricsF(painter.font()).horizontalAdvance(text) + 16;
  const QRectF label(axes.box.right() - wide - 10, above ? y - 46 : y + 6, wide, 40);
  painter.fillRect(label, Qt::white);
  painter.setPen(ink::kText);
  painter.drawText(label, Qt::AlignCenter, text);
}
/// A dashed bar under the stretches that rest on a toe set by hand.
void DrawByHand(QPainter& painter, const Axes& axes, const known::Known& known) {
  const double y = axes.box.bottom() - 10;
  painter.setPen(PenOf(marks::MarkOf(marks::Means::kToeByHand).pattern, ink::kText, 7));
  const auto& theta = known.measured.profile.theta_deg;
  for (std::size_t i = 0; i < theta.size(); ++i) {
    const auto by_hand = [&](std::size_t n) {
      return n < theta.size() &&
             ((n < known.by_hand_a.size() && known.by_hand_a[n]) || (n < known.by_hand_b.size() && known.by_hand_b[n]));
    };
    if (!by_hand(i)) continue;
    const std::size_t first = i;
    while (by_hand(i + 1)) ++i;
    painter.drawLine(QPointF(axes.X(theta[first]), y), QPointF(axes.X(theta[i] + 0.5), y));
  }
}
}  // namespace

Figure RibbonFigure(const known::Known& known, const std::optional<WidthLimit>& limit, double width_mm) {
  Figure figure;
  figure.width_mm = width_mm;
  figure.height_mm = 53;
  figure.title = Print::kRibbonTitle;
  figure.paint = [known, limit, width_mm](QPainter& painter, const Wording& wording) {
    const auto& profile = known.decided.profile;
    const Axes axes = AxesFor(profile, limit, width_mm);
    DrawGrid(painter, wording, axes, known.relative());
    DrawAbsent(painter, axes, profile.width_mm);
    for (const auto& [first, last] : Stretches(profile.width_mm)) DrawStretch(painter, axes, profile, first, last);
    if (!known.toes.empty()) DrawByHand(painter, axes, known);
    if (limit) {
      DrawLimit(painter, wording, axes, limit->most_mm, Print::kNotMoreThan, true);
      DrawLimit(painter, wording, axes, limit->least_mm, Print::kNotLessThan, false);
    }
    painter.setPen(QPen(ink::kText, 3));
    painter.setBrush(Qt::NoBrush);
    painter.drawRect(axes.box);
  };
  return figure;
}

}  // namespace app::report
