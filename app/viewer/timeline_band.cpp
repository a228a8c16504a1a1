#include "app/viewer/timeline_band.h"

#include <QHelpEvent>
#include <QKeyEvent>
#include <QMouseEvent>
#include <QPainter>
#include <QToolTip>
#include <algorithm>
#include <cmath>

#include "app/viewer/page_paint.h"
#include "app/viewer/timeline_words.h"

namespace app::viewer {

using vision::scan::Shows;

namespace {

constexpr double kSide = 10, kTop = 21, kHigh = 24;

struct Look {
  QColor ground, line;
  Qt::BrushStyle pattern;
};

/// Told apart by pattern alone: a middle line, plain, crosses, near black, dots, upright lines, slants.
Look LookOf(Shows shows, const QPalette& palette) {
  const QColor base = palette.color(QPalette::Base), text = palette.color(QPalette::Text);
  switch (shows) {
    case Shows::kTravelling:
      return {base, text, Qt::NoBrush};
    case Shows::kAtWeld:
      return {ColourOf(marks::Means::kAtWeld), Qt::white, Qt::NoBrush};
    case Shows::kWelding:
      return {ColourOf(marks::Means::kWelding), Qt::black, Qt::DiagCrossPattern};
    case Shows::kDark:
      return {QColor(38, 38, 38), QColor(38, 38, 38), Qt::NoBrush};
    case Shows::kBlurred:
      return {base, text, Qt::Dense6Pattern};
    case Shows::kNotABore:
      return {base, text, Qt::VerPattern};
    case Shows::kDamaged:
      break;
  }
  return {base, text, Qt::BDiagPattern};
}

/// The word where it fits, else its short form, else nothing.
void PaintWord(QPainter& painter, const QRectF& rect, Shows shows, const Look& look) {
  const QFontMetricsF metrics(painter.font());
  for (const QString& word : {TimelineWords::Name(shows), TimelineWords::Short(shows)}) {
    const double width = metrics.horizontalAdvance(word) + 8;
    if (width > rect.width() - 4) continue;
    const QRectF plate(rect.center().x() - width / 2, rect.center().y() - metrics.height() / 2, width,
                       metrics.height());
    painter.fillRect(plate, look.ground);
    painter.setPen(look.ground.lightness() < 100 ? Qt::white : QColor(20, 20, 20));
    painter.drawText(plate, Qt::AlignCenter, word);
    return;
  }
}

}  // namespace

TimelineBand::TimelineBand(QWidget* parent) : QWidget(parent) {
  setObjectName("timeline_band");
  setAccessibleName(tr("The recording in time"));
  setFocusPolicy(Qt::StrongFocus);
  setMouseTracking(true);
  setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Fixed);
}

void TimelineBand::Show(std::shared_ptr<const Timeline> timeline) {
  timeline_ = std::move(timeline);
  chosen_s_.reset();
  span_s_ = 0.1;
  if (timeline_) {
    span_s_ = std::max(span_s_, timeline_->scanned.duration_s);
    for (const auto& stretch : timeline_->scanned.sorted.stretches) span_s_ = std::max(span_s_, stretch.to_s);
    setAccessibleDescription(TimelineWords::Whole(*timeline_));
  }
  update();
}

double TimelineBand::XOf(double time_s) const { return kSide + (width() - 2 * kSide) * time_s / span_s_; }

double TimelineBand::TimeAt(double x) const {
  return std::clamp((x - kSide) / std::max(1.0, width() - 2 * kSide), 0.0, 1.0) * span_s_;
}

QRectF TimelineBand::RectOf(std::size_t stretch) const {
  const auto& s = timeline_->scanned.sorted.stretches.at(stretch);
  const double from = XOf(s.from_s);
  return {from, kTop, std::max(1.0, XOf(s.to_s) - from), kHigh};
}

QRectF TimelineBand::BracketOf(std::size_t weld) const {
  const auto& w = timeline_->scanned.sorted.welds.at(weld);
  if (!w.proposed) return {};
  const double from = XOf(w.best_from_s);
  return {from, kTop - 7, std::max(3.0, XOf(w.best_to_s) - from), 7};
}

void TimelineBand::Choose(double time_s) {
  if (!timeline_) return;
  chosen_s_ = std::clamp(time_s, 0.0, span_s_);
  setAccessibleDescription(TimelineWords::AtTime(timeline_->scanned, *chosen_s_));
  update();
  emit chosen(*chosen_s_);
}

void TimelineBand::PaintStretches(QPainter& painter) {
  const auto& stretches = timeline_->scanned.sorted.stretches;
  for (std::size_t i = 0; i < stretches.size(); ++i) {
    const QRectF rect = RectOf(i);
    const Look look = LookOf(stretches[i].shows, palette());
    painter.fillRect(rect, look.ground);
    if (look.pattern != Qt::NoBrush) painter.fillRect(rect, QBrush(look.line, look.pattern));
    if (stretches[i].shows == Shows::kTravelling) {
      painter.setPen(QPen(look.line, 1));
      painter.drawLine(QPointF(rect.left(), rect.center().y()), QPointF(rect.right(), rect.center().y()));
    }
    PaintWord(painter, rect, stretches[i].shows, look);
    painter.setPen(QPen(palette().color(QPalette::Mid), 1));
    painter.drawLine(rect.topLeft(), rect.bottomLeft());
  }
  painter.setBrush(Qt::NoBrush);
  painter.setPen(QPen(palette().color(QPalette::Text), 1));
  painter.drawRect(QRectF(kSide, kTop, width() - 2 * kSide, kHigh));
}

