#include <cmath>

#include "app/notes/kinds.h"
#include "app/viewer/page_paint_parts.h"
#include "vision/bore/angle.h"

namespace app::viewer {

void PaintToes(const LinePaint& p) {
  const auto& profile = p.desk.edited().profile;
  const auto y_of = [&](double z) { return p.layout.YOnLine(z, p.line); };
  for (const auto* toe : {&profile.left_toe_z_mm, &profile.right_toe_z_mm}) {
    const QPainterPath path = Polyline(p, *toe, y_of);
    StrokePieces(p.painter, path, QPen(QColor(0, 0, 0, 150), 3));
    StrokePieces(p.painter, path, QPen(ink::kToe, 1.3));
  }
  // By hand: dashed over it, so that it is never taken for measured.
  for (const auto& toe : p.desk.notes().toes) PaintDrawing(p, toe.points, true);
}

namespace {

/// Theta of a shape's points, unwrapped from the first, shifted to where the line of the page shows them.
std::vector<QPointF> OnLine(const LinePaint& p, const std::vector<notes::Place>& points, double turn_deg) {
  std::vector<QPointF> spots;
  double theta = 0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    theta = i == 0 ? vision::bore::Wrap360(points[0].theta_deg)
                   : theta + vision::bore::Wrap180(points[i].theta_deg - points[i - 1].theta_deg);
    spots.emplace_back(p.layout.XOnLine(theta + turn_deg, p.line), p.layout.YOnLine(points[i].z_mm, p.line));
  }
  return spots;
}

void PaintShape(const LinePaint& p, notes::Shape shape, const std::vector<QPointF>& spots, const QColor& colour) {
  if (spots.empty()) return;
  for (const QPen& pen : {QPen(QColor(0, 0, 0, 170), 4), QPen(colour, 2)}) {
    p.painter.setPen(pen);
    p.painter.setBrush(Qt::NoBrush);
    const QPolygonF polygon(QList<QPointF>(spots.begin(), spots.end()));
    if (shape == notes::Shape::kBox && spots.size() == 2)
      p.painter.drawRect(QRectF(spots[0], spots[1]).normalized());
    else if (shape == notes::Shape::kOutline)
      p.painter.drawPolygon(polygon);
    else if (shape == notes::Shape::kLine)
      p.painter.drawPolyline(polygon);
    for (const QPointF& spot : spots) p.painter.drawEllipse(spot, 3.5, 3.5);
  }
}

}  // namespace

void PaintIndications(const LinePaint& p) {
  const auto& reading = p.desk.edited();
  for (const auto& run : reading.unfused) {
    const auto arc = vision::bore::ArcBetween(run.start_deg, run.end_deg);
    const auto& toe = run.side == "left" ? reading.profile.left_toe_z_mm : reading.profile.right_toe_z_mm;
    for (double turn : {-360.0, 0.0, 360.0}) {
      const double x0 = p.layout.XOnLine(run.start_deg + turn, p.line),
                   x1 = p.layout.XOnLine(run.start_deg + arc.length_deg + turn, p.line);
      const QRectF strip = StripRectF(p);
      if (x1 < strip.left() || x0 > strip.right()) continue;
      double z = 0;
      int count = 0;
      for (std::size_t i = 0; i < toe.size(); ++i)
        if (std::isfinite(toe[i]) && arc.HoldsLine(reading.profile.theta_deg[i])) z += toe[i], ++count;
      const double side = run.side == "left" ? -1 : 1;
      const double y = p.layout.YOnLine((count ? z / count : 2.5 * side) + 1.6 * side, p.line);
      FillState(p.painter, {x0, y - 3, x1 - x0, 6}, vision::reading::Fusion::kUnfused);
    }
  }
  for (const auto& one : reading.indications)
    for (double turn : {0.0, 360.0}) {
      const auto spots = OnLine(p, {{one.theta_deg, one.z_mm}}, turn);
      const double half =
          std::max(6.0, 0.7 * p.layout.px_per_mm() * (std::isfinite(one.length_mm) ? one.length_mm : 1));
      p.painter.setPen(QPen(ink::kIndication, 2));
      p.painter.setBrush(Qt::NoBrush);
      p.painter.drawEllipse(spots[0], half, half);
    }
}

