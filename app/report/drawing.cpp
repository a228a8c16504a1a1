#include "app/report/drawing.h"

#include <cmath>

#include "app/report/content.h"
#include "vision/bore/angle.h"

namespace app::report {

QFont FontOf(double height_mm, bool bold) {
  QFont font{QString(kFontFamily)};
  font.setPixelSize(static_cast<int>(std::lround(height_mm * 10)));
  font.setBold(bold);
  font.setLetterSpacing(QFont::AbsoluteSpacing, 0.02);  // no ligatures: the words of a PDF must be found by a search
  font.setHintingPreference(QFont::PreferNoHinting);
  return font;
}

void FillHatched(QPainter& painter, const QPainterPath& area) {
  constexpr double kStep = 9;
  painter.save();
  painter.setClipPath(area, Qt::IntersectClip);
  painter.setPen(QPen(ink::kText, 3.2));
  const QRectF box = area.boundingRect();
  for (double x = box.left() - box.height(); x < box.right(); x += kStep) {
    painter.drawLine(QPointF(x, box.bottom()), QPointF(x + box.height(), box.top()));
  }
  painter.restore();
  painter.setPen(QPen(ink::kText, 4));
  painter.setBrush(Qt::NoBrush);
  painter.drawPath(area);
}

void FillDotted(QPainter& painter, const QPainterPath& area) {
  constexpr double kStep = 11;
  painter.save();
  painter.setClipPath(area, Qt::IntersectClip);
  painter.setPen(Qt::NoPen);
  painter.setBrush(ink::kRule);
  const QRectF box = area.boundingRect();
  bool shifted = false;
  for (double y = box.top() + kStep / 2; y < box.bottom(); y += kStep, shifted = !shifted) {
    for (double x = box.left() + (shifted ? kStep : kStep / 2); x < box.right(); x += kStep) {
      painter.drawEllipse(QPointF(x, y), 1.6, 1.6);
    }
  }
  painter.restore();
}

namespace {
/// Parallel lines over an area: upright, or slanted the one way or the other.
void FillLines(QPainter& painter, const QPainterPath& area, double lean, double step) {
  painter.save();
  painter.setClipPath(area, Qt::IntersectClip);
  painter.setPen(QPen(ink::kText, 3.2));
  const QRectF box = area.boundingRect();
  const double shift = lean * box.height();
  for (double x = box.left() - std::abs(shift); x < box.right() + std::abs(shift); x += step)
    painter.drawLine(QPointF(x, box.bottom()), QPointF(x + shift, box.top()));
  painter.restore();
  painter.setPen(QPen(ink::kText, 4));
  painter.setBrush(Qt::NoBrush);
  painter.drawPath(area);
}
}  // namespace

void FillWith(QPainter& painter, const QPainterPath& area, marks::Pattern pattern) {
  switch (pattern) {
    case marks::Pattern::kSlanted:
      return FillHatched(painter, area);
    case marks::Pattern::kDots:
      return FillDotted(painter, area);
    case marks::Pattern::kUpright:
      return FillLines(painter, area, 0, 9);
    case marks::Pattern::kCrossed:
      FillLines(painter, area, 1, 22);
      return FillLines(painter, area, -1, 22);
    default:
      return;
  }
}

QPen PenOf(marks::Pattern pattern, const QColor& colour, double width) {
  QPen pen(colour, width);
  if (pattern == marks::Pattern::kDashedLine) pen.setStyle(Qt::DashLine);
  if (pattern == marks::Pattern::kDottedLine) pen.setStyle(Qt::DotLine);
  if (pattern == marks::Pattern::kDashDotLine) pen.setStyle(Qt::DashDotLine);
  if (pattern == marks::Pattern::kDashDotDotLine) pen.setStyle(Qt::DashDotDotLine);
  return pen;
}

double DrawAlongRing(QPainter& painter, double radius, double middle_deg, const QString& text, const QColor& ink,
                     QPen rim) {
  const QFontMetricsF metrics(painter.font());
  const double span = metrics.horizontalAdvance(text) / radius * vision::bore::kDegPerRad;
  const double seen = vision::bore::Wrap360(middle_deg);
  const bool below = seen > 90 && seen < 270;
  const double turn = below ? -1 : 1;
  double along = middle_deg - turn * span / 2;
  rim.setCapStyle(Qt::RoundCap), rim.setJoinStyle(Qt::RoundJoin);
  painter.save();
  for (const QChar letter : text) {
    const double wide = metrics.horizontalAdvance(letter), half = wide / radius * vision::bore::kDegPerRad / 2;
    along += turn * half;
    painter.save();
    painter.rotate(along);
    painter.translate(0, -radius);
    if (below) painter.rotate(180);
    QPainterPath path;
    path.addText(-wide / 2, metrics.capHeight() / 2, painter.font(), QString(letter));
    painter.strokePath(path, rim);
    painter.fillPath(path, ink);
    painter.restore();
    along += turn * half;
  }
  painter.restore();
  return span;
}

QPainterPath RingSector(double inner, double outer, double start_deg, double length_deg) {
  // A painter's arcs run counter-clockwise from 3 o'clock.
  const double from = 90.0 - start_deg, sweep = -length_deg;
  const auto box = [](double radius) { return QRectF(-radius, -radius, 2 * radius, 2 * radius); };
  QPainterPath path;
  path.arcMoveTo(box(outer), from);
  path.arcTo(box(outer), from, sweep);
  if (length_deg >= 360.0) {
    path.arcMoveTo(box(inner), from);
    path.arcTo(box(inner), from, sweep);
    path.setFillRule(Qt::OddEvenFill);
    return path;
  }
  path.arcTo(box(inner), from + sweep, -sweep);
  path.closeSubpath();
  return path;
}

void DrawTag(QPainter& painter, QPointF centre, int number) {
  painter.setPen(QPen(ink::kText, 2.5));
  painter.setBrush(Qt::white);
  painter.drawEllipse(centre, 19, 19);
  painter.setFont(FontOf(number < 10 ? 2.8 : 2.3, true));
  DrawCentred(painter, centre, QString::number(number));
}

void DrawCentred(QPainter& painter, QPointF centre, const QString& text) {
  const QRectF box(centre.x() - 1000, centre.y() - 100, 2000, 200);
  painter.drawText(box, Qt::AlignCenter | Qt::TextSingleLine, text);
}

}  // namespace app::report
