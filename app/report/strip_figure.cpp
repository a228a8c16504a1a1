#include <QPainter>
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "app/report/drawing.h"
#include "app/report/figures.h"
#include "app/report/strip_marks.h"
#include "app/report/text.h"
#include "app/report/wording.h"
#include "app/words/print.h"
#include "vision/bore/angle.h"

namespace app::report {

namespace {

constexpr double kLeft = 130, kTop = 135, kBottom = 75;  // room for rulers and labels, units

/// Cells that were not seen: pale with dots, so that nobody takes black for metal.
QImage MarkNotSeen(const QImage& strip, const QImage& seen) {
  QImage marked = strip.convertToFormat(QImage::Format_RGB32);
  if (seen.isNull() || seen.size() != strip.size()) return marked;
  const QImage mask = seen.convertToFormat(QImage::Format_Grayscale8);
  for (int y = 0; y < marked.height(); ++y) {
    auto* line = reinterpret_cast<QRgb*>(marked.scanLine(y));
    const uchar* keep = mask.constScanLine(y);
    for (int x = 0; x < marked.width(); ++x) {
      if (keep[x] != 0) continue;
      const int dx = (x + (y / 10 % 2) * 5) % 10 - 4, dy = y % 10 - 4;
      line[x] = dx * dx + dy * dy <= 3 ? qRgb(110, 110, 110) : qRgb(236, 236, 236);
    }
  }
  return marked;
}

void DrawPicture(QPainter& painter, const StripRow& row, const QImage& picture,
                 const vision::reading::StripPicture& strip) {
  // Cell centres lie on whole columns and rows, so the picture reaches half a cell beyond them.
  const double pitch = strip.theta_pitch_deg > 0 ? strip.theta_pitch_deg : 360.0 / picture.width();
  const QRectF source(row.from_deg / pitch, (row.z_from_mm - strip.z_from_mm) / strip.pitch_mm + 0.5,
                      (row.to_deg - row.from_deg) / pitch, (row.z_to_mm - row.z_from_mm) / strip.pitch_mm);
  painter.save();
  painter.setRenderHint(QPainter::SmoothPixmapTransform);
  painter.setClipRect(row.box, Qt::IntersectClip);
  painter.drawImage(row.box, picture.copy(source.toAlignedRect()),
                    source.translated(-source.toAlignedRect().topLeft()));
  painter.restore();
}

void DrawRulers(QPainter& painter, const Wording& wording, const StripRow& row, double radius_mm, bool relative) {
  const auto mark = [&](const Tick& tick, double y, double direction, double label_y, bool bold) {
    const double x = row.X(tick.theta_deg);
    painter.setPen(QPen(ink::kText, 2));
    painter.drawLine(QPointF(x, y), QPointF(x, y + direction * (tick.label.isEmpty() ? 8 : 15)));
    if (tick.label.isEmpty()) return;
    painter.setFont(FontOf(bold ? 3.2 : 2.6, bold));
    DrawCentred(painter, {x, label_y}, tick.label);
  };
  for (const Tick& tick : DegreeTicks(row.from_deg, row.to_deg)) mark(tick, kTop, -1, kTop - 34, false);
  if (!relative) {
    for (const Tick& tick : ClockTicks(row.from_deg, row.to_deg)) {
      if (!tick.label.isEmpty()) mark({tick.theta_deg, tick.label}, kTop, -1, kTop - 72, true);
    }
  }
  for (const Tick& tick : ArcTicks(row.from_deg, row.to_deg, radius_mm)) {
    mark(tick, row.box.bottom(), 1, row.box.bottom() + 32, false);
  }
  painter.setFont(FontOf(2.6));
  painter.setPen(ink::kText);
  if (!relative)
    painter.drawText(QRectF(0, kTop - 92, kLeft - 36, 40), Qt::AlignRight | Qt::AlignVCenter,
                     wording(Print::kClockRuler));
  painter.drawText(QRectF(0, row.box.bottom() + 12, kLeft - 22, 40), Qt::AlignRight | Qt::AlignVCenter,
                   wording(Print::kArcRuler));
  for (double z = std::ceil(row.z_from_mm / 5) * 5; z <= row.z_to_mm; z += 5) {
    painter.drawLine(QPointF(kLeft - 10, row.Y(z)), QPointF(kLeft, row.Y(z)));
    if (row.units_per_mm * 5 < 40 && std::fmod(z, 10) != 0) continue;  // labels would run into each other
    const QString label = (z > 0 ? "+" : z < 0 ? "−" : "") + QString::number(std::abs(z), 'f', 0);
    painter.drawText(QRectF(0, row.Y(z) - 25, kLeft - 16, 50), Qt::AlignRight | Qt::AlignVCenter,
                     z == 0 ? QString("z 0") : label);
  }
}

/// The side's own piece, written on the wall beside the weld.
void DrawPieceName(QPainter& painter, const StripRow& row, const QString& text, bool top) {
  painter.setFont(FontOf(2.6, true));
  const QFontMetricsF metrics(painter.font());
  const QString shown = metrics.elidedText(text, Qt::ElideMiddle, row.box.width() * 0.45);
  const double wide = metrics.horizontalAdvance(shown) + 16;
  const QRectF label(row.box.left() + 6, top ? row.box.top() + 6 : row.box.bottom() - 46, wide, 40);
  painter.fillRect(label, QColor(255, 255, 255, 225));
  painter.setPen(ink::kText);
  painter.drawText(label, Qt::AlignCenter, shown);
}

void PaintRow(QPainter& painter, const Wording& wording, const StripRow& row, const known::Known& known,
              const QImage& picture) {
  const auto& reading = known.measured;
  DrawPicture(painter, row, picture, reading.strip);
  DrawMarks(painter, row, known);
  DrawPieceName(painter, row, "a: " + QString::fromStdString(reading.piece_a), true);
  DrawPieceName(painter, row, "b: " + QString::fromStdString(reading.piece_b), false);
  painter.setPen(QPen(ink::kText, 3));
  painter.setBrush(Qt::NoBrush);
  painter.drawRect(row.box);
  DrawRulers(painter, wording, row, reading.bore_radius_mm, known.relative());
}

/// @param half_mm How far either side of z = 0 is shown. @return nullopt where nothing of it was seen.
std::optional<Figure> RowFigure(const known::Known& known, const QImage& picture, double width_mm, int index, int rows,
                                double half_mm) {
  const auto& reading = known.measured;
  const double circumference = 2 * std::numbers::pi * reading.bore_radius_mm;
  const double wall_units = width_mm * 10 - kLeft - 34;
  StripRow row;
  row.from_deg = 360.0 * index / rows;
  row.to_deg = 360.0 * (index + 1) / rows;
  row.z_from_mm = std::max(-half_mm, reading.strip.z_from_mm - reading.strip.pitch_mm / 2);
  row.z_to_mm = std::min(half_mm, reading.strip.z_from_mm + (picture.height() - 0.5) * reading.strip.pitch_mm);
  if (row.z_from_mm >= row.z_to_mm) return std::nullopt;
  row.units_per_mm = wall_units / (circumference / rows);
  row.box = QRectF(kLeft, kTop, wall_units, (row.z_to_mm - row.z_from_mm) * row.units_per_mm);
  Figure figure;
  figure.width_mm = width_mm;
  figure.height_mm = (row.box.bottom() + kBottom) / 10;
  figure.title = {Print::kFlatStrip, {SpanText(row.from_deg, row.to_deg, known.relative())}};
  figure.paint = [row, known, picture](QPainter& painter, const Wording& wording) {
    PaintRow(painter, wording, row, known, picture);
  };
  return figure;
}

bool Drawable(const known::Known& known, const QImage& strip) {
  return !strip.isNull() && known.measured.bore_radius_mm > 0 && known.measured.strip.pitch_mm > 0;
}
}  // namespace

int StripRows(double circumference_mm, double width_mm) {
  for (const int rows : {1, 2, 3, 4, 6, 12}) {
    if (circumference_mm / rows <= width_mm) return rows;
  }
  return 12;
}

std::vector<Figure> StripFigures(const known::Known& known, const QImage& strip, const QImage& seen, double width_mm) {
  std::vector<Figure> figures;
  if (!Drawable(known, strip)) return figures;
  const QImage picture = MarkNotSeen(strip, seen);
  const double circumference = 2 * std::numbers::pi * known.measured.bore_radius_mm;
  const int rows = StripRows(circumference, (width_mm * 10 - kLeft - 34) / 10);
  for (int i = 0; i < rows; ++i) {
    auto figure = RowFigure(known, picture, width_mm, i, rows, kShownHalfWidthMm);
    if (!figure) return {};
    figures.push_back(std::move(*figure));
  }
  return figures;
}

std::optional<Figure> StripOverview(const known::Known& known, const QImage& strip, const QImage& seen,
                                    double width_mm) {
  if (!Drawable(known, strip)) return std::nullopt;
  const double units_per_mm = (width_mm * 10 - kLeft - 34) / (2 * std::numbers::pi * known.measured.bore_radius_mm);
  constexpr double kHighUnits = 110;
  return RowFigure(known, MarkNotSeen(strip, seen), width_mm, 0, 1,
                   std::min(kShownHalfWidthMm, kHighUnits / 2 / units_per_mm));
}

}  // namespace app::report
