#include "app/viewer/section_view.h"

#include <QPainter>
#include <cmath>

#include "app/viewer/page_paint.h"
#include "vision/bore/angle.h"

namespace app::viewer {

SectionView::SectionView(Desk& desk, QWidget* parent) : QWidget(parent), desk_(desk) {
  setMinimumSize(200, 130);
  setAccessibleName(tr("Section across the bead at the cross-hair"));
  connect(&desk_, &Desk::changed, this, qOverload<>(&QWidget::update));
  connect(&desk_, &Desk::placed, this, qOverload<>(&QWidget::update));
}

void SectionView::paintEvent(QPaintEvent*) {
  QPainter painter(this);
  painter.setRenderHint(QPainter::Antialiasing);
  painter.setPen(palette().color(QPalette::Text));
  QFont font = painter.font();
  font.setPixelSize(12);
  painter.setFont(font);
  if (!desk_.has()) return;
  const auto& reading = desk_.edited();
  const bool relative = reading.angles == "relative";
  painter.drawText(QRectF(6, 2, width() - 12.0, 18), Qt::AlignLeft,
                   tr("Section at %1").arg(Words::Place(desk_.theta_deg(), relative)));
  const auto& p = reading.profile;
  if (p.theta_deg.empty()) return;
  const auto i =
      static_cast<std::size_t>(std::lround(desk_.theta_deg() * static_cast<double>(p.theta_deg.size()) / 360)) %
      p.theta_deg.size();
  const double left = p.left_toe_z_mm[i], right = p.right_toe_z_mm[i];
  const double scale = (width() - 20) / 14.0, middle = width() / 2.0, base = height() * 0.62;
  const auto x_of = [&](double z) { return middle + z * scale; };
  painter.setPen(QPen(palette().color(QPalette::Text), 2));
  painter.drawLine(QPointF(x_of(-7), base), QPointF(x_of(std::isfinite(left) ? left : -3), base));
  painter.drawLine(QPointF(x_of(std::isfinite(right) ? right : 3), base), QPointF(x_of(7), base));
  painter.drawText(QRectF(6, base + 4, width() - 12.0, 16), Qt::AlignLeft, Words::Piece(reading, "left"));
  painter.drawText(QRectF(6, base + 4, width() - 12.0, 16), Qt::AlignRight, Words::Piece(reading, "right"));
  for (const double toe : {left, right})
    if (std::isfinite(toe)) painter.drawEllipse(QPointF(x_of(toe), base), 4, 4);
  const bool measured = std::isfinite(p.crown_height_mm[i]);
  if (std::isfinite(left) && std::isfinite(right)) {
    painter.setPen(QPen(palette().color(QPalette::Text), 1, Qt::DashLine));  // the chord of the two toes
    painter.drawLine(QPointF(x_of(left), base), QPointF(x_of(right), base));
  }
  painter.setPen(palette().color(QPalette::Text));
  if (measured) {
    painter.drawText(
        QRectF(6, 22, width() - 12.0, 34), Qt::AlignLeft | Qt::TextWordWrap,
        tr("crown %1 above the chord").arg(Words::Length(p.crown_height_mm[i], p.crown_height_u_mm[i], desk_.units())));
    return;
  }
  QString why = Words::Reason("single view: height not measurable from this recording");
  for (const auto& one : reading.why)
    if (one.what == "crown_height_mm") why = Words::Reason(one.reason);
  painter.drawText(QRectF(10, 24, width() - 20.0, base - 34), Qt::AlignCenter | Qt::TextWordWrap,
                   tr("Profile: not measurable from this recording\n(%1)").arg(why));
}

}  // namespace app::viewer
