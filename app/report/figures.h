#pragma once

#include <QImage>
#include <optional>
#include <vector>

#include "app/report/content.h"
#include "app/report/report.h"

/// The drawings of the record. Each is painted by one function, for PDF and HTML alike; none needs colour to be read.
namespace app::report {

/// How far the strip is shown either side of z = 0, mm: bead and the zone of 12.7 mm beside it.
inline constexpr double kShownHalfWidthMm = 16.0;

/// The strip with not-seen cells dotted, cut in as many rows as give at least life size at `width_mm`.
/// @param strip The picture; null = no picture was written, no figures. @param seen Mask, 0 = not seen; may be null.
std::vector<Figure> StripFigures(const known::Known& known, const QImage& strip, const QImage& seen, double width_mm);

/// State of both edges of the insert around the joint, looking along +z from piece a: piece a is the outer ring
/// (app/marks/rings.h), and each ring bears its piece's name.
/// @param scale Of the rings; the legend, of rings and strip, keeps its size.
Figure EndViewFigure(const known::Known& known, double width_mm, double scale = 1);

/// Width of the root over theta with its band of +-U, the user's limit where one was given, and the stretches that rest
/// on a toe set by hand.
Figure RibbonFigure(const known::Known& known, const std::optional<WidthLimit>& limit, double width_mm);

/// The whole ring on one row, smaller than life where it must be: the strip of page one.
std::optional<Figure> StripOverview(const known::Known& known, const QImage& strip, const QImage& seen,
                                    double width_mm);

/// Rows into which a circumference of `circumference_mm` is cut so that a row of `width_mm` is at least life size: the
/// smallest of 1, 2, 3, 4, 6, 12 that does, 12 when none does. Every cut falls on a clock hour.
int StripRows(double circumference_mm, double width_mm);

}  // namespace app::report
