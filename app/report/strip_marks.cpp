#include "app/report/strip_marks.h"

#include <algorithm>
#include <cmath>

#include "app/report/content.h"
#include "app/report/drawing.h"
#include "vision/bore/angle.h"

namespace app::report {
namespace {

using marks::Means;

/// White on black: seen on bright and on dark metal. By hand: dashes.
void StrokeToe(QPainter& painter, const QPolygonF& line, bool by_hand) {
  if (line.size() < 2) return;
  painter.setPen(QPen(Qt::black, by_hand ? 8 : 5.5, Qt::SolidLine, Qt::FlatCap, Qt::RoundJoin));
  painter.drawPolyline(line);
  QPen pen(Qt::white, by_hand ? 5 : 2.2, Qt::SolidLine, Qt::FlatCap, Qt::RoundJoin);
  if (by_hand) pen.setDashPattern({2.4, 1.6});
  painter.setPen(pen);
  painter.drawPolyline(line);
}

/// Broken where there is no toe. @param only Lines to draw; empty = all.
void DrawToe(QPainter& painter, const StripRow& row, const std::vector<double>& theta, const std::vector<double>& z,
             const std::vector<bool>& only) {
  QPolygonF line;
  for (std::size_t i = 0; i <= theta.size() && !theta.empty(); ++i) {
    const double at = i < theta.size() ? theta[i] : 360.0;  // the line closes at 360
    const double mm = z[i % z.size()];
    const bool here = std::isfinite(mm) && (only.empty() || only[i % only.size()]) && at >= row.from_deg - 1e-6 &&
                      at <= row.to_deg + 1e-6 && mm >= row.z_from_mm && mm <= row.z_to_mm;
    if (here) {
      line << QPointF(row.X(at), row.Y(mm));
    } else {
      StrokeToe(painter, line, !only.empty());
      line.clear();
    }
  }
  StrokeToe(painter, line, !only.empty());
}

/// The part of [start, end] (clockwise, may wrap) that lies on this row; none when empty.
std::vector<std::pair<double, double>> PartsOn(const StripRow& row, double start_deg, double end_deg) {
  const double start = vision::bore::Wrap360(start_deg);
  const double length = end_deg - start_deg >= 360 ? 360 : vision::bore::Wrap360(end_deg - start_deg);
  std::vector<std::pair<double, double>> parts;
  for (const double turn : {-360.0, 0.0}) {
    const double from = std::max(start + turn, row.from_deg), to = std::min(start + turn + length, row.to_deg);
    if (from < to) parts.push_back({from, to});
  }
  return parts;
}

/// A band along the edge of the picture on the run's own side, with the number of its row in the table.
void DrawRuns(QPainter& painter, const StripRow& row, const std::vector<known::Run>& runs) {
  const double high = std::clamp(row.box.height() * 0.16, 16.0, 26.0);
  for (std::size_t i = 0; i < runs.size(); ++i) {
    const double y = runs[i].run.side == "left" ? row.box.top() + 4 : row.box.bottom() - 4 - high;
    for (const auto& [from, to] : PartsOn(row, runs[i].run.start_deg, runs[i].run.end_deg)) {
      QPainterPath band;
      band.addRect(QRectF(row.X(from), y, std::max(8.0, row.X(to) - row.X(from)), high));
      painter.fillPath(band, Qt::white);
      FillWith(painter, band, marks::MarkOf(MeansOf(runs[i])).pattern);
      DrawTag(painter, {std::clamp(row.X((from + to) / 2), row.box.left() + 22, row.box.right() - 22), y + high / 2},
              static_cast<int>(i) + 1);
    }
  }
}

bool OnRow(const StripRow& row, double theta_deg, double z_mm) {
  return theta_deg >= row.from_deg && theta_deg < row.to_deg && z_mm >= row.z_from_mm && z_mm <= row.z_to_mm;
}

/// An outline in black with a white rim.
template <class Draw>
void TwoPens(QPainter& painter, const QPen& pen, Draw draw) {
  painter.setBrush(Qt::NoBrush);
  painter.setPen(QPen(Qt::white, pen.widthF() + 5));
  draw();
  painter.setPen(pen);
  draw();
}

void DrawFound(QPainter& painter, const StripRow& row, const std::vector<known::Found>& found) {
  for (const auto& one : found) {
    const auto& it = one.indication;
    if (!one.measured) continue;  // drawn as the note it is
    if (!OnRow(row, vision::bore::Wrap360(it.theta_deg), it.z_mm)) continue;
    const QPointF at(row.X(vision::bore::Wrap360(it.theta_deg)), row.Y(it.z_mm));
    const double r = std::max(16.0, 0.7 * row.units_per_mm * (std::isfinite(it.length_mm) ? it.length_mm : 1));
    TwoPens(painter, QPen(Qt::black, 3.5), [&] {
      painter.drawEllipse(at, r, r);
      if (!one.overruled()) return;  // struck out, still there
      painter.drawLine(at + QPointF(-r, -r), at + QPointF(r, r));
      painter.drawLine(at + QPointF(-r, r), at + QPointF(r, -r));
    });
  }
}

void DrawSeen(QPainter& painter, const StripRow& row, const known::Seen& seen) {
  std::vector<QPointF> spots;
  double theta = 0;
  for (std::size_t i = 0; i < seen.note.points.size(); ++i) {
    const auto& place = seen.note.points[i];
    theta = i == 0 ? vision::bore::Wrap360(place.theta_deg)
                   : theta + vision::bore::Wrap180(place.theta_deg - seen.note.points[i - 1].theta_deg);
    spots.emplace_back(row.X(theta), row.Y(place.z_mm));
  }
  if (spots.empty()) return;
  painter.save();
  painter.setClipRect(row.box, Qt::IntersectClip);
  const QPolygonF polygon(QList<QPointF>(spots.begin(), spots.end()));
  if (seen.marked_place)
    TwoPens(painter, PenOf(marks::Pattern::kDottedLine, Qt::black, 4),
            [&] { painter.drawLine(QPointF(spots[0].x(), row.box.top()), QPointF(spots[0].x(), row.box.bottom())); });
  TwoPens(painter, QPen(Qt::black, 3.5), [&] {
    if (seen.note.shape == notes::Shape::kBox && spots.size() == 2)
      painter.drawRect(QRectF(spots[0], spots[1]).normalized());
    else if (seen.note.shape == notes::Shape::kOutline)
      painter.drawPolygon(polygon);
    else if (spots.size() > 1)
      painter.drawPolyline(polygon);
    else
      painter.drawRect(QRectF(spots[0].x() - 13, spots[0].y() - 13, 26, 26));
  });
  painter.setFont(FontOf(2.4, true));
  const QString label = "N" + QString::number(seen.note.id);
  const QRectF plate(std::min(spots[0].x() + 18, row.box.right() - 60), spots[0].y() - 40, 56, 32);
  painter.fillRect(plate, QColor(255, 255, 255, 225));
  painter.setPen(ink::kText);
  painter.drawText(plate, Qt::AlignCenter, label);
  painter.restore();
}

}  // namespace

marks::Means MeansOf(const known::Run& run) {
  return run.overruled() ? Means::kOverruled : run.measured ? Means::kUnfused : Means::kUnfusedByHand;
}

void DrawMarks(QPainter& painter, const StripRow& row, const known::Known& known) {
  const auto& measured = known.measured.profile;
  const auto& decided = known.decided.profile;
  DrawToe(painter, row, measured.theta_deg, measured.left_toe_z_mm, {});
  DrawToe(painter, row, measured.theta_deg, measured.right_toe_z_mm, {});
  if (!known.toes.empty()) {
    DrawToe(painter, row, measured.theta_deg, decided.left_toe_z_mm, known.by_hand_a);
    DrawToe(painter, row, measured.theta_deg, decided.right_toe_z_mm, known.by_hand_b);
  }
  DrawRuns(painter, row, known.runs);
  DrawFound(painter, row, known.found);
  for (const auto& seen : known.seen)
    if (!seen.note.points.empty()) DrawSeen(painter, row, seen);
}

void DrawKey(QPainter& painter, const QRectF& box, Means means) {
  const double y = box.center().y();
  QPolygonF line{QPointF(box.left(), y), QPointF(box.right(), y)};
  switch (marks::MarkOf(means).pattern) {
    case marks::Pattern::kSolidLine:
      return StrokeToe(painter, line, false);
    case marks::Pattern::kDashedLine:
      return StrokeToe(painter, line, true);
    case marks::Pattern::kDottedLine:
      painter.setPen(PenOf(marks::Pattern::kDottedLine, Qt::black, 4));
      return painter.drawPolyline(line);
    case marks::Pattern::kCircle:
      painter.setPen(QPen(Qt::black, 3.5));
      painter.setBrush(Qt::NoBrush);
      return painter.drawEllipse(box.center(), 16, 16);
    case marks::Pattern::kSquare:
      painter.setPen(QPen(Qt::black, 3.5));
      painter.setBrush(Qt::NoBrush);
      return painter.drawRect(QRectF(box.center().x() - 13, y - 13, 26, 26));
    default:
      break;
  }
  QPainterPath path;
  path.addRect(box);
  FillWith(painter, path, marks::MarkOf(means).pattern);
  painter.setPen(QPen(ink::kText, 3));
  painter.setBrush(Qt::NoBrush);
  painter.drawPath(path);
}

}  // namespace app::report
