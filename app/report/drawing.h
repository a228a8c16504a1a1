#pragma once

#include <QColor>
#include <QFont>
#include <QPainter>
#include <QPainterPath>

#include "app/marks/marks.h"

/// Small tools for figures: 1 unit = 0.1 mm on paper. Patterns are drawn as lines and dots of known size, because the
/// brush patterns of a painter shrink to grey at the resolution of a printer.
namespace app::report {

/// Names the family on every page; embedded in the PDF.
inline constexpr const char* kFontFamily = "DejaVu Sans";

/// @param height_mm Size of the letters, mm (2.8 mm = 8 points).
QFont FontOf(double height_mm, bool bold = false);

/// "Original edge visible": dense slanted lines.
void FillHatched(QPainter& painter, const QPainterPath& area);
/// "Not visible": sparse dots.
void FillDotted(QPainter& painter, const QPainterPath& area);

/// Fills with the pattern of a meaning (app/marks), in black, as it is printed. Patterns of areas only.
void FillWith(QPainter& painter, const QPainterPath& area, marks::Pattern pattern);
/// The pen of a meaning's line or outline: dashes as its pattern has them.
QPen PenOf(marks::Pattern pattern, const QColor& colour, double width);
inline QColor ColourOf(marks::Means means) {
  const marks::Rgb& rgb = marks::MarkOf(means).colour;
  return {rgb.r, rgb.g, rgb.b};
}

/// Writes along a circle about the origin, centred on `middle_deg` (clockwise from the top), the feet toward the centre
/// in the upper half and away from it in the lower one, so that it is never upside down; with a line of `rim` round
/// every letter. Uses the painter's font; @return the degrees it takes.
double DrawAlongRing(QPainter& painter, double radius, double middle_deg, const QString& text, const QColor& ink,
                     QPen rim);

/// Sector of a ring about the origin; angles clockwise from the top, radii in units.
QPainterPath RingSector(double inner, double outer, double start_deg, double length_deg);

/// A number in a circle that ties a place in a figure to a row of a table.
void DrawTag(QPainter& painter, QPointF centre, int number);

/// Text centred on `centre`, on one line.
void DrawCentred(QPainter& painter, QPointF centre, const QString& text);

}  // namespace app::report
