#include <QKeyEvent>
#include <QMouseEvent>
#include <QWheelEvent>
#include <cmath>
#include <optional>
#include <utility>

#include "app/viewer/page_pair.h"
#include "app/viewer/page_view.h"
#include "vision/bore/angle.h"

/// Mouse, wheel and keys of the page.
namespace app::viewer {

namespace {

Spot SpotOf(const QPointF& at) { return {at.x(), at.y()}; }

/// A place on the second strip of a pair is the same place on the wall.
PagePlace OnWall(PagePlace place, const Desk& desk) {
  const double to = desk.opened().reading.strip.z_from_mm + StripMm(desk.opened());
  if (place.z_mm > to) place.z_mm -= StripMm(desk.opened()) + kGapBetween_mm;
  return place;
}

}  // namespace

void PageView::mousePressEvent(QMouseEvent* event) {
  if (!desk_.has()) return;
  pressed_ = last_ = SpotOf(event->position());
  dragging_ = swiping_ = false;
  const auto place = layout_.At(*pressed_);
  if (event->button() == Qt::RightButton) {
    if (tool_ != Tool::kLook) EndShape();
    pressed_.reset();
    return;
  }
  if (against_ == Against::kSwipe && place && event->button() == Qt::LeftButton && tool_ == Tool::kLook) {
    const Rect rect = layout_.StripRect(place->line);
    swiping_ = std::abs(event->position().x() - (rect.x + swipe_ * rect.width)) < 8;
  }
  if (tool_ != Tool::kLook && event->button() == Qt::LeftButton && place) {
    if (tool_ == Tool::kBox && drawing_.empty()) stretch_ = pressed_;
    AddPoint(OnWall(*place, desk_));
    pressed_.reset();
  }
}

void PageView::mouseMoveEvent(QMouseEvent* event) {
  if (!desk_.has()) return;
  const Spot at = SpotOf(event->position());
  if (const auto place = layout_.At(at)) {
    const auto on_wall = OnWall(*place, desk_);
    emit hovered(on_wall.theta_deg, on_wall.z_mm);
    if (!drawing_.empty()) {
      reach_ = {on_wall.theta_deg, on_wall.z_mm};
      update();
    }
  }
  if (!pressed_ || !last_) return;
  if (swiping_) {
    const Rect rect = layout_.StripRect(0);
    SetSwipe((at.x - rect.x) / std::max(1.0, rect.width));
    return;
  }
  dragging_ = dragging_ || std::hypot(at.x - pressed_->x, at.y - pressed_->y) > 4;
  if (dragging_) PanBy(at.x - last_->x, at.y - last_->y);
  last_ = at;
}

void PageView::mouseReleaseEvent(QMouseEvent* event) {
  if (const auto began = std::exchange(stretch_, std::nullopt); began && desk_.has()) {  // a box may be dragged too
    const Spot at = SpotOf(event->position());
    const auto place = layout_.At(at);
    if (place && std::hypot(at.x - began->x, at.y - began->y) > 6) AddPoint(OnWall(*place, desk_));
    return;
  }
  if (pressed_ && !dragging_ && !swiping_ && desk_.has())
    if (const auto place = layout_.At(SpotOf(event->position()))) {
      const auto on_wall = OnWall(*place, desk_);
      if (against_ == Against::kSwipe || against_ == Against::kBeside || against_ == Against::kBlink)
        emit halfChosen(OnAfter(event->position()));
      desk_.GoTo(on_wall.theta_deg, on_wall.z_mm);
    }
  pressed_.reset();
  dragging_ = swiping_ = false;
}

void PageView::mouseDoubleClickEvent(QMouseEvent* event) {
  if (tool_ != Tool::kLook) return EndShape();
  if (!desk_.has()) return;
  const auto place = layout_.At(SpotOf(event->position()));
  if (!place) return;
  for (const auto& note : desk_.notes().notes)
    for (const auto& point : note.points)
      if (const auto spot = layout_.SpotOf(point.theta_deg, point.z_mm);
          spot && std::hypot(spot->x - event->position().x(), spot->y - event->position().y()) < 12)
        return emit noteAsked(note.id);
}

void PageView::wheelEvent(QWheelEvent* event) {
  const QPoint turn = event->angleDelta();
  if (event->modifiers() & Qt::ShiftModifier || turn.x() != 0)
    PanBy(turn.x() != 0 ? turn.x() : turn.y(), 0);
  else if (turn.y() != 0) {
    layout_.ZoomAbout(SpotOf(event->position()), std::pow(1.0015, turn.y()));
    emit moved();
    Redraw();
  }
  event->accept();
}

void PageView::AddPoint(const PagePlace& place) {
  drawing_.push_back({place.theta_deg, place.z_mm});
  const bool whole = tool_ == Tool::kPoint || tool_ == Tool::kText || (tool_ == Tool::kBox && drawing_.size() == 2);
  if (whole) EndShape();
  update();
}

std::vector<notes::Place> PageView::Band() const {
  auto band = drawing_;
  if (band.empty() || !reach_) return band;
  const notes::Place from = band.front(), to = *reach_;
  if (tool_ == Tool::kBox) return {from, {to.theta_deg, from.z_mm}, to, {from.theta_deg, to.z_mm}, from};
  band.push_back(to);
  return band;
}

namespace {
std::optional<notes::Shape> ShapeOf(Tool tool) {
  switch (tool) {
    case Tool::kPoint:
      return notes::Shape::kPoint;
    case Tool::kText:
      return notes::Shape::kText;
    case Tool::kLine:
      return notes::Shape::kLine;
    case Tool::kBox:
      return notes::Shape::kBox;
    case Tool::kOutline:
      return notes::Shape::kOutline;
    case Tool::kToe:
    case Tool::kLook:
      break;
  }
  return std::nullopt;
}
}  // namespace

void PageView::EndShape() {
  const auto points = drawing_;
  const Tool tool = tool_;
  if (points.empty()) return SetTool(Tool::kLook);
  drawing_.clear();
  SetTool(Tool::kLook);
  if (const auto shape = ShapeOf(tool)) emit shapeDrawn(*shape, points);
  if (tool == Tool::kToe) emit toeDrawn(points);
}

void PageView::keyPressEvent(QKeyEvent* event) {
  if (!desk_.has()) return QWidget::keyPressEvent(event);
  const bool far = event->modifiers() & Qt::ShiftModifier;
  const double step = far ? 5.0 : std::max(desk_.opened().reading.strip.pitch_mm, 1 / layout_.px_per_mm());
  const double turn = step / desk_.opened().reading.bore_radius_mm * vision::bore::kDegPerRad;
  const auto go = [&](double theta, double z) {
    const auto& strip = desk_.opened().reading.strip;
    desk_.GoTo(theta, std::clamp(z, strip.z_from_mm, strip.z_from_mm + StripMm(desk_.opened())));
    Reveal(desk_.theta_deg(), desk_.z_mm());
    emit hovered(desk_.theta_deg(), desk_.z_mm());
  };
  switch (event->key()) {
    case Qt::Key_Left:
      return go(desk_.theta_deg() - turn, desk_.z_mm());
    case Qt::Key_Right:
      return go(desk_.theta_deg() + turn, desk_.z_mm());
    case Qt::Key_Up:
      return go(desk_.theta_deg(), desk_.z_mm() - step);
    case Qt::Key_Down:
      return go(desk_.theta_deg(), desk_.z_mm() + step);
    case Qt::Key_PageUp:
      return PanBy(layout_.line_px() / 2.0, 0);
    case Qt::Key_PageDown:
      return PanBy(-layout_.line_px() / 2.0, 0);
    case Qt::Key_Space:
      if (tool_ != Tool::kLook) AddPoint({desk_.theta_deg(), desk_.z_mm(), 0});
      return;
    case Qt::Key_Return:
    case Qt::Key_Enter:
      if (tool_ != Tool::kLook) EndShape();
      return;
    case Qt::Key_Escape:
      return SetTool(Tool::kLook);
    default:
      return QWidget::keyPressEvent(event);
  }
}

}  // namespace app::viewer
