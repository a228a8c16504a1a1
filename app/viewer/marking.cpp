#include "app/viewer/marking.h"

#include <cmath>

#include "app/report/drawing.h"

namespace app::viewer {
namespace {

using marks::Means;
using marks::Pattern;

/// Light on dark grounds, dark on light ones.
QColor InkOn(const QColor& ground) { return ground.lightnessF() < 0.45 ? QColor(235, 235, 235) : QColor(20, 20, 20); }

void Slants(QPainter& painter, const QRectF& box, double step, bool rising) {
  const double h = box.height();
  for (double x = box.left() - h - std::fmod(box.left() - h, step) - step; x < box.right() + h; x += step)
    painter.drawLine(QPointF(x, rising ? box.bottom() : box.top()), QPointF(x + h, rising ? box.top() : box.bottom()));
}

void Dots(QPainter& painter, const QRectF& box, double step) {
  bool odd = false;
  for (double y = box.top() + std::min(step, box.height()) / 2; y < box.bottom(); y += step / 1.5, odd = !odd)
    for (double x = box.left() - std::fmod(box.left(), step) + (odd ? step / 2 : 0); x < box.right(); x += step)
      painter.drawPoint(QPointF(x, y));
}

void PaintPattern(QPainter& painter, const QRectF& box, Pattern pattern, const QColor& ink) {
  painter.setPen(QPen(ink, 1.5));
  switch (pattern) {
    case Pattern::kSlanted:
      return Slants(painter, box, 6, true);
    case Pattern::kCrossed:
      Slants(painter, box, 10, true);
      return Slants(painter, box, 10, false);
    case Pattern::kUpright:
      for (double x = box.left() - std::fmod(box.left(), 4); x < box.right(); x += 4)
        painter.drawLine(QPointF(x, box.top()), QPointF(x, box.bottom()));
      return;
    case Pattern::kLevel:
      for (double y = box.top() + 2; y < box.bottom(); y += 4)
        painter.drawLine(QPointF(box.left(), y), QPointF(box.right(), y));
      return;
    case Pattern::kDots:
    case Pattern::kDiamonds:
      painter.setPen(QPen(ink, pattern == Pattern::kDots ? 1.8 : 3.2, Qt::SolidLine,
                          pattern == Pattern::kDots ? Qt::RoundCap : Qt::SquareCap));
      return Dots(painter, box, pattern == Pattern::kDots ? 7 : 9);
    default:
      return;
  }
}

}  // namespace

Means MeansOf(known::Edge edge) {
  switch (edge) {
    case known::Edge::kFused:
      return Means::kFused;
    case known::Edge::kUnfused:
      return Means::kUnfused;
    case known::Edge::kOverruled:
      return Means::kOverruled;
    case known::Edge::kUnfusedByHand:
      return Means::kUnfusedByHand;
    case known::Edge::kNotVisible:
      break;
  }
  return Means::kNotVisible;
}

void FillMark(QPainter& painter, const QPainterPath& area, Means means) {
  painter.save();
  painter.setRenderHint(QPainter::Antialiasing, true);
  const QColor ground = ColourOf(means);
  painter.fillPath(area, ground);
  painter.setClipPath(area, Qt::IntersectClip);
  PaintPattern(painter, area.boundingRect(), marks::MarkOf(means).pattern, InkOn(ground));
  painter.restore();
}

void FillMark(QPainter& painter, const QRectF& area, Means means) {
  painter.save();
  painter.setRenderHint(QPainter::Antialiasing, true);
  painter.setClipRect(area, Qt::IntersectClip);
  const QColor ground = ColourOf(means);
  painter.fillRect(area, ground);
  PaintPattern(painter, area, marks::MarkOf(means).pattern, InkOn(ground));
  painter.restore();
}

QPen PenOfMark(Means means, double width) {
  QPen pen(ColourOf(means), width);
  switch (marks::MarkOf(means).pattern) {
    case Pattern::kDashedLine:
      pen.setStyle(Qt::DashLine);
      break;
    case Pattern::kDottedLine:
      pen.setStyle(Qt::DotLine);
      break;
    case Pattern::kDashDotLine:
      pen.setStyle(Qt::DashDotLine);
      break;
    case Pattern::kDashDotDotLine:
      pen.setStyle(Qt::DashDotDotLine);
      break;
    default:
      break;
  }
  return pen;
}

void DrawSwatch(QPainter& painter, const QRectF& box, Means means) {
  const Pattern pattern = marks::MarkOf(means).pattern;
  painter.save();
  painter.setRenderHint(QPainter::Antialiasing, true);
  painter.setBrush(Qt::NoBrush);
  const QPointF c = box.center();
  const double half = box.height() / 2 - 1.5;
  if (pattern >= Pattern::kSolidLine && pattern <= Pattern::kDashDotDotLine) {
    painter.fillRect(box, QColor(0x2A, 0x2A, 0x2A));  // as on the picture, where light lines are drawn on dark
    painter.setPen(PenOfMark(means, 2.2));
    painter.drawLine(QPointF(box.left() + 1, c.y()), QPointF(box.right() - 1, c.y()));
  } else if (pattern >= Pattern::kCircle) {
    painter.fillRect(box, QColor(0x2A, 0x2A, 0x2A));
    painter.setPen(QPen(ColourOf(means), 2));
    if (pattern == Pattern::kCircle) painter.drawEllipse(c, half, half);
    if (pattern == Pattern::kSquare) painter.drawRect(QRectF(c.x() - half, c.y() - half, 2 * half, 2 * half));
    if (pattern == Pattern::kTriangle)
      painter.drawPolygon(
          QPolygonF({{c.x() - half, c.y() + half}, {c.x() + half, c.y() + half}, {c.x(), c.y() - half}}));
  } else {
    FillMark(painter, box, means);
  }
  painter.restore();
}

double DrawAlongRing(QPainter& painter, QPointF centre, double radius, double middle_deg, const QString& text) {
  painter.save();
  painter.translate(centre);
  const double span = report::DrawAlongRing(painter, radius, middle_deg, text, Qt::black, QPen(Qt::white, 3));
  painter.restore();
  return span;
}

}  // namespace app::viewer
