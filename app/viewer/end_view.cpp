#include "app/viewer/end_view.h"

#include <QKeyEvent>
#include <QMouseEvent>
#include <QPainter>
#include <cmath>

#include "app/viewer/page_paint.h"
#include "app/viewer/pipe_end.h"
#include "vision/bore/angle.h"

namespace app::viewer {
namespace {

using vision::bore::Arc;
using vision::reading::Fusion;

constexpr int kCaption = 44;    ///< Height of the words below, px.
constexpr double kWall = 0.88;  ///< Inside of the cut wall, of the outside radius.
constexpr double kNearOuter = 0.85, kNearInner = 0.66;
constexpr double kFarOuter = 0.61, kFarInner = 0.46;

}  // namespace

EndView::EndView(Desk& desk, QWidget* parent) : QWidget(parent), desk_(desk) {
  setFocusPolicy(Qt::StrongFocus);
  setMinimumSize(200, 200);
  setAccessibleName(tr("End view of the pipe"));
  setToolTip(tr("The pipe's end from where the welder stands. Click goes to the place; T turns it round."));
  connect(&desk_, &Desk::changed, this, qOverload<>(&QWidget::update));
  connect(&desk_, &Desk::placed, this, qOverload<>(&QWidget::update));
}

void EndView::SetFromB(bool from_b) {
  from_b_ = from_b;
  update();
}

QPointF EndView::Centre() const { return {width() / 2.0, (height() - kCaption) / 2.0}; }
double EndView::Radius() const { return std::max(40.0, std::min(width() / 2.0, (height() - kCaption) / 2.0) - 22); }

QPointF EndView::SpotOf(double theta_deg) const {
  return OnRing(Centre(), Radius() * (kNearOuter + kNearInner) / 2, from_b_ ? -theta_deg : theta_deg);
}

void EndView::mousePressEvent(QMouseEvent* event) {
  if (!desk_.has()) return;
  const QPointF d = event->position() - Centre();
  const double seen = std::atan2(d.x(), -d.y()) * vision::bore::kDegPerRad;
  const bool nearer = std::hypot(d.x(), d.y()) > Radius() * (kNearInner + kFarOuter) / 2;
  emit asked(vision::bore::Wrap360(from_b_ ? -seen : seen), nearer != from_b_);
}

void EndView::keyPressEvent(QKeyEvent* event) {
  const double turn = from_b_ ? -1 : 1;
  if (event->key() == Qt::Key_T) return SetFromB(!from_b_);
  if (desk_.has() && (event->key() == Qt::Key_Left || event->key() == Qt::Key_Right)) {
    const double step = event->modifiers() & Qt::ShiftModifier ? 30 : 2;
    emit asked(vision::bore::Wrap360(desk_.theta_deg() + (event->key() == Qt::Key_Right ? step : -step) * turn),
               desk_.z_mm() < 0);
    return;
  }
  QWidget::keyPressEvent(event);
}

void EndView::PaintBand(QPainter& painter, double outer, double inner, const std::vector<Fusion>& states) {
  const QPointF centre = Centre();
  const double r = Radius();
  for (const Fusion state : {Fusion::kFused, Fusion::kNotVisible, Fusion::kUnfused}) {
    std::vector<bool> flags(states.size());
    for (std::size_t i = 0; i < states.size(); ++i) flags[i] = states[i] == state;
    for (const Arc& arc : vision::bore::RunsOnCircle(flags)) {
      const double from = from_b_ ? -arc.start_deg - arc.length_deg : arc.start_deg;
      const QPainterPath sector = RingSector(centre, r * outer, r * inner, from, arc.length_deg);
      painter.setPen(Qt::NoPen);
      painter.setBrush(state == Fusion::kFused     ? ink::kFused
                       : state == Fusion::kUnfused ? ink::kUnfused
                                                   : QColor(60, 60, 60));
      painter.drawPath(sector);
      painter.setPen(state == Fusion::kUnfused ? QPen(Qt::black, 2.2) : QPen(QColor(220, 220, 220), 2.4));
      if (state == Fusion::kUnfused)
        for (double a = 1.5; a < arc.length_deg; a += 3)
          painter.drawLine(OnRing(centre, r * inner, from + a), OnRing(centre, r * outer, from + a + 2));
      if (state == Fusion::kNotVisible)
        for (double a = 2; a < arc.length_deg; a += 4)
          painter.drawPoint(OnRing(centre, r * (inner + outer) / 2, from + a));
    }
  }
}

void EndView::PaintClock(QPainter& painter) {
  QFont font = painter.font();
  font.setPixelSize(std::max(12, static_cast<int>(Radius() / 9)));
  font.setBold(true);
  painter.setFont(font);
  painter.setPen(palette().color(QPalette::Text));
  const QStringList labels = RimLabels();
  const double step = 360.0 / static_cast<double>(labels.size());
  for (qsizetype i = 0; i < labels.size(); ++i) {
    const double theta = step * static_cast<double>(i);
    const QPointF at = OnRing(Centre(), Radius() + 12, from_b_ ? -theta : theta);
    painter.drawText(QRectF(at.x() - 24, at.y() - 12, 48, 24), Qt::AlignCenter, labels[i]);
  }
}

QStringList EndView::RimLabels() const {
  if (desk_.has() && desk_.edited().angles == "relative") return {"0°", "90°", "180°", "270°"};
  QStringList hours{"12"};
  for (int hour = 1; hour < 12; ++hour) hours << QString::number(hour);
  return hours;
}

QString EndView::Caption() const {
  if (!desk_.has()) return {};
  const auto& reading = desk_.edited();
  const QString near = Words::Piece(reading, from_b_ ? "right" : "left"),
                far = Words::Piece(reading, from_b_ ? "left" : "right");
  QString text = (from_b_ ? tr("from %1, looking against +z;\nouter ring %1, inner ring %2")
                          : tr("from %1, looking along +z;\nouter ring %1, inner ring %2"))
                     .arg(near, far);
  if (reading.angles == "relative") return text + "\n" + tr("degrees from the picture's up; no clock is known");
  return from_b_ ? text + "\n" + tr("hours as in the record, looking along +z") : text;
}

void EndView::PaintWords(QPainter& painter) {
  const auto& reading = desk_.edited();
  const auto count = static_cast<int>(reading.unfused.size());
  const double r = Radius() * kFarInner;
  QFont font = painter.font();
  font.setBold(true);
  font.setPixelSize(std::max(16, static_cast<int>(r * 0.8)));
  painter.setFont(font);
  const double least = std::min(reading.coverage_deg.left, reading.coverage_deg.right),
               most = std::max(reading.coverage_deg.left, reading.coverage_deg.right);
  const bool seen = reading.weld_found && most > 0, all = least > 359;
  painter.setPen(palette().color(QPalette::Text));
  painter.drawText(QRectF(Centre().x() - r, Centre().y() - r, 2 * r, r * 1.25), Qt::AlignCenter,
                   count > 0 || (seen && all) ? QString::number(count) : QString("?"));
  font.setPixelSize(std::max(10, static_cast<int>(r * 0.21)));
  painter.setFont(font);
  // A nought would read as "all fused" where part of the ring was never seen.
  const QString words = !seen                ? tr("nothing\nexamined")
                        : count == 0 && !all ? tr("not all\nexamined")
                        : count == 1         ? tr("edge\nstill visible")
                                             : tr("edges\nstill visible");
  painter.drawText(QRectF(Centre().x() - r, Centre().y() + r * 0.12, 2 * r, r * 0.6), Qt::AlignCenter, words);
}

void EndView::paintEvent(QPaintEvent*) {
  QPainter painter(this);
  painter.setRenderHint(QPainter::Antialiasing);
  const QPointF centre = Centre();
  const double r = Radius();
  PaintCutWall(painter, centre, r, r * kWall, palette().color(QPalette::Text));
  if (desk_.has()) {
    const auto& profile = desk_.edited().profile;
    PaintBand(painter, kNearOuter, kNearInner, from_b_ ? profile.fusion_right : profile.fusion_left);
    PaintBand(painter, kFarOuter, kFarInner, from_b_ ? profile.fusion_left : profile.fusion_right);
    const double seen = from_b_ ? -desk_.theta_deg() : desk_.theta_deg();
    painter.setPen(QPen(palette().color(QPalette::Text), 3));
    painter.drawLine(OnRing(centre, r * kFarInner, seen), OnRing(centre, r * 1.02, seen));
    PaintWords(painter);
  }
  PaintClock(painter);
  QFont font = painter.font();
  font.setBold(false);
  font.setPixelSize(11);
  painter.setFont(font);
  painter.setPen(palette().color(QPalette::Text));
  painter.drawText(QRectF(0, height() - kCaption, width(), kCaption), Qt::AlignCenter, Caption());
}

}  // namespace app::viewer
