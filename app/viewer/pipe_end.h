#pragma once

#include <QPainter>
#include <QPainterPath>
#include <cmath>

#include "vision/bore/angle.h"

/// The pipe's end as drawn on both end views. Degrees as seen on the drawing: 0 up, growing clockwise.
namespace app::viewer {

inline QPointF OnRing(QPointF centre, double radius, double seen_deg) {
  const double a = seen_deg * vision::bore::kRadPerDeg;
  return {centre.x() + radius * std::sin(a), centre.y() - radius * std::cos(a)};
}

inline QPainterPath RingSector(QPointF centre, double outer, double inner, double from_deg, double sweep_deg) {
  // Qt counts from 3 o'clock counter-clockwise; here from 12 o'clock clockwise.
  const auto box = [&](double r) { return QRectF(centre.x() - r, centre.y() - r, 2 * r, 2 * r); };
  QPainterPath path;
  path.arcMoveTo(box(outer), 90 - from_deg);
  path.arcTo(box(outer), 90 - from_deg, -sweep_deg);
  path.arcTo(box(inner), 90 - from_deg - sweep_deg, sweep_deg);
  path.closeSubpath();
  return path;
}

/// The cut wall, hatched as a section is on a drawing.
inline void PaintCutWall(QPainter& painter, QPointF centre, double outer, double inner, const QColor& ink) {
  QPainterPath wall;
  wall.addEllipse(centre, outer, outer);
  wall.addEllipse(centre, inner, inner);
  painter.setPen(QPen(ink, 1.5));
  painter.setBrush(QBrush(ink, Qt::BDiagPattern));
  painter.drawPath(wall);
}

}  // namespace app::viewer
