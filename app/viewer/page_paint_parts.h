#pragma once

#include <QPainterPath>
#include <cmath>
#include <functional>

#include "app/viewer/page_paint.h"

/// What both files that paint the page share. Used by them only.
namespace app::viewer {

inline QRectF StripRectF(const LinePaint& p) {
  const Rect r = p.layout.StripRect(p.line);
  return {r.x, r.y, r.width, r.height};
}

inline QFont Small(const QPainter& painter, bool bold = false) {
  QFont font = painter.font();
  font.setPixelSize(11);
  font.setBold(bold);
  return font;
}

/// Calls `visit(i, x)` for every station line on the line of the page, unwrapped, one beyond either end.
template <class Visit>
void EachStation(const LinePaint& p, std::size_t lines, Visit visit) {
  if (lines == 0) return;
  const auto [from, to] = p.layout.ThetaSpan(p.line);
  const double step = 360.0 / static_cast<double>(lines);
  for (long k = std::lround(std::floor(from / step)) - 1; static_cast<double>(k) * step <= to + step; ++k) {
    const auto i = static_cast<std::size_t>(((k % static_cast<long>(lines)) + static_cast<long>(lines)) %
                                            static_cast<long>(lines));
    visit(i, p.layout.XOnLine(static_cast<double>(k) * step, p.line));
  }
}

/// A polyline that breaks where a number is absent.
inline QPainterPath Polyline(const LinePaint& p, const std::vector<double>& values,
                             const std::function<double(double)>& y_of) {
  QPainterPath path;
  bool open = false;
  EachStation(p, values.size(), [&](std::size_t i, double x) {
    if (!std::isfinite(values[i])) {
      open = false;
      return;
    }
    const QPointF at(x, y_of(values[i]));
    open ? path.lineTo(at) : path.moveTo(at);
    open = true;
  });
  return path;
}

/// Strokes a long line piece by piece: Qt's rasterizer takes many times as long for one path across the page.
inline void StrokePieces(QPainter& painter, const QPainterPath& path, QPen pen) {
  constexpr qsizetype kPiece = 16;
  pen.setCapStyle(Qt::FlatCap);
  painter.setPen(pen);
  for (const QPolygonF& line : path.toSubpathPolygons())
    for (qsizetype from = 0; from + 1 < line.size(); from += kPiece) painter.drawPolyline(line.mid(from, kPiece + 1));
}

/// White on a dark ground, readable on any picture.
inline void DrawTextOn(QPainter& painter, const QRectF& rect, int flags, const QString& text) {
  painter.fillRect(painter.boundingRect(rect, flags, text).adjusted(-3, 0, 3, 0), QColor(0, 0, 0, 165));
  painter.setPen(Qt::white);
  painter.drawText(rect, flags, text);
}

}  // namespace app::viewer
