#pragma once

#include <QPainter>

#include "app/known/known.h"
#include "app/marks/marks.h"

/// What stands on the strip on paper: toes, edges still visible, indications, what people drew. Each as app/marks says.
namespace app::report {

/// One row of the strip on paper.
struct StripRow {
  double from_deg = 0, to_deg = 360;
  double z_from_mm = 0, z_to_mm = 0;
  double units_per_mm = 10;  ///< Paper units for a millimetre of wall, the same both ways.
  QRectF box;                ///< Where the wall is drawn.

  double X(double theta_deg) const { return box.left() + box.width() * (theta_deg - from_deg) / (to_deg - from_deg); }
  double Y(double z_mm) const { return box.top() + (z_mm - z_from_mm) * units_per_mm; }
};

void DrawMarks(QPainter& painter, const StripRow& row, const known::Known& known);

/// The pattern of a run on paper: measured, seen by a person, or overruled.
marks::Means MeansOf(const known::Run& run);

/// A mark as a key of a legend, in `box`.
void DrawKey(QPainter& painter, const QRectF& box, marks::Means means);

}  // namespace app::report
