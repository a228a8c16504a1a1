#include <cmath>

#include "app/notes/kinds.h"
#include "app/viewer/page_paint_parts.h"
#include "vision/bore/angle.h"

namespace app::viewer {

namespace {

/// Who decided and why, without the date: the list has it.
QString WhoAndWhy(const known::Decision& decision) {
  const QString by = decision.by.empty() ? PageView::tr("a person") : QString::fromStdString(decision.by),
                why = decision.why.empty() ? PageView::tr("no reason given") : QString::fromStdString(decision.why);
  return (decision.what == known::Decision::What::kOverruled ? PageView::tr("overruled by %1 because: %2")
                                                             : PageView::tr("by hand, %1, because: %2"))
      .arg(by, why);
}

/// A sentence beside a place, cut where there is no room for it.
void Label(const LinePaint& p, double x, double y, const QString& text) {
  constexpr double kWide = 420;
  p.painter.setFont(Small(p.painter));
  DrawTextOn(p.painter, QRectF(x, y, kWide, 15), Qt::AlignLeft | Qt::AlignVCenter,
             p.painter.fontMetrics().elidedText(text, Qt::ElideRight, static_cast<int>(kWide) - 6));
}

}  // namespace

void PaintToes(const LinePaint& p) {
  const auto& profile = p.desk.known().measured.profile;
  const auto y_of = [&](double z) { return p.layout.YOnLine(z, p.line); };
  for (const auto* toe : {&profile.left_toe_z_mm, &profile.right_toe_z_mm}) {
    const QPainterPath path = Polyline(p, *toe, y_of);
    StrokePieces(p.painter, path, QPen(QColor(0, 0, 0, 150), 3.6));
    StrokePieces(p.painter, path, PenOfMark(marks::Means::kToe, 1.8));
  }
  // By hand: dashed beside the measured one, which stays.
  for (const auto& toe : p.desk.known().toes) {
    PaintDrawing(p, toe.set.points, marks::Means::kToeByHand);
    for (const double turn : {-360.0, 0.0, 360.0}) {
      const auto& first = toe.set.points.front();
      Label(p, p.layout.XOnLine(first.theta_deg + turn, p.line) + 6,
            p.layout.YOnLine(first.z_mm, p.line) + (toe.set.side == "left" ? -22 : 8), WhoAndWhy(toe.decided));
    }
  }
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

namespace {

double MeanToe(const vision::reading::Reading& reading, const vision::reading::UnfusedRun& run) {
  const auto arc = vision::bore::ArcBetween(run.start_deg, run.end_deg);
  const auto& toe = run.side == "left" ? reading.profile.left_toe_z_mm : reading.profile.right_toe_z_mm;
  double z = 0;
  int count = 0;
  for (std::size_t i = 0; i < toe.size(); ++i)
    if (std::isfinite(toe[i]) && arc.HoldsLine(reading.profile.theta_deg[i])) z += toe[i], ++count;
  return count > 0 ? z / count : run.side == "left" ? -2.5 : 2.5;
}

/// Beside the toe, so that the edge itself stays free; what a person overruled keeps its bar and says so.
void PaintRun(const LinePaint& p, const known::Run& run) {
  const double side = run.run.side == "left" ? -1 : 1;
  const double length = vision::bore::ArcBetween(run.run.start_deg, run.run.end_deg).length_deg;
  const double y = p.layout.YOnLine(MeanToe(p.desk.known().decided, run.run) + 1.6 * side, p.line);
  const QRectF strip = StripRectF(p);
  const auto means = run.overruled() ? marks::Means::kOverruled
                     : run.measured  ? marks::Means::kUnfused
                                     : marks::Means::kUnfusedByHand;
  for (const double turn : {-360.0, 0.0, 360.0}) {
    const double x0 = p.layout.XOnLine(run.run.start_deg + turn, p.line),
                 x1 = p.layout.XOnLine(run.run.start_deg + length + turn, p.line);
    if (x1 < strip.left() || x0 > strip.right()) continue;
    FillMark(p.painter, QRectF(x0, y - 4, x1 - x0, 8), means);
    if (run.overruled()) Label(p, std::max(x0, strip.left()) + 4, y + (side < 0 ? -22 : 8), WhoAndWhy(*run.decided));
  }
}

}  // namespace

void PaintIndications(const LinePaint& p) {
  for (const auto& run : p.desk.known().runs) PaintRun(p, run);
  for (const auto& one : p.desk.known().found)
    for (const double turn : {0.0, 360.0}) {
      const auto& seen = one.indication;
      const auto spots = OnLine(p, {{seen.theta_deg, seen.z_mm}}, turn);
      const double half =
          std::max(6.0, 0.7 * p.layout.px_per_mm() * (std::isfinite(seen.length_mm) ? seen.length_mm : 1));
      p.painter.setPen(QPen(ColourOf(one.overruled() ? marks::Means::kOverruled : marks::Means::kIndication), 2));
      p.painter.setBrush(Qt::NoBrush);
      p.painter.drawEllipse(spots[0], half, half);
      if (!one.overruled()) continue;
      p.painter.drawLine(spots[0] + QPointF(-half, -half), spots[0] + QPointF(half, half));
      p.painter.drawLine(spots[0] + QPointF(-half, half), spots[0] + QPointF(half, -half));
      Label(p, spots[0].x() + half + 4, spots[0].y() - 7, WhoAndWhy(*one.decided));
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
      PaintShape(p, note.shape, spots, ColourOf(marked ? marks::Means::kMarkedPlace : marks::Means::kNote));
      const QString label =
          note.shape == notes::Shape::kText ? QString::fromStdString(note.text) : QString("%1").arg(note.id);
      DrawTextOn(p.painter, QRectF(spots[0].x() + 8, spots[0].y() - 20, 260, 15), Qt::AlignLeft | Qt::AlignVCenter,
                 label);
      if (marked) {
        p.painter.setPen(PenOfMark(marks::Means::kMarkedPlace, 1.6));
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
      for (const QPen& pen : {QPen(QColor(0, 0, 0, 170), 4), PenOfMark(marks::Means::kStop, 2)}) {
        p.painter.setPen(pen);
        p.painter.drawLine(QPointF(x, strip.top()), QPointF(x, strip.bottom()));
      }
      DrawTextOn(p.painter, QRectF(x + 6, strip.bottom() - 18, 200, 15), Qt::AlignLeft | Qt::AlignVCenter,
                 PageView::tr("stop %1 s").arg(stop.to_s - stop.from_s, 0, 'f', 1));
    }
  }
}

void PaintDrawing(const LinePaint& p, const std::vector<notes::Place>& points, marks::Means means) {
  if (points.empty()) return;
  for (double turn : {-360.0, 0.0, 360.0}) {
    const auto spots = OnLine(p, points, turn);
    const QPolygonF polygon(QList<QPointF>(spots.begin(), spots.end()));
    p.painter.setPen(QPen(Qt::black, 4));
    p.painter.drawPolyline(polygon);
    p.painter.setPen(QPen(ColourOf(means), 2.2, Qt::DashLine));
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
