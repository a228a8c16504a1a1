#pragma once

#include <QPainter>
#include <QPalette>

#include "app/viewer/marking.h"
#include "app/viewer/page_view.h"

/// What is painted over and beside the strip, one function a thing. Each paints one line of the page.
namespace app::viewer {

struct LinePaint {
  QPainter& painter;
  const PageLayout& layout;
  const Desk& desk;
  const QPalette& palette;
  int line;
  Ruler ruler;
};

/// A mark of the ruler. Where the picture's up is not known it is in relative degrees and says so: there is no clock.
struct RulerMark {
  double theta_deg;  ///< Unwrapped along the line.
  QString label;
};
std::vector<RulerMark> RulerMarksOf(const LinePaint& p);

void PaintRuler(const LinePaint& p);
void PaintFusionEdges(const LinePaint& p);  ///< Two bands that hug the strip's own edges.
void PaintRibbon(const LinePaint& p, const Ribbon& ribbon, const QRectF& area);
void PaintRibbons(const LinePaint& p);
void PaintToes(const LinePaint& p);
/// What the fitted reader saw: +-2u about either toe, and along either edge of the strip how likely the insert's own
/// edge is still there (0 at the strip's edge).
void PaintReader(const LinePaint& p);
void PaintIndications(const LinePaint& p);
void PaintNotes(const LinePaint& p);
void PaintOtherNotes(const LinePaint& p, const notes::Notes& notes);  ///< Of the recording laid on this one.
void PaintFilm(const LinePaint& p);                                   ///< The radiograph, below the line.
void PaintStops(const LinePaint& p);                                  ///< Where welding stopped.
void PaintDrawing(const LinePaint& p, const std::vector<notes::Place>& points, marks::Means means);
void PaintCursor(const LinePaint& p, double theta_deg, double z_mm);
bool PaintScaleBar(const LinePaint& p, const Units& units);  ///< @return false where the line is too short for it.

constexpr int kFilm = 40;  ///< Height of the film below a line.

/// Heights above and below a line for the ribbons in use.
std::pair<int, int> MarginsFor(const Layers& layers, const std::vector<Ribbon>& ribbons, bool film);

}  // namespace app::viewer
