#include "app/viewer/page_view.h"

#include <QPainter>
#include <QThreadPool>
#include <algorithm>
#include <cmath>

#include "app/viewer/page_paint.h"
#include "app/viewer/page_pair.h"
#include "vision/bore/angle.h"

namespace app::viewer {
namespace {

constexpr int kBlinkMs = 700;

/// What the kept picture was painted for; another size or place of the page needs another one.
std::vector<double> StillOf(const QWidget& view, const PageLayout& layout) {
  return {static_cast<double>(view.width()),
          static_cast<double>(view.height()),
          view.devicePixelRatioF(),
          static_cast<double>(layout.total_px()),
          static_cast<double>(layout.start_px()),
          static_cast<double>(layout.top_px())};
}

}  // namespace

PageView::PageView(Desk& desk, QWidget* parent) : QWidget(parent), desk_(desk) {
  setFocusPolicy(Qt::StrongFocus);
  setMouseTracking(true);
  setMinimumSize(360, 160);
  setAccessibleName(tr("Strip of the inside wall"));
  setAccessibleDescription(tr("The whole circumference as lines of a page; arrows move the cross-hair"));
  connect(&desk_, &Desk::opened_joint, this, &PageView::Reload);
  connect(&desk_, &Desk::changed, this, [this] {
    Reshape();
    Redraw();
  });
  connect(&desk_, &Desk::placed, this, qOverload<>(&QWidget::update));
}

void PageView::Reload() {
  const auto& opened = desk_.opened();
  tiles_.Show(opened.pyramid);
  tiles_.SetLight(Light());
  SetOther({}, {});
  drawing_.clear();
  Reshape();
  ShowWhole();
}

void PageView::Reshape() {
  if (!desk_.has()) return;
  const auto& strip = desk_.opened().reading.strip;
  PageShape shape;
  shape.radius_mm = desk_.opened().reading.bore_radius_mm;
  shape.z_from_mm = strip.z_from_mm;
  shape.z_to_mm = strip.z_from_mm + StripMm(desk_.opened());
  if (against_ == Against::kBeside) shape.z_to_mm += StripMm(desk_.opened()) + kGapBetween_mm;
  shape.width_px = width(), shape.height_px = height();
  std::tie(shape.above_px, shape.below_px) = MarginsFor(layers_, desk_.ribbons(), desk_.opened().film.has_value());
  layout_.Reshape(shape);
  emit moved();
}

void PageView::SetLayers(const Layers& layers) {
  layers_ = layers;
  for (auto* tiles : {&tiles_, &other_, &difference_, &heights_}) tiles->ShowNotExamined(layers.not_examined);
  Reshape();
  Redraw();
}

PageView::~PageView() { QThreadPool::globalInstance()->waitForDone(); }

void PageView::SetLight(const Light& light) {
  if (light.local_contrast && !tiles_.contrasted() && desk_.has()) {
    QThreadPool::globalInstance()->start([this, strip = desk_.opened().strip] {
      const auto evened = LevelsOf(LocallyContrasted(strip));
      QMetaObject::invokeMethod(
          this,
          [this, strip, evened] {
            if (!desk_.has() || desk_.opened().strip.data != strip.data) return;
            tiles_.SetContrasted(evened);
            Redraw();
          },
          Qt::QueuedConnection);
    });
  }
  for (auto* tiles : {&tiles_, &other_}) tiles->SetLight(light);
  Redraw();
}

void PageView::SetRuler(Ruler ruler) {
  ruler_ = ruler;
  Redraw();
}

void PageView::SetTool(Tool tool) {
  tool_ = tool;
  drawing_.clear();
  reach_.reset(), stretch_.reset();
  setCursor(tool == Tool::kLook ? Qt::ArrowCursor : Qt::CrossCursor);
  emit toolChanged(tool);
  update();
}

void PageView::SetOtherNotes(const notes::Notes& notes) {
  other_notes_ = notes;
  Redraw();
}

void PageView::SetOther(const Pyramid& other, const Pyramid& difference, const Pyramid& heights) {
  other_.Show(other);
  difference_.Show(difference);
  heights_.Show(heights);
  if (other_.empty()) SetAgainst(Against::kNone);
  Redraw();
}

void PageView::SetAgainst(Against against) {
  if (against == Against::kHeights && heights_.empty()) return;
  against_ = other_.empty() ? Against::kNone : against;
  blink_other_ = false;
  if (against_ == Against::kBlink)
    blink_.start(kBlinkMs, this);
  else
    blink_.stop();
  Reshape();
  Redraw();
  emit againstChanged();
}

void PageView::SetSwipe(double share) {
  swipe_ = std::clamp(share, 0.0, 1.0);
  Redraw();
}

void PageView::timerEvent(QTimerEvent* event) {
  if (event->timerId() != blink_.timerId()) return QWidget::timerEvent(event);
  blink_other_ = !blink_other_;
  Redraw();
}

void PageView::ShowWhole() {
  layout_.ShowWhole();
  emit moved();
  Redraw();
}

void PageView::Zoom(double factor) {
  const auto middle = layout_.SpotOf(desk_.theta_deg(), desk_.z_mm());
  layout_.ZoomAbout(middle.value_or(Spot{width() / 2.0, layout_.StripRect(0).y + layout_.strip_px() / 2.0}), factor);
  emit moved();
  Redraw();
}

void PageView::ZoomToSourcePixels() {
  const double resolution = desk_.has() ? desk_.opened().reading.strip.resolution_mm : 0.3;
  layout_.SetScale(8 / std::max(0.02, std::isfinite(resolution) ? resolution : 0.3));  // eight screen pixels each
  layout_.Reveal(desk_.theta_deg(), desk_.z_mm(), true);
  emit moved();
  Redraw();
}

void PageView::Reveal(double theta_deg, double z_mm) {
  layout_.Reveal(theta_deg, z_mm);
  emit moved();
  Redraw();
}

void PageView::PanBy(double dx, double dy) {
  layout_.Pan(dx, dy);
  emit moved();
  Redraw();
}

void PageView::resizeEvent(QResizeEvent*) { Reshape(); }

void PageView::PaintPictures(QPainter& painter, int line) {
  const Rect r = layout_.StripRect(line);
  const QRect rect(static_cast<int>(r.x), static_cast<int>(r.y), static_cast<int>(r.width), static_cast<int>(r.height));
  const int start =
      static_cast<int>((layout_.start_px() + static_cast<long>(line) * layout_.line_px()) % layout_.total_px());
  if (against_ == Against::kBeside) return PaintBeside(painter, line);
  const bool other = against_ == Against::kBlink && blink_other_;
  (other                              ? other_
   : against_ == Against::kDifference ? difference_
   : against_ == Against::kHeights    ? heights_
                                      : tiles_)
      .Draw(painter, rect, layout_, start, layout_.top_px());
  if (against_ == Against::kSwipe) {
    const int from = static_cast<int>(swipe_ * rect.width());
    other_.Draw(painter, rect.adjusted(from, 0, 0, 0), layout_, (start + from) % layout_.total_px(), layout_.top_px());
    painter.setPen(QPen(Qt::white, 3));
    painter.drawLine(rect.x() + from, rect.top(), rect.x() + from, rect.bottom());
    painter.setPen(QPen(Qt::black, 1));
    painter.drawLine(rect.x() + from, rect.top(), rect.x() + from, rect.bottom());
    PaintLabel(painter, QPoint(rect.x() + from - 3, rect.top()), false, true);
    PaintLabel(painter, QPoint(rect.x() + from + 3, rect.top()), true);
  }
  if (against_ == Against::kBlink) PaintLabel(painter, rect.topLeft(), other);
}

void PageView::PaintLabel(QPainter& painter, QPoint at, bool after, bool right) {
  const QString text = after ? (after_.isEmpty() ? tr("after") : after_) : (before_.isEmpty() ? tr("before") : before_);
  const int wide = painter.fontMetrics().horizontalAdvance(text) + 14;
  const QRect box(right ? at.x() - wide : at.x(), at.y(), wide, 20);
  painter.fillRect(box, QColor(0, 0, 0, 190));
  painter.setPen(Qt::white);
  painter.drawText(box, Qt::AlignCenter, text);
}

bool PageView::OnAfter(QPointF spot) const {
  const auto place = layout_.At({spot.x(), spot.y()});
  if (!place || !desk_.has()) return false;
  if (against_ == Against::kBlink) return blink_other_;
  if (against_ == Against::kBeside)
    return place->z_mm > desk_.opened().reading.strip.z_from_mm + StripMm(desk_.opened());
  const Rect rect = layout_.StripRect(place->line);
  return against_ == Against::kSwipe && spot.x() > rect.x + swipe_ * rect.width;
}

void PageView::SetLabels(const QString& before, const QString& after) {
  before_ = before, after_ = after;
  Redraw();
}

void PageView::PaintBeside(QPainter& painter, int line) {
  const Rect r = layout_.StripRect(line);
  const int start =
      static_cast<int>((layout_.start_px() + static_cast<long>(line) * layout_.line_px()) % layout_.total_px());
  const int one = static_cast<int>(StripMm(desk_.opened()) * layout_.px_per_mm());
  const int second = static_cast<int>((StripMm(desk_.opened()) + kGapBetween_mm) * layout_.px_per_mm());
  const int top = static_cast<int>(r.y), bottom = static_cast<int>(r.y + r.height), scrolled = layout_.top_px();
  const auto draw = [&](StripTiles& tiles, int offset) {
    const int from = std::max(top, top + offset - scrolled), to = std::min(bottom, top + offset - scrolled + one);
    if (from >= to) return;
    const QRect rect(static_cast<int>(r.x), from, static_cast<int>(r.width), to - from);
    tiles.Draw(painter, rect, layout_, start, from - (top + offset - scrolled));
    PaintLabel(painter, rect.topLeft(), &tiles == &other_);
  };
  draw(tiles_, 0);
  draw(other_, second);
}

void PageView::paintEvent(QPaintEvent*) {
  ++painted_;
  QPainter painter(this);
  painter.fillRect(rect(), palette().color(QPalette::Base));
  if (!desk_.has() || tiles_.empty()) {
    painter.setPen(palette().color(QPalette::Text));
    painter.drawText(
        rect().adjusted(40, 20, -40, -20), Qt::AlignCenter | Qt::TextWordWrap,
        desk_.has() ? tr("No weld was found in this recording: there is no strip.")
        : !desk_.waiting_for().empty()
            ? tr("%1 has not been measured yet.").arg(QString::fromStdString(desk_.waiting_for()))
            : tr("Open a joint file (Ctrl+O), a measured folder, a folder of frames or a video, or drop one here."));
    return;
  }
  if (stale_ || StillOf(*this, layout_) != still_of_) PaintStill();
  painter.drawPixmap(0, 0, still_);
  painter.setRenderHint(QPainter::Antialiasing);
  for (int line = 0; line < layout_.lines(); ++line) {
    const Rect r = layout_.StripRect(line);
    const LinePaint p{painter, layout_, desk_, palette(), line, ruler_};
    painter.save();
    painter.setClipRect(QRectF(r.x, r.y, r.width, r.height));
    PaintDrawing(p, Band(), tool_ == Tool::kToe ? marks::Means::kToeByHand : marks::Means::kNote);
    PaintCursor(p, desk_.theta_deg(), desk_.z_mm());
    if (against_ == Against::kBeside)
      PaintCursor(p, desk_.theta_deg(), desk_.z_mm() + StripMm(desk_.opened()) + kGapBetween_mm);
    painter.restore();
  }
}

void PageView::PaintStill() {
  ++painted_still_;
  stale_ = false;
  still_of_ = StillOf(*this, layout_);
  still_ = QPixmap(size() * devicePixelRatioF());
  still_.setDevicePixelRatio(devicePixelRatioF());
  still_.fill(palette().color(QPalette::Base));
  QPainter painter(&still_);
  painter.setFont(font());
  bool scale_bar = false;
  for (int line = layout_.lines() - 1; line >= 0; --line) {
    PaintPictures(painter, line);
    const Rect r = layout_.StripRect(line);
    const LinePaint p{painter, layout_, desk_, palette(), line, ruler_};
    painter.setRenderHint(QPainter::Antialiasing);
    if (layers_.rulers) PaintRuler(p);
    if (layers_.fusion) PaintFusionEdges(p);
    if (layers_.ribbons) PaintRibbons(p);
    if (layers_.film) PaintFilm(p);
    painter.save();
    painter.setClipRect(QRectF(r.x, r.y, r.width, r.height));
    if (layers_.reader) PaintReader(p);
    if (layers_.toes) PaintToes(p);
    if (layers_.indications) PaintIndications(p);
    if (layers_.notes) PaintStops(p), PaintOtherNotes(p, other_notes_), PaintNotes(p);
    painter.restore();
    painter.setRenderHint(QPainter::Antialiasing, false);
    if (!scale_bar) scale_bar = PaintScaleBar(p, desk_.units());
  }
}

void PageView::Redraw() {
  stale_ = true;
  update();
}

void PageView::changeEvent(QEvent* event) {
  if (event->type() == QEvent::PaletteChange || event->type() == QEvent::FontChange) Redraw();
  QWidget::changeEvent(event);
}

}  // namespace app::viewer
