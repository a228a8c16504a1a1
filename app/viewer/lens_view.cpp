#include "app/viewer/lens_view.h"

#include <QMouseEvent>
#include <QPainter>
#include <QPainterPath>
#include <QWheelEvent>
#include <algorithm>
#include <cmath>

namespace app::viewer {
namespace {

constexpr int kDisc = 196, kCaption = 36;

void Cross(QPainter& painter, QPointF at) {
  for (const QPen& pen : {QPen(Qt::black, 4), QPen(Qt::white, 1.6)}) {
    painter.setPen(pen);
    painter.setBrush(Qt::NoBrush);
    painter.drawEllipse(at, 7, 7);
    for (const QPointF& way : {QPointF(1, 0), QPointF(-1, 0), QPointF(0, 1), QPointF(0, -1)})
      painter.drawLine(at + 7 * way, at + 15 * way);
  }
}

}  // namespace

LensView::LensView(Desk& desk, Comparison& comparison, PageView& page)
    : QWidget(&page), desk_(desk), comparison_(comparison), page_(page) {
  resize(2 * kDisc + 40, kDisc + kCaption + 6);
  setAccessibleName(tr("Lens: source frame and strip"));
  setToolTip(
      tr("The source frame, and the strip beside it; the same point marked in both.\n"
         "[ and ] step through the frames that saw it; the wheel magnifies; double click shows the whole frame; "
         "drag to move."));
  setCursor(Qt::SizeAllCursor);
  connect(&store_, &FrameStore::arrived, this, qOverload<>(&QWidget::update));
  connect(&desk_, &Desk::opened_joint, this, &LensView::Reload);
  connect(&desk_, &Desk::laidAside, this, &LensView::Reload);
  connect(&comparison_, &Comparison::spokenOf, this, &LensView::Reload);
  connect(&comparison_, &Comparison::ready, this, &LensView::Reload);
  connect(&comparison_, &Comparison::ended, this, &LensView::Reload);
  connect(&desk_, &Desk::placed, this, &LensView::Look);
  connect(&page_, &PageView::moved, this, &LensView::StepAside);
}

void LensView::Reload() {
  store_.SetJoint(desk_.has() ? &shown() : nullptr);
  kept_frame_ = -1;
  sights_.clear();
  Pyramid all_seen = desk_.has() ? shown().pyramid : Pyramid();
  all_seen.seen.clear();
  tiles_.Show(all_seen);
  Look();
}

void LensView::Look() {
  if (!desk_.has()) return;
  const auto at = place();
  sights_ = SightsOf(shown(), at.theta_deg, at.z_mm);
  chosen_ = 0;
  for (std::size_t i = 0; i < sights_.size(); ++i)
    if (sights_[i].frame == kept_frame_) chosen_ = static_cast<int>(i);
  if (const auto sight = marked()) store_.Frame(sight->frame);
  StepAside();
  update();
}

notes::Place LensView::place() const {
  if (comparison_.at_after()) return comparison_.InAfter(desk_.theta_deg(), desk_.z_mm());
  return {desk_.theta_deg(), desk_.z_mm()};
}

void LensView::SetDocked(bool on) {
  docked_ = on, placed_ = false;
  setMinimumSize(on ? QSize(2 * kDisc + 40, kDisc + kCaption + 6) : QSize(0, 0));
  setCursor(on ? Qt::ArrowCursor : Qt::SizeAllCursor);
  if (on) return;
  resize(2 * kDisc + 40, kDisc + kCaption + 6);
  StepAside();
}

void LensView::StepAside() {
  if (docked_) return;
  const auto spot = page_.layout_of_page().SpotOf(desk_.theta_deg(), desk_.z_mm());
  const QPoint corners[] = {{page_.width() - width() - 10, page_.height() - height() - 4},
                            {page_.width() - width() - 10, 74},
                            {66, page_.height() - height() - 4},
                            {66, 74}};
  if (!placed_) move(corners[0]);
  move(std::clamp(x(), 0, std::max(0, page_.width() - width())),
       std::clamp(y(), 0, std::max(0, page_.height() - height())));
  placed_ = true;
  const auto covers = [&](QPoint at) {
    return spot && QRect(at, size()).adjusted(-30, -10, 30, 10).contains(QPointF(spot->x, spot->y).toPoint());
  };
  if (!covers(pos())) return;
  for (const QPoint& corner : corners)
    if (!covers(corner)) return move(corner);
}

std::optional<Sight> LensView::marked() const {
  if (sights_.empty()) return std::nullopt;
  return sights_[static_cast<std::size_t>(chosen_)];
}

void LensView::Step(int by) {
  if (sights_.empty()) return;
  const int count = static_cast<int>(sights_.size());
  chosen_ = ((chosen_ + by) % count + count) % count;
  kept_frame_ = marked()->frame;
  update();
  emit stepped();
}

void LensView::SetMagnification(double factor) {
  magnification_ = std::clamp(factor, 1.0, 24.0);
  update();
}

void LensView::ShowWholeFrame(bool on) {
  whole_ = on;
  update();
}

void LensView::PaintFrame(QPainter& painter, const QRectF& disc) {
  const auto sight = marked();
  painter.fillRect(disc, Qt::black);
  painter.setPen(Qt::white);
  if (!sight) {
    painter.drawText(disc.adjusted(20, 20, -20, -20), Qt::AlignCenter | Qt::TextWordWrap,
                     desk_.has() && shown().source_maps.empty()
                         ? tr("This reading keeps no source maps; measure the joint again to see its frames here.")
                         : tr("No frame saw this place."));
    return;
  }
  QString error;
  const QImage frame = store_.Frame(sight->frame, &error);
  if (frame.isNull()) {
    painter.drawText(disc.adjusted(20, 20, -20, -20), Qt::AlignCenter | Qt::TextWordWrap,
                     error.isEmpty() ? tr("Reading the frame …") : error);
    return;
  }
  if (whole_) {
    const double scale = std::min(disc.width() / frame.width(), disc.height() / frame.height());
    const QRectF target(disc.center().x() - frame.width() * scale / 2, disc.center().y() - frame.height() * scale / 2,
                        frame.width() * scale, frame.height() * scale);
    painter.setRenderHint(QPainter::SmoothPixmapTransform);
    painter.drawImage(target, frame);
    return Cross(painter,
                 {target.x() + (sight->point.u_px + 0.5) * scale, target.y() + (sight->point.v_px + 0.5) * scale});
  }
  const double half = disc.width() / 2 / magnification_;
  painter.setRenderHint(QPainter::SmoothPixmapTransform, magnification_ < 6);
  painter.drawImage(disc, frame,
                    QRectF(sight->point.u_px + 0.5 - half, sight->point.v_px + 0.5 - half, 2 * half, 2 * half));
  Cross(painter, disc.center());
}

void LensView::PaintStrip(QPainter& painter, const QRectF& disc) {
  painter.fillRect(disc, Qt::black);
  if (!desk_.has() || shown().strip.empty()) return;
  // As many millimetres across as the frame's side shows, so that both are alike.
  const auto sight = marked();
  const double resolution = sight && sight->point.resolution_mm > 0 ? sight->point.resolution_mm : 0.3;
  PageShape shape;
  const auto& strip = shown().reading.strip;
  shape.radius_mm = shown().reading.bore_radius_mm;
  shape.z_from_mm = strip.z_from_mm, shape.z_to_mm = strip.z_from_mm + (strip.rows - 1) * strip.pitch_mm;
  shape.width_px = kDisc + 8, shape.height_px = kDisc + 8;
  shape.margin_px = shape.above_px = shape.below_px = 0;
  PageLayout layout(shape);
  layout.SetScale(magnification_ / resolution);
  const auto at = place();
  const double column = at.theta_deg / 360 * layout.total_px(), row = (at.z_mm - shape.z_from_mm) * layout.px_per_mm();
  const int start =
      ((static_cast<int>(column) - kDisc / 2) % layout.total_px() + layout.total_px()) % layout.total_px();
  const int top = static_cast<int>(row) - kDisc / 2,
            last = static_cast<int>((strip.rows - 1) * strip.pitch_mm * layout.px_per_mm());
  const int from = std::max(0, top), to = std::min(last, top + kDisc);
  tiles_.SetLight(page_.tiles().light());
  if (to > from)
    tiles_.Draw(painter, QRect(static_cast<int>(disc.x()), static_cast<int>(disc.y()) + from - top, kDisc, to - from),
                layout, start, from);
  Cross(painter, disc.center());
}

void LensView::paintEvent(QPaintEvent*) {
  QPainter painter(this);
  painter.setRenderHint(QPainter::Antialiasing);
  const QRectF left(16, 3, kDisc, kDisc), right(kDisc + 24, 3, kDisc, kDisc);
  for (const bool frame : {true, false}) {
    const QRectF disc = frame ? left : right;
    QPainterPath round;
    round.addEllipse(disc);
    painter.save();
    painter.setClipPath(round);
    frame ? PaintFrame(painter, disc) : PaintStrip(painter, disc);
    painter.restore();
    painter.setBrush(Qt::NoBrush);
    painter.setPen(QPen(palette().color(QPalette::Window), 5));
    painter.drawEllipse(disc);
    painter.setPen(QPen(palette().color(QPalette::Text), 2));
    painter.drawEllipse(disc);
  }
  const QRectF caption(3, kDisc + 6, width() - 6.0, kCaption - 4.0);
  painter.setPen(Qt::NoPen);
  painter.setBrush(palette().color(QPalette::Window));
  painter.drawRoundedRect(caption, 8, 8);
  painter.setPen(palette().color(QPalette::Text));
  QFont font = painter.font();
  font.setPixelSize(11);
  painter.setFont(font);
  painter.drawText(caption, Qt::AlignCenter, Caption());
}

QString LensView::Caption() const {
  const auto sight = marked();
  if (!sight) return comparison_.has() ? comparison_.Label(comparison_.at_after()) : QString();
  const auto& pose = shown().reading.poses[static_cast<std::size_t>(sight->frame)];
  const QString which = comparison_.has() ? comparison_.Label(comparison_.at_after()) + " — " : QString();
  return which + tr("%1 (%2 of %3 that saw it), %4 mm before the weld, looks %5\npixel %6, %7; one pixel covers %8 mm")
                     .arg(QString::fromStdString(pose.file))
                     .arg(chosen_ + 1)
                     .arg(sights_.size())
                     .arg(pose.distance_to_weld_mm, 0, 'f', 0)
                     .arg(QString::fromStdString(pose.facing))
                     .arg(sight->point.u_px, 0, 'f', 0)
                     .arg(sight->point.v_px, 0, 'f', 0)
                     .arg(sight->point.resolution_mm, 0, 'f', 2);
}

void LensView::mousePressEvent(QMouseEvent* event) { grip_ = event->position().toPoint(); }

void LensView::mouseMoveEvent(QMouseEvent* event) {
  if (docked_) return;
  const QPoint at = pos() + event->position().toPoint() - grip_;
  move(std::clamp(at.x(), 0, std::max(0, page_.width() - width())),
       std::clamp(at.y(), 0, std::max(0, page_.height() - height())));
}

void LensView::mouseDoubleClickEvent(QMouseEvent*) { ShowWholeFrame(!whole_); }

void LensView::wheelEvent(QWheelEvent* event) {
  SetMagnification(magnification_ * std::pow(1.0015, event->angleDelta().y()));
  event->accept();
}

}  // namespace app::viewer
