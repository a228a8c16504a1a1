#include "app/viewer/section_view.h"

#include <QPainter>
#include <QPainterPath>
#include <algorithm>
#include <cmath>

#include "app/viewer/page_paint.h"

namespace app::viewer {
namespace {

/// Where a height stands in the panel; heights are drawn larger than widths by a whole number that is shown.
struct Drawn {
  double z_from = -7, px_per_mm = 1, x_from = 10, base_y = 0;
  int times = 1;
  QPointF At(double z, double h) const { return {x_from + (z - z_from) * px_per_mm, base_y - h * px_per_mm * times}; }
};

/// Of the strip's middle, both toes with wall beside them; as large a height as has room in `area`.
Drawn FitInto(const Section& section, const QRectF& area) {
  Drawn drawn;
  const double left = std::isfinite(section.toe_left_z) ? section.toe_left_z : -4,
               right = std::isfinite(section.toe_right_z) ? section.toe_right_z : 4;
  const double from = std::min(-5.0, left - 2.5), to = std::max(5.0, right + 2.5);
  drawn.z_from = from;
  drawn.x_from = area.left();
  drawn.px_per_mm = area.width() / (to - from);
  double low = 0, high = 0;
  for (const auto& stretch : section.surface)
    for (const auto& cell : stretch)
      if (cell.z_mm >= from && cell.z_mm <= to)
        low = std::min(low, cell.h_mm - 2 * cell.u_mm), high = std::max(high, cell.h_mm + 2 * cell.u_mm);
  const double room = area.height() / (drawn.px_per_mm * std::max(0.5, high - low));
  drawn.times = std::clamp(static_cast<int>(room), 1, 5);
  drawn.base_y = area.center().y() + 0.5 * (high + low) * drawn.px_per_mm * drawn.times;
  return drawn;
}

/// The measured surface with its band and the metal under it; where nothing was measured nothing is drawn.
void PaintSurface(QPainter& painter, const Section& section, const Drawn& drawn, const QRectF& area,
                  const QColor& text) {
  for (const auto& stretch : section.surface) {
    QPolygonF line, over, metal;
    for (const auto& cell : stretch) {
      line << drawn.At(cell.z_mm, cell.h_mm);
      over << drawn.At(cell.z_mm, cell.h_mm + 2 * cell.u_mm);
    }
    metal = line;
    metal << QPointF(line.back().x(), area.bottom()) << QPointF(line.front().x(), area.bottom());
    for (auto cell = stretch.rbegin(); cell != stretch.rend(); ++cell)
      over << drawn.At(cell->z_mm, cell->h_mm - 2 * cell->u_mm);
    painter.setPen(Qt::NoPen);
    QColor hatch = text;
    hatch.setAlpha(110);
    painter.setBrush(QBrush(hatch, Qt::BDiagPattern));
    painter.drawPolygon(metal);
    QColor band = ColourOf(marks::Means::kUncertainty);
    band.setAlpha(200);
    painter.setBrush(band);
    painter.drawPolygon(over);
    painter.setBrush(Qt::NoBrush);
    painter.setPen(QPen(text, 1.8));
    if (line.size() == 1)
      painter.drawPoint(line.front());
    else
      painter.drawPolyline(line);
  }
}

/// Each wall's own level beside its toe, the toes, and the chord from toe to toe.
void PaintChord(QPainter& painter, const Section& section, const Drawn& drawn, const QRectF& area, const QColor& text) {
  const double left_h = std::isfinite(section.wall_left_h) ? section.wall_left_h : 0,
               right_h = std::isfinite(section.wall_right_h) ? section.wall_right_h : 0;
  const QPointF left = drawn.At(std::isfinite(section.toe_left_z) ? section.toe_left_z : -3, left_h),
                right = drawn.At(std::isfinite(section.toe_right_z) ? section.toe_right_z : 3, right_h);
  const bool flat = section.surface.empty();  // only the toes' places are known then
  painter.setPen(flat ? QPen(text, 2) : QPen(ColourOf(marks::Means::kChord), 1.4));
  painter.drawLine(QPointF(area.left(), left.y()), left);
  painter.drawLine(right, QPointF(area.right(), right.y()));
  painter.setPen(flat ? QPen(text, 1, Qt::DashLine) : PenOfMark(marks::Means::kChord, 1.8));
  if (section.has_chord() || (flat && std::isfinite(section.toe_left_z + section.toe_right_z)))
    painter.drawLine(left, right);
  painter.setPen(QPen(text, 1.6));
  if (std::isfinite(section.toe_left_z)) painter.drawEllipse(left, 4, 4);
  if (std::isfinite(section.toe_right_z)) painter.drawEllipse(right, 4, 4);
}

}  // namespace

SectionView::SectionView(Desk& desk, QWidget* parent) : QWidget(parent), desk_(desk) {
  setMinimumSize(200, 130);
  setAccessibleName(tr("Section across the bead at the cross-hair"));
  setToolTip(
      tr("Across the bead, the bore above. Line: the measured surface; band: its expanded uncertainty (k = 2); "
         "dotted: the chord from toe to toe, each on its own wall's level; gaps were not measured."));
  connect(&desk_, &Desk::changed, this, qOverload<>(&QWidget::update));
  connect(&desk_, &Desk::placed, this, qOverload<>(&QWidget::update));
}

QString SectionView::Sentence(const Section& section) const {
  if (section.surface.empty()) return tr("Profile: %1").arg(Words::NotMeasurable(section.why));
  if (!std::isfinite(section.crown))
    return tr("Root reinforcement: %1").arg(Words::NotMeasurable(section.why_no_crown));
  QString text = tr("root reinforcement %1 above the line joining the toes")
                     .arg(Words::Length(section.crown, section.crown_u, desk_.units()));
  if (std::isfinite(section.concavity))
    text +=
        "\n" + tr("concavity %1 below it").arg(Words::Length(section.concavity, section.concavity_u, desk_.units()));
  return text;
}

void SectionView::paintEvent(QPaintEvent*) {
  if (!desk_.has() || desk_.edited().profile.theta_deg.empty()) return;
  const auto& reading = desk_.edited();
  const Section section = SectionAt(reading, desk_.opened().heights, desk_.theta_deg());
  QPainter painter(this);
  painter.setRenderHint(QPainter::Antialiasing);
  const QColor text = palette().color(QPalette::Text);
  painter.setPen(text);
  QFont font = painter.font();
  font.setPixelSize(12);
  painter.setFont(font);
  const double w = width() - 12.0, h = height();
  painter.drawText(QRectF(6, 2, w, 18), Qt::AlignLeft,
                   tr("Section at %1").arg(Words::Place(desk_.theta_deg(), reading.angles == "relative")));
  painter.drawText(QRectF(6, 22, w, 66), Qt::AlignLeft | Qt::TextWordWrap, Sentence(section));
  const QRectF area(10, 92, width() - 20.0, std::max(20.0, h - 92 - 40));
  const Drawn drawn = FitInto(section, area);
  painter.setClipRect(area.adjusted(-5, -5, 5, 5));
  PaintSurface(painter, section, drawn, area, text);
  PaintChord(painter, section, drawn, area, text);
  painter.setClipping(false);
  painter.setPen(text);
  painter.drawText(QRectF(6, h - 36, w, 16), Qt::AlignLeft, Words::Piece(reading, "left"));
  painter.drawText(QRectF(6, h - 36, w, 16), Qt::AlignRight, Words::Piece(reading, "right"));
  if (section.surface.empty()) return;
  font.setPixelSize(11);
  painter.setFont(font);
  painter.drawText(QRectF(6, h - 19, w, 16), Qt::AlignLeft,
                   drawn.times > 1 ? tr("bore above; heights enlarged %1 times").arg(drawn.times)
                                   : tr("bore above; heights and widths to one scale"));
}

}  // namespace app::viewer
