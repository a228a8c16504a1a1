#include "app/viewer/end_view.h"

#include <QKeyEvent>
#include <QMouseEvent>
#include <QPainter>
#include <algorithm>
#include <cmath>

#include "app/viewer/marking.h"
#include "app/viewer/pipe_end.h"
#include "vision/bore/angle.h"

namespace app::viewer {
namespace {

using marks::Means;
using vision::bore::Arc;

constexpr int kCaption = 58;  ///< Height of the words below, px.
const QColor kPaper(250, 250, 248), kInk(24, 24, 24);
constexpr double kWall = 0.88;  ///< Inside of the cut wall, of the outside radius.
constexpr double kNearOuter = 0.85, kNearInner = 0.66;
constexpr double kFarOuter = 0.62, kFarInner = 0.45;

double OuterOf(marks::Ring ring) { return ring == marks::Ring::kOuter ? kNearOuter : kFarOuter; }
double InnerOf(marks::Ring ring) { return ring == marks::Ring::kOuter ? kNearInner : kFarInner; }

/// A name must not lie on what has to be seen.
std::vector<bool> Busy(const std::vector<known::Edge>& edges) {
  std::vector<bool> busy(edges.size());
  for (std::size_t i = 0; i < edges.size(); ++i)
    busy[i] = edges[i] != known::Edge::kFused && edges[i] != known::Edge::kNotVisible;
  return busy;
}

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
  return OnRing(Centre(), Radius() * (kNearOuter + kNearInner) / 2, marks::SeenDeg(theta_deg, from()));
}

void EndView::mousePressEvent(QMouseEvent* event) {
  if (!desk_.has()) return;
  const QPointF d = event->position() - Centre();
  const double seen = std::atan2(d.x(), -d.y()) * vision::bore::kDegPerRad;
  const bool outer = std::hypot(d.x(), d.y()) > Radius() * (kNearInner + kFarOuter) / 2;
  const auto side = SideOfRing(outer ? marks::Ring::kOuter : marks::Ring::kInner);
  emit asked(vision::bore::Wrap360(marks::ThetaAt(seen, from())), side == marks::Side::kA);
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

void EndView::PaintRing(QPainter& painter, marks::Ring ring) {
  const QPointF centre = Centre();
  const double r = Radius(), outer = r * OuterOf(ring), inner = r * InnerOf(ring);
  const auto side = SideOfRing(ring);
  const auto& edges = desk_.known().edges(marks::NameInFile(side));
  // What is not fused last, and a little larger than its ring: nothing may cover it.
  for (const auto edge : {known::Edge::kFused, known::Edge::kNotVisible, known::Edge::kOverruled,
                          known::Edge::kUnfusedByHand, known::Edge::kUnfused}) {
    std::vector<bool> flags(edges.size());
    for (std::size_t i = 0; i < flags.size(); ++i) flags[i] = edges[i] == edge;
    const double more = edge == known::Edge::kUnfused || edge == known::Edge::kUnfusedByHand ? 0.02 * r : 0;
    for (const Arc& arc : vision::bore::RunsOnCircle(flags)) {
      const double from_deg = marks::SeenDeg(from_b_ ? arc.start_deg + arc.length_deg : arc.start_deg, from());
      const QPainterPath sector = RingSector(centre, outer + more, inner - more, from_deg, arc.length_deg);
      FillMark(painter, sector, MeansOf(edge));
      painter.setBrush(Qt::NoBrush);
      painter.setPen(more > 0 ? QPen(kInk, 2.4) : QPen(QColor(120, 120, 120), 0.6));
      painter.drawPath(sector);
    }
  }
  PaintToes(painter, side, outer + 0.012 * r);
  QFont font = painter.font();
  font.setBold(true);
  font.setPixelSize(std::max(9, static_cast<int>(0.62 * (outer - inner))));
  const double room_deg = 150, radius = (outer + inner) / 2;
  while (font.pixelSize() > 8 &&
         QFontMetricsF(font).horizontalAdvance(NameOnRing(ring)) > radius * room_deg * vision::bore::kRadPerDeg)
    font.setPixelSize(font.pixelSize() - 1);
  painter.setFont(font);
  const double span = QFontMetricsF(font).horizontalAdvance(NameOnRing(ring)) / radius * vision::bore::kDegPerRad;
  DrawAlongRing(painter, centre, radius, marks::SeenDeg(marks::NameAngle(Busy(edges), span), from()), NameOnRing(ring));
}

QString EndView::NameOnRing(marks::Ring ring) const {
  if (!desk_.has()) return {};
  const auto& reading = desk_.known().measured;
  return QString::fromStdString(marks::RingName(SideOfRing(ring), reading.piece_a, reading.piece_b));
}

void EndView::PaintToes(QPainter& painter, marks::Side side, double radius) {
  painter.setBrush(Qt::NoBrush);
  painter.setPen(PenOfMark(Means::kToeByHand, 3));
  for (const auto& toe : desk_.known().toes) {
    if (marks::SideOf(toe.set.side) != side) continue;
    const double start = toe.set.points.front().theta_deg, length = toe.set.points.back().theta_deg - start;
    const double seen = marks::SeenDeg(from_b_ ? start + length : start, from());
    painter.drawArc(QRectF(Centre().x() - radius, Centre().y() - radius, 2 * radius, 2 * radius),
                    static_cast<int>(16 * (90 - seen)), static_cast<int>(-16 * length));
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
    const QPointF at = OnRing(Centre(), Radius() + 12, marks::SeenDeg(theta, from()));
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
  const auto piece = [&](marks::Ring ring) { return Words::Piece(reading, marks::NameInFile(SideOfRing(ring))); };
  const QString near = piece(marks::Ring::kOuter), far = piece(marks::Ring::kInner);
  QString text = (from_b_ ? tr("from %1, looking against +z;\nouter ring %1, inner ring %2")
                          : tr("from %1, looking along +z;\nouter ring %1, inner ring %2"))
                     .arg(near, far);
  if (reading.angles == "relative") return text + "\n" + tr("degrees from the picture's up; no clock is known");
  return from_b_ ? text + "\n" + tr("hours as in the record, looking along +z") : text;
}

void EndView::PaintWords(QPainter& painter) {
  const auto& reading = desk_.known().measured;
  const auto& runs = desk_.known().runs;
  const auto overruled =
      static_cast<int>(std::count_if(runs.begin(), runs.end(), [](const auto& run) { return run.overruled(); }));
  const int count = static_cast<int>(runs.size()) - overruled;
  const double r = Radius() * kFarInner;
  QFont font = painter.font();
  font.setBold(true);
  font.setPixelSize(std::max(14, static_cast<int>(r * 0.62)));
  painter.setFont(font);
  const double least = std::min(reading.coverage_deg.left, reading.coverage_deg.right),
               most = std::max(reading.coverage_deg.left, reading.coverage_deg.right);
  const bool seen = reading.weld_found && most > 0, all = least > 359;
  painter.setPen(kInk);
  painter.drawText(QRectF(Centre().x() - r, Centre().y() - 0.9 * r, 2 * r, r * 0.8), Qt::AlignCenter,
                   count > 0 || (seen && all) ? QString::number(count) : QString("?"));
  font.setPixelSize(std::max(9, static_cast<int>(r * 0.18)));
  painter.setFont(font);
  // A nought would read as "all fused" where part of the ring was never seen.
  const QString words = !seen                ? tr("nothing\nexamined")
                        : count == 0 && !all ? tr("not all\nexamined")
                        : count == 1         ? tr("edge\nstill visible")
                                             : tr("edges\nstill visible");
  painter.drawText(QRectF(Centre().x() - r, Centre().y() - r * 0.1, 2 * r, r * 0.8), Qt::AlignHCenter | Qt::AlignTop,
                   overruled > 0 ? words + "\n" + tr("+ %1 overruled").arg(overruled) : words);
}

void EndView::paintEvent(QPaintEvent*) {
  QPainter painter(this);
  painter.setRenderHint(QPainter::Antialiasing);
  const QPointF centre = Centre();
  const double r = Radius();
  PaintCutWall(painter, centre, r, r * kWall, palette().color(QPalette::Text));
  painter.setPen(Qt::NoPen);
  painter.setBrush(kPaper);  // light in either theme, so that what is not fused stands out and what is does not
  painter.drawEllipse(centre, r * kWall, r * kWall);
  if (desk_.has()) {
    for (const auto ring : {marks::Ring::kOuter, marks::Ring::kInner}) PaintRing(painter, ring);
    const double seen = marks::SeenDeg(desk_.theta_deg(), from());
    for (const QPen& pen : {QPen(kPaper, 5), QPen(kInk, 2.6)}) {
      painter.setPen(pen);
      painter.drawLine(OnRing(centre, r * kFarInner, seen), OnRing(centre, r * 1.02, seen));
    }
    PaintWords(painter);
  }
  PaintClock(painter);
  QFont font = painter.font();
  font.setBold(false);
  font.setPixelSize(11);
  painter.setFont(font);
  painter.setPen(palette().color(QPalette::Text));
  painter.drawText(QRectF(0, height() - kCaption, width(), kCaption), Qt::AlignCenter | Qt::TextWordWrap, Caption());
}

}  // namespace app::viewer