void PaintNotes(const LinePaint& p) {
  p.painter.setFont(Small(p.painter));
  for (const auto& note : p.desk.notes().notes) {
    const auto* kind = notes::FindKind(note.kind);
    const bool marked = kind && kind->marked_place;
    for (double turn : {-360.0, 0.0, 360.0}) {
      const auto spots = OnLine(p, note.points, turn);
      if (spots.back().x() < 0 && spots.front().x() < 0) continue;
      PaintShape(p, note.shape, spots, marked ? ink::kMarked : ink::kNote);
      const QString label =
          note.shape == notes::Shape::kText ? QString::fromStdString(note.text) : QString("%1").arg(note.id);
      DrawTextOn(p.painter, QRectF(spots[0].x() + 8, spots[0].y() - 20, 260, 15), Qt::AlignLeft | Qt::AlignVCenter,
                 label);
      if (marked) {
        p.painter.setPen(QPen(ink::kMarked, 1.6, Qt::DotLine));
        const QRectF strip = StripRectF(p);
        p.painter.drawLine(QPointF(spots[0].x(), strip.top()), QPointF(spots[0].x(), strip.bottom()));
      }
    }
  }
}

void PaintOtherNotes(const LinePaint& p, const notes::Notes& notes) {
  p.painter.setFont(Small(p.painter));
  for (const auto& note : notes.notes)
    for (double turn : {-360.0, 0.0, 360.0}) {
      const auto spots = OnLine(p, note.points, turn);
      if (spots.back().x() < 0 && spots.front().x() < 0) continue;
      PaintShape(p, note.shape, spots, Qt::white);
      const QString author = QString::fromStdString(note.by.author);
      DrawTextOn(p.painter, QRectF(spots[0].x() + 8, spots[0].y() + 6, 260, 15), Qt::AlignLeft | Qt::AlignVCenter,
                 PageView::tr("after %1, %2").arg(note.id).arg(author));
    }
}

void PaintStops(const LinePaint& p) {
  if (!p.desk.opened().welded) return;
  p.painter.setFont(Small(p.painter));
  const QRectF strip = StripRectF(p);
  for (const auto& stop : p.desk.opened().welded->times.stops) {
    const double theta = vision::bore::Wrap360(stop.theta_deg);
    for (double turn : {0.0, 360.0}) {
      const double x = p.layout.XOnLine(theta + turn, p.line);
      if (x < strip.left() || x > strip.right()) continue;
      for (const QPen& pen : {QPen(QColor(0, 0, 0, 170), 4), QPen(ink::kMarked, 2, Qt::DotLine)}) {
        p.painter.setPen(pen);
        p.painter.drawLine(QPointF(x, strip.top()), QPointF(x, strip.bottom()));
      }
      DrawTextOn(p.painter, QRectF(x + 6, strip.bottom() - 18, 200, 15), Qt::AlignLeft | Qt::AlignVCenter,
                 PageView::tr("stop %1 s").arg(stop.to_s - stop.from_s, 0, 'f', 1));
    }
  }
}

void PaintDrawing(const LinePaint& p, const std::vector<notes::Place>& points, bool toe) {
  if (points.empty()) return;
  for (double turn : {-360.0, 0.0, 360.0}) {
    const auto spots = OnLine(p, points, turn);
    const QPolygonF polygon(QList<QPointF>(spots.begin(), spots.end()));
    p.painter.setPen(QPen(Qt::black, 4));
    p.painter.drawPolyline(polygon);
    p.painter.setPen(QPen(toe ? ink::kToeByHand : ink::kNote, 2.2, Qt::DashLine));
    p.painter.drawPolyline(polygon);
    for (const QPointF& spot : spots) p.painter.drawRect(QRectF(spot.x() - 3, spot.y() - 3, 6, 6));
  }
}

void PaintCursor(const LinePaint& p, double theta_deg, double z_mm) {
  const QRectF strip = StripRectF(p);
  for (double turn : {-360.0, 0.0, 360.0}) {
    const double x = p.layout.XOnLine(theta_deg + turn, p.line), y = p.layout.YOnLine(z_mm, p.line);
    if (x < strip.left() - 1 || x > strip.right() + 1) continue;
    for (const QPen& pen : {QPen(QColor(0, 0, 0, 160), 3), QPen(Qt::white, 1)}) {
      p.painter.setPen(pen);
      p.painter.drawLine(QPointF(x, strip.top()), QPointF(x, y - 8));
      p.painter.drawLine(QPointF(x, y + 8), QPointF(x, strip.bottom()));
      p.painter.drawLine(QPointF(x - 26, y), QPointF(x - 8, y));
      p.painter.drawLine(QPointF(x + 8, y), QPointF(x + 26, y));
    }
  }
}

}  // namespace app::viewer
