#include <QPainter>
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "app/report/drawing.h"
#include "app/report/figures.h"
#include "app/report/text.h"
#include "app/report/wording.h"
#include "vision/bore/angle.h"

namespace app::report {

namespace {

/// One row of the strip on paper.
struct RowView {
  double from_deg = 0, to_deg = 360;
  double z_from_mm = 0, z_to_mm = 0;
  double units_per_mm = 10;  ///< Paper units for a millimetre of wall, the same both ways.
  QRectF box;                ///< Where the wall is drawn.

  double X(double theta_deg) const { return box.left() + box.width() * (theta_deg - from_deg) / (to_deg - from_deg); }
  double Y(double z_mm) const { return box.top() + (z_mm - z_from_mm) * units_per_mm; }
};

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

void DrawPicture(QPainter& painter, const RowView& row, const QImage& picture,
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

void StrokeToe(QPainter& painter, const QPolygonF& line) {
  if (line.size() < 2) return;
  painter.setPen(QPen(Qt::black, 5.5, Qt::SolidLine, Qt::RoundCap, Qt::RoundJoin));
  painter.drawPolyline(line);
  painter.setPen(QPen(Qt::white, 2.2, Qt::SolidLine, Qt::RoundCap, Qt::RoundJoin));
  painter.drawPolyline(line);
}

/// White on black: seen on bright and on dark metal. Broken where the toe was not measured.
void DrawToe(QPainter& painter, const RowView& row, const std::vector<double>& theta, const std::vector<double>& z) {
  QPolygonF line;
  for (std::size_t i = 0; i <= theta.size() && !theta.empty(); ++i) {
    const double at = i < theta.size() ? theta[i] : 360.0;  // the line closes at 360
    const double mm = z[i % z.size()];
    const bool here = std::isfinite(mm) && at >= row.from_deg - 1e-6 && at <= row.to_deg + 1e-6 &&
                      mm >= row.z_from_mm && mm <= row.z_to_mm;
    if (here) {
      line << QPointF(row.X(at), row.Y(mm));
    } else {
      StrokeToe(painter, line);
      line.clear();
    }
  }
  StrokeToe(painter, line);
}

void DrawRulers(QPainter& painter, const RowView& row, double radius_mm, bool relative) {
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
    painter.drawText(QRectF(0, kTop - 92, kLeft - 36, 40), Qt::AlignRight | Qt::AlignVCenter, Said("clock"));
  painter.drawText(QRectF(0, row.box.bottom() + 12, kLeft - 22, 40), Qt::AlignRight | Qt::AlignVCenter, Said("arc mm"));
  for (double z = std::ceil(row.z_from_mm / 5) * 5; z <= row.z_to_mm; z += 5) {
    painter.drawLine(QPointF(kLeft - 10, row.Y(z)), QPointF(kLeft, row.Y(z)));
    const QString label = (z > 0 ? "+" : z < 0 ? "−" : "") + QString::number(std::abs(z), 'f', 0);
    painter.drawText(QRectF(0, row.Y(z) - 25, kLeft - 16, 50), Qt::AlignRight | Qt::AlignVCenter,
                     z == 0 ? QString("z 0") : label);
  }
}

/// The part of [start, end] (clockwise, may wrap) that lies on this row; none when empty.
std::vector<std::pair<double, double>> PartsOn(const RowView& row, double start_deg, double end_deg) {
  const double start = vision::bore::Wrap360(start_deg);
  const double length = end_deg - start_deg >= 360 ? 360 : vision::bore::Wrap360(end_deg - start_deg);
  std::vector<std::pair<double, double>> parts;
  for (const double turn : {-360.0, 0.0}) {
    const double from = std::max(start + turn, row.from_deg), to = std::min(start + turn + length, row.to_deg);
    if (from < to) parts.push_back({from, to});
  }
  return parts;
}

/// A bar along the edge of the picture on the run's own side, with the number of its row in the table.
void DrawRuns(QPainter& painter, const RowView& row, const std::vector<vision::reading::UnfusedRun>& runs) {
  for (std::size_t i = 0; i < runs.size(); ++i) {
    const double y = runs[i].side == "left" ? row.box.top() + 26 : row.box.bottom() - 26;
    for (const auto& [from, to] : PartsOn(row, runs[i].start_deg, runs[i].end_deg)) {
      for (const auto& [colour, width] : {std::pair{Qt::white, 13.0}, std::pair{Qt::black, 8.0}}) {
        painter.setPen(QPen(colour, width, Qt::SolidLine, Qt::FlatCap));
        painter.drawLine(QPointF(row.X(from), y), QPointF(row.X(to), y));
      }
      DrawTag(painter, {std::clamp(row.X((from + to) / 2), row.box.left() + 22, row.box.right() - 22), y},
              static_cast<int>(i) + 1);
    }
  }
}

/// The side's own piece, written on the wall beside the weld.
void DrawPieceName(QPainter& painter, const RowView& row, const QString& text, bool top) {
  painter.setFont(FontOf(2.6, true));
  const QFontMetricsF metrics(painter.font());
  const QString shown = metrics.elidedText(text, Qt::ElideMiddle, row.box.width() * 0.45);
  const double wide = metrics.horizontalAdvance(shown) + 16;
  const QRectF label(row.box.left() + 6, top ? row.box.top() + 6 : row.box.bottom() - 46, wide, 40);
  painter.fillRect(label, QColor(255, 255, 255, 225));
  painter.setPen(ink::kText);
  painter.drawText(label, Qt::AlignCenter, shown);
}

void PaintRow(QPainter& painter, const RowView& row, const ReportInput& input, const QImage& picture) {
  const auto& reading = input.reading;
  DrawPicture(painter, row, picture, reading.strip);
  DrawToe(painter, row, reading.profile.theta_deg, reading.profile.left_toe_z_mm);
  DrawToe(painter, row, reading.profile.theta_deg, reading.profile.right_toe_z_mm);
  DrawRuns(painter, row, reading.unfused);
  DrawPieceName(painter, row, "a: " + QString::fromStdString(reading.piece_a), true);
  DrawPieceName(painter, row, "b: " + QString::fromStdString(reading.piece_b), false);
  painter.setPen(QPen(ink::kText, 3));
  painter.setBrush(Qt::NoBrush);
  painter.drawRect(row.box);
  DrawRulers(painter, row, reading.bore_radius_mm, reading.angles == "relative");
}
}  // namespace

int StripRows(double circumference_mm, double width_mm) {
  for (const int rows : {1, 2, 3, 4, 6, 12}) {
    if (circumference_mm / rows <= width_mm) return rows;
  }
  return 12;
}

std::vector<Figure> StripFigures(const ReportInput& input, const QImage& strip, const QImage& seen, double width_mm) {
  std::vector<Figure> figures;
  const auto& reading = input.reading;
  if (strip.isNull() || !(reading.bore_radius_mm > 0) || !(reading.strip.pitch_mm > 0)) return figures;
  const QImage picture = MarkNotSeen(strip, seen);
  const double circumference = 2 * std::numbers::pi * reading.bore_radius_mm;
  const double wall_units = width_mm * 10 - kLeft - 34;
  const int rows = StripRows(circumference, wall_units / 10);
  for (int i = 0; i < rows; ++i) {
    RowView row;
    row.from_deg = 360.0 * i / rows;
    row.to_deg = 360.0 * (i + 1) / rows;
    const double half_cell = reading.strip.pitch_mm / 2;
    row.z_from_mm = std::max(-kShownHalfWidthMm, reading.strip.z_from_mm - half_cell);
    row.z_to_mm =
        std::min(kShownHalfWidthMm, reading.strip.z_from_mm + (strip.height() - 0.5) * reading.strip.pitch_mm);
    if (row.z_from_mm >= row.z_to_mm) return {};
    row.units_per_mm = wall_units / (circumference / rows);
    row.box = QRectF(kLeft, kTop, wall_units, (row.z_to_mm - row.z_from_mm) * row.units_per_mm);
    Figure figure;
    figure.width_mm = width_mm;
    figure.height_mm = (row.box.bottom() + kBottom) / 10;
    figure.title = "Flat strip, " + SpanText(row.from_deg, row.to_deg, reading.angles == "relative");
    figure.paint = [row, input, picture](QPainter& painter) { PaintRow(painter, row, input, picture); };
    figures.push_back(std::move(figure));
  }
  return figures;
}

}  // namespace app::report
