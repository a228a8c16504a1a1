#pragma once

#include <QPainter>
#include <QPalette>

#include "app/viewer/page_view.h"

/// What is painted over and beside the strip, one function a thing. Each paints one line of the page.
namespace app::viewer {

/// Colours that stay apart for people who see colours differently (Okabe and Ito, 2008), always with a pattern beside.
namespace ink {
inline const QColor kUnfused(0xD5, 0x5E, 0x00), kFused(0x56, 0xB4, 0xE9), kDark(0x80, 0x80, 0x80),
    kToe(0xF0, 0xE4, 0x42), kToeByHand(0xE6, 0x9F, 0x00), kNote(0xCC, 0x79, 0xA7), kMarked(0x00, 0x9E, 0x73),
    kLimit(0xD5, 0x5E, 0x00), kIndication(0xE6, 0x9F, 0x00), kWidth(0x00, 0x72, 0xB2);
}

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
void PaintIndications(const LinePaint& p);
void PaintNotes(const LinePaint& p);
void PaintOtherNotes(const LinePaint& p, const notes::Notes& notes);  ///< Of the recording laid on this one.
void PaintFilm(const LinePaint& p);                                   ///< The radiograph, below the line.
void PaintStops(const LinePaint& p);                                  ///< Where welding stopped.
void PaintDrawing(const LinePaint& p, const std::vector<notes::Place>& points, bool toe);
void PaintCursor(const LinePaint& p, double theta_deg, double z_mm);
bool PaintScaleBar(const LinePaint& p, const Units& units);  ///< @return false where the line is too short for it.

/// Fills with the pattern of a state: slanted lines = edge visible, dots = not visible, plain = fused.
void FillState(QPainter& painter, const QRectF& rect, vision::reading::Fusion state);

constexpr int kFilm = 40;  ///< Height of the film below a line.

/// Heights above and below a line for the ribbons in use.
std::pair<int, int> MarginsFor(const Layers& layers, const std::vector<Ribbon>& ribbons, bool film);

}  // namespace app::viewer