void TimelineBand::PaintBurnedIn(QPainter& painter) {
  painter.setPen(QPen(palette().color(QPalette::Text), 3, Qt::DotLine));
  for (const auto& mark : timeline_->scanned.burned_in)
    painter.drawLine(QPointF(XOf(mark.from_s), kTop + kHigh + 3), QPointF(XOf(mark.to_s), kTop + kHigh + 3));
}

void TimelineBand::PaintBrackets(QPainter& painter) {
  double free_from = 0;
  for (std::size_t i = 0; i < timeline_->scanned.sorted.welds.size(); ++i) {
    const QRectF bracket = BracketOf(i);
    if (bracket.isEmpty()) continue;
    painter.setPen(QPen(palette().color(QPalette::Text), 2));
    painter.drawPolyline(QPolygonF{bracket.bottomLeft(), bracket.topLeft(), bracket.topRight(), bracket.bottomRight()});
    const QString words = tr("measure weld %1 by this").arg(i + 1), brief = QString::number(i + 1);
    for (const QString& text : {words, brief}) {
      const double wide = QFontMetricsF(painter.font()).horizontalAdvance(text) + 6;
      const double left = std::clamp(bracket.center().x() - wide / 2, kSide, width() - kSide - wide);
      if (left < free_from) continue;
      painter.drawText(QRectF(left, 0, wide, kTop - 8), Qt::AlignCenter, text);
      free_from = left + wide;
      break;
    }
  }
}

void TimelineBand::PaintTimes(QPainter& painter) {
  double step = 1;
  const double most = std::max(2.0, (width() - 2 * kSide) / 90);
  for (const double wider : {2.0, 5.0, 10.0, 30.0, 60.0, 120.0, 300.0, 600.0, 1800.0, 3600.0, 7200.0})
    if (span_s_ / step > most) step = wider;
  painter.setPen(palette().color(QPalette::Text));
  for (double t = 0; t <= span_s_ + 1e-6; t += step) {
    const double x = XOf(t);
    painter.drawLine(QPointF(x, kTop + kHigh), QPointF(x, kTop + kHigh + 7));
    const QString text = QString::fromStdString(vision::scan::ClockText(t)).section('.', 0, 0);
    const double left = std::clamp(x - 40, 2.0, width() - 82.0);
    const int side = left > x - 40 ? Qt::AlignLeft : left < x - 40 ? Qt::AlignRight : Qt::AlignHCenter;
    painter.drawText(QRectF(left, kTop + kHigh + 7, 80, 15), side | Qt::AlignVCenter, text);
  }
}

void TimelineBand::paintEvent(QPaintEvent*) {
  if (!timeline_) return;
  QPainter painter(this);
  QFont small = font();
  small.setPixelSize(12);
  painter.setFont(small);
  PaintStretches(painter);
  PaintBrackets(painter);
  PaintBurnedIn(painter);
  PaintTimes(painter);
  if (chosen_s_) {
    const double x = XOf(*chosen_s_);
    for (const QPen& pen : {QPen(palette().color(QPalette::Base), 5), QPen(palette().color(QPalette::Text), 2)}) {
      painter.setPen(pen);
      painter.drawLine(QPointF(x, kTop - 4), QPointF(x, height()));
    }
  }
  if (hasFocus()) {
    painter.setPen(QPen(palette().color(QPalette::Highlight), 1, Qt::DotLine));
    painter.drawRect(rect().adjusted(0, 0, -1, -1));
  }
}

bool TimelineBand::event(QEvent* event) {
  if (event->type() == QEvent::ToolTip && timeline_) {
    const auto* help = static_cast<QHelpEvent*>(event);
    QToolTip::showText(help->globalPos(), TimelineWords::AtTime(timeline_->scanned, TimeAt(help->pos().x())), this);
    return true;
  }
  return QWidget::event(event);
}

void TimelineBand::mouseMoveEvent(QMouseEvent* event) {
  if (timeline_) emit hovered(TimeAt(event->position().x()));
}

void TimelineBand::mousePressEvent(QMouseEvent* event) {
  if (timeline_ && event->button() == Qt::LeftButton) Choose(TimeAt(event->position().x()));
}

void TimelineBand::leaveEvent(QEvent*) {
  if (timeline_) emit left();
}

/// Start of the stretch after, or of the one before.
double TimelineBand::NextEdge(double from_s, bool forward) const {
  double edge = forward ? span_s_ : 0;
  for (const auto& stretch : timeline_->scanned.sorted.stretches) {
    if (forward && stretch.from_s > from_s + 1e-6) return stretch.from_s;
    if (!forward && stretch.from_s < from_s - 1e-6) edge = stretch.from_s;
  }
  return edge;
}

void TimelineBand::keyPressEvent(QKeyEvent* event) {
  if (!timeline_) return QWidget::keyPressEvent(event);
  const double now = chosen_s_.value_or(0), step = event->modifiers() & Qt::ShiftModifier ? 10 : 1;
  switch (event->key()) {
    case Qt::Key_Left:
      return Choose(now - step);
    case Qt::Key_Right:
      return Choose(now + step);
    case Qt::Key_PageUp:
      return Choose(NextEdge(now, false));
    case Qt::Key_PageDown:
      return Choose(NextEdge(now, true));
    case Qt::Key_Home:
      return Choose(0);
    case Qt::Key_End:
      return Choose(span_s_);
    default:
      QWidget::keyPressEvent(event);
  }
}

}  // namespace app::viewer
