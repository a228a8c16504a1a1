#include <QPainter>
#include <cmath>

#include "app/report/change_page.h"
#include "app/report/drawing.h"
#include "app/report/text.h"
#include "vision/bore/angle.h"

namespace app::report {
namespace {

using compare::SaidChange;
using vision::bore::Wrap180;
using vision::bore::Wrap360;

constexpr double kLeft = 88, kGap = 26, kTop = 96, kBelow = 20;  // units, 0.1 mm

/// One of the pictures on paper, same scale both ways.
struct Pane {
  QRectF box;
  double units_per_column = 1, units_per_row = 1;
  const compare::SaidPicture* shown = nullptr;

  double X(double theta_deg) const {
    const double middle = shown->theta_from_deg + 0.5 * (shown->columns - 1) * shown->theta_pitch_deg;
    const double off = shown->columns * shown->theta_pitch_deg > 359
                           ? Wrap360(theta_deg - shown->theta_from_deg)
                           : Wrap180(theta_deg - middle) + middle - shown->theta_from_deg;
    return box.left() + (off / shown->theta_pitch_deg + 0.5) * units_per_column;
  }
  double Y(double z_mm) const {
    return box.top() + ((z_mm - shown->z_from_mm) / shown->pitch_mm + 0.5) * units_per_row;
  }
};

void Stroke(QPainter& painter, const QPolygonF& line) {
  painter.setBrush(Qt::NoBrush);
  for (const auto& [colour, width] : {std::pair{Qt::white, 7.0}, std::pair{Qt::black, 3.2}}) {
    painter.setPen(QPen(colour, width, Qt::SolidLine, Qt::RoundCap, Qt::RoundJoin));
    painter.drawPolygon(line);
  }
}

void DrawOutlines(QPainter& painter, const Pane& pane, const SaidChange& change) {
  for (std::size_t i = 0; i < change.pockets.size(); ++i) {
    const auto& pocket = change.pockets[i];
    QPolygonF line;
    for (const auto& at : pocket.outline) line << QPointF(pane.X(at.theta_deg), pane.Y(at.z_mm));
    Stroke(painter, line);
    DrawTag(painter, {pane.X(pocket.middle.theta_deg), pane.Y(pocket.middle.z_mm - 0.5 * pocket.axial_mm)},
            static_cast<int>(i) + 1);
  }
}

/// A cross where an indication was followed.
void DrawFollowed(QPainter& painter, const Pane& pane, const SaidChange& change) {
  for (const auto& one : change.followed) {
    const QPointF at(pane.X(one.place.theta_deg), pane.Y(one.place.z_mm));
    if (!pane.box.contains(at)) continue;
    for (const auto& [colour, width] : {std::pair{Qt::white, 7.0}, std::pair{Qt::black, 3.0}}) {
      painter.setPen(QPen(colour, width));
      painter.drawLine(at - QPointF(14, 14), at + QPointF(14, 14));
      painter.drawLine(at - QPointF(14, -14), at + QPointF(14, -14));
    }
  }
}

void DrawScales(QPainter& painter, const Pane& pane, bool millimetres) {
  painter.setPen(QPen(ink::kText, 2));
  painter.setFont(FontOf(2.6));
  const auto& s = *pane.shown;
  const double length = s.columns * s.theta_pitch_deg, step = length > 120 ? 60 : length > 40 ? 10 : 5;
  for (double theta = std::ceil(s.theta_from_deg / step) * step; theta < s.theta_from_deg + length - 1; theta += step) {
    const double x = pane.box.left() + (theta - s.theta_from_deg) / s.theta_pitch_deg * pane.units_per_column;
    painter.drawLine(QPointF(x, pane.box.top()), QPointF(x, pane.box.top() - 10));
    DrawCentred(painter, {x, pane.box.top() - 26}, QString("%1°").arg(Wrap360(theta), 0, 'f', 0));
  }
  if (!millimetres) return;
  for (double z = std::ceil(s.z_from_mm / 5) * 5; z <= s.z_from_mm + s.rows * s.pitch_mm; z += 5) {
    painter.drawLine(QPointF(pane.box.left() - 10, pane.Y(z)), QPointF(pane.box.left(), pane.Y(z)));
    const QString label = (z > 0 ? "+" : z < 0 ? "−" : "") + QString::number(std::abs(z), 'f', 0);
    painter.drawText(QRectF(0, pane.Y(z) - 25, pane.box.left() - 16, 50), Qt::AlignRight | Qt::AlignVCenter,
                     z == 0 ? QString("z 0") : label);
  }
}

void DrawPane(QPainter& painter, const Pane& pane, const QImage& picture, int number, const SaidChange& change) {
  painter.setRenderHint(QPainter::SmoothPixmapTransform);
  painter.drawImage(pane.box, picture);
  painter.save();
  painter.setClipRect(pane.box);
  if (number > 1) DrawOutlines(painter, pane, change);
  DrawFollowed(painter, pane, change);
  painter.restore();
  painter.setPen(QPen(ink::kText, 3));
  painter.setBrush(Qt::NoBrush);
  painter.drawRect(pane.box);
  painter.setFont(FontOf(3.2, true));
  DrawCentred(painter, {pane.box.center().x(), pane.box.top() - 66}, QString(QChar('A' + number - 1)));
  DrawScales(painter, pane, pane.box.left() < 2 * kLeft);
}

}  // namespace

Figure ChangeFigure(const SaidChange& change, double width_mm) {
  const auto& shown = change.picture;
  const QImage pictures[] = {QImage(QString::fromStdString(shown.before.string())),
                             QImage(QString::fromStdString(shown.after.string())),
                             QImage(QString::fromStdString(shown.difference.string()))};
  const bool all_round = shown.columns * shown.theta_pitch_deg > 200;  // then they lie below each other
  const int across = all_round ? 1 : 3;
  const double high_per_wide = static_cast<double>(shown.rows) / shown.columns;
  const double wide = (width_mm * 10 - kLeft - (across - 1) * kGap - 6) / across;
  const double high = all_round ? std::max(wide * high_per_wide, 220.0) : wide * high_per_wide;
  std::vector<Pane> panes;
  for (int i = 0; i < 3; ++i) {
    const int row = i / across, column = i % across;
    panes.push_back({QRectF(kLeft + column * (wide + kGap), kTop + row * (high + kTop + kBelow), wide, high),
                     wide / shown.columns, high / shown.rows, nullptr});
  }
  Figure figure;
  figure.width_mm = width_mm;
  figure.height_mm = (panes.back().box.bottom() + kBelow) / 10;
  figure.title = Print::kChangeFigure;
  figure.text = Print::kChangeLegend;
  figure.paint = [panes, change, before = pictures[0], after = pictures[1], difference = pictures[2]](
                     QPainter& painter, const Wording&) mutable {
    int number = 0;
    for (const QImage* picture : {&before, &after, &difference}) {
      panes[static_cast<std::size_t>(number)].shown = &change.picture;
      DrawPane(painter, panes[static_cast<std::size_t>(number)], *picture, number + 1, change);
      ++number;
    }
  };
  return figure;
}

}  // namespace app::report
