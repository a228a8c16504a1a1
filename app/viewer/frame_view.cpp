#include "app/viewer/frame_view.h"

#include <QPainter>
#include <algorithm>
#include <cmath>

#include "app/viewer/frame_marks.h"

namespace app::viewer {
namespace {

constexpr int kLeast = 130, kMost = 420;  ///< Height, px.
constexpr int kGap = 10, kLeft = 66;

/// Dark below, so that a line is seen on bright and on dark wall.
void Draw(QPainter& painter, const std::vector<FrameMarks::Line>& lines, double scale, const QPen& pen) {
  for (const auto& line : lines) {
    QPolygonF polygon;
    for (const auto& point : line) polygon << QPointF((point.x + 0.5) * scale, (point.y + 0.5) * scale);
    for (const QPen& each : {QPen(QColor(0, 0, 0, 170), pen.widthF() + 2), pen}) {
      painter.setPen(each);
      painter.drawPolyline(polygon);
    }
  }
}

void DrawHours(QPainter& painter, const FrameMarks& marks, double scale, QPointF middle) {
  painter.setFont([&] {
    QFont font = painter.font();
    font.setPixelSize(13);
    font.setBold(true);
    return font;
  }());
  for (const auto& hour : marks.hours) {
    const QPointF at((hour.at.x + 0.5) * scale, (hour.at.y + 0.5) * scale), way = at - middle;
    const double length = std::max(1.0, std::hypot(way.x(), way.y()));
    const QPointF spot = at - way / length * 14;
    const QRectF box(spot.x() - 14, spot.y() - 9, 28, 18);
    painter.setPen(Qt::NoPen);
    painter.setBrush(QColor(0, 0, 0, 150));
    painter.drawRoundedRect(box.adjusted(4, 0, -4, 0), 5, 5);
    painter.setPen(Qt::white);
    painter.drawText(box, Qt::AlignCenter, QString::number(hour.hour));
  }
}

}  // namespace

FrameView::FrameView(Desk& desk, Comparison& comparison, PageView& page, LensView& lens)
    : QWidget(&page), desk_(desk), comparison_(comparison), page_(page), lens_(lens) {
  setAccessibleName(tr("The whole source frame with toes and clock"));
  setToolTip(tr("The frame that the lens shows, whole: toes yellow, borders of the strip dashed, the clock in white."));
  connect(&lens_.frames(), &FrameStore::arrived, this, qOverload<>(&QWidget::update));
  for (const auto signal : {&Desk::opened_joint, &Desk::laidAside, &Desk::placed, &Desk::changed})
    connect(&desk_, signal, this, &FrameView::Settle);
  connect(&page_, &PageView::moved, this, &FrameView::Settle);
  connect(&lens_, &LensView::stepped, this, qOverload<>(&QWidget::update));
  connect(&comparison_, &Comparison::spokenOf, this, &FrameView::Settle);
  connect(&comparison_, &Comparison::ended, this, &FrameView::Settle);
  hide();
}

void FrameView::SetWanted(bool wanted) {
  wanted_ = wanted;
  Settle();
}

void FrameView::Settle() {
  const auto sight = desk_.has() && !comparison_.at_after() ? lens_.marked() : std::nullopt;
  const auto& layout = page_.layout_of_page();
  const auto last = layout.StripRect(layout.lines() - 1);
  const int top = static_cast<int>(last.y + last.height) + layout.shape().below_px + kGap;
  const int right = lens_.parentWidget() == &page_ && lens_.isVisibleTo(&page_) && lens_.y() + lens_.height() > top
                        ? lens_.x()
                        : page_.width();
  const int high = std::min(kMost, page_.height() - top - kGap), wide = right - kLeft - kGap;
  const QImage frame = sight ? lens_.frames().Frame(sight->frame) : QImage();
  const double shape = frame.isNull() ? 4.0 / 3 : frame.width() / static_cast<double>(std::max(1, frame.height()));
  const int height = std::min(high, static_cast<int>(wide / shape));
  setVisible(wanted_ && sight && height >= kLeast);
  if (isHidden()) return;
  setGeometry(kLeft, top, static_cast<int>(height * shape), height);
  update();
}

void FrameView::paintEvent(QPaintEvent*) {
  QPainter painter(this);
  painter.fillRect(rect(), Qt::black);
  const auto sight = lens_.marked();
  if (!sight || !desk_.has()) return;
  const QImage frame = lens_.frames().Frame(sight->frame);
  if (frame.isNull()) return;
  const double scale =
      std::min(width() / static_cast<double>(frame.width()), height() / static_cast<double>(frame.height()));
  painter.setRenderHints(QPainter::Antialiasing | QPainter::SmoothPixmapTransform);
  painter.drawImage(QRectF(0, 0, frame.width() * scale, frame.height() * scale), frame);
  const FrameMarks marks = MarksOn(desk_.opened(), desk_.edited(), sight->frame);
  Draw(painter, marks.borders, scale, QPen(Qt::white, 1, Qt::DashLine));
  Draw(painter, marks.toes, scale, QPen(QColor(255, 225, 40), 1.4));
  DrawHours(painter, marks, scale, {frame.width() * scale / 2, frame.height() * scale / 2});
  const QPointF at((sight->point.u_px + 0.5) * scale, (sight->point.v_px + 0.5) * scale);
  painter.setBrush(Qt::NoBrush);
  for (const QPen& pen : {QPen(Qt::black, 4), QPen(Qt::white, 1.6)}) {
    painter.setPen(pen);
    painter.drawEllipse(at, 8, 8);
  }
}

}  // namespace app::viewer
