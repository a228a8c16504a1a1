#pragma once

#include <QColor>
#include <QPainter>
#include <QPainterPath>
#include <QString>

#include "app/known/known.h"
#include "app/marks/marks.h"

/// How the one table of colours and patterns (app/marks) is painted on a screen.
namespace app::viewer {

inline QColor ColourOf(marks::Means means) {
  const auto& rgb = marks::MarkOf(means).colour;
  return {rgb.r, rgb.g, rgb.b};
}

marks::Means MeansOf(known::Edge edge);

/// Colour and pattern of an area; patterns are in pixels, so that they look alike at every scale.
void FillMark(QPainter& painter, const QPainterPath& area, marks::Means means);
void FillMark(QPainter& painter, const QRectF& area, marks::Means means);

/// Pen of a line or outline, dashed as its pattern is.
QPen PenOfMark(marks::Means means, double width);

/// What a legend shows beside its words: a filled box, a piece of line, or an outline.
void DrawSwatch(QPainter& painter, const QRectF& box, marks::Means means);

/// Written along a ring about `centre`, never upside down, every letter with a rim so that it is read on any pattern.
/// @param middle_deg As seen, clockwise from up. @return Degrees it takes.
double DrawAlongRing(QPainter& painter, QPointF centre, double radius, double middle_deg, const QString& text);

}  // namespace app::viewer
