#include "app/viewer/live_view.h"

#include <QHBoxLayout>
#include <QLabel>
#include <QPainter>
#include <QPushButton>
#include <QVBoxLayout>
#include <cmath>

#include "app/viewer/legend_view.h"
#include "app/viewer/live_words.h"
#include "app/viewer/page_paint_parts.h"
#include "app/viewer/pipe_end.h"
#include "vision/bore/angle.h"

namespace app::viewer {
namespace {

constexpr double kShown_mm = 18;  ///< Either side of the weld.
constexpr int kRulerPx = 17;

PageShape ShapeFor(const LivePicture& picture, QSize size) {
  PageShape shape;
  shape.radius_mm = picture.radius_mm;
  shape.z_from_mm = -kShown_mm, shape.z_to_mm = kShown_mm;
  shape.width_px = size.width(), shape.height_px = size.height();
  shape.margin_px = 24, shape.above_px = kRulerPx, shape.below_px = 4;
  return shape;
}

void PaintToe(QPainter& painter, const PageLayout& layout, int line, const std::vector<float>& toe) {
  if (toe.empty()) return;
  const auto [from, to] = layout.ThetaSpan(line);
  QPainterPath path;
  bool open = false;
  const double step = 360.0 / static_cast<double>(toe.size());
  for (auto k = static_cast<long>(std::floor(from / step)); static_cast<double>(k) * step <= to; ++k) {
    const float z = toe[static_cast<std::size_t>(k) % toe.size()];
    if (!std::isfinite(z)) {
      open = false;
      continue;
    }
    const QPointF at(layout.XOnLine(static_cast<double>(k) * step, line), layout.YOnLine(z, line));
    open ? path.lineTo(at) : path.moveTo(at);
    open = true;
  }
  for (const QPen& pen : {QPen(QColor(0, 0, 0, 150), 3), PenOfMark(marks::Means::kToe, 1.3)})
    StrokePieces(painter, path, pen);
}

}  // namespace

LivePage::LivePage(QWidget* parent) : QWidget(parent) {
  setObjectName("live_page");
  setMinimumSize(400, 260);
  setAccessibleName(tr("The strip while it fills"));
  setToolTip(tr("Coarse, for guiding the camera. Dotted: not seen yet. Yellow: where the toes seem to lie."));
}

void LivePage::Show(std::shared_ptr<const LivePicture> picture) {
  picture_ = std::move(picture);
  fresh_ = true;
  update();
}

void LivePage::Forget() {
  picture_.reset();
  screen_ = {};
  update();
}

void LivePage::PaintLine(QPainter& painter, const PageLayout& layout, int line) {
  const Rect r = layout.StripRect(line);
  const QRectF strip(r.x, r.y, r.width, r.height);
  painter.fillRect(strip, QColor(60, 60, 60));
  painter.setPen(QPen(QColor(220, 220, 220), 1.8, Qt::SolidLine, Qt::RoundCap));
  for (double y = strip.top() + 6; y < strip.bottom(); y += 12)
    for (double x = strip.left() + 6; x < strip.right(); x += 12) painter.drawPoint(QPointF(x, y));
  const LivePicture& p = *picture_;
  painter.save();
  painter.setClipRect(strip);
  if (!p.strip.isNull()) {
    painter.setRenderHint(QPainter::SmoothPixmapTransform);
    const double top = layout.YOnLine(p.z_from_mm - 0.5 * p.pitch_mm, line);
    const double height = p.strip.height() * p.pitch_mm * layout.px_per_mm();
    for (const double turn : {0.0, 360.0}) {
      const double left = layout.XOnLine(turn, line);
      if (left < strip.right() && left + layout.total_px() > strip.left())
        painter.drawImage(QRectF(left, top, layout.total_px(), height), p.strip);
    }
  }
  painter.setRenderHint(QPainter::Antialiasing);
  PaintToe(painter, layout, line, p.left_toe_mm);
  PaintToe(painter, layout, line, p.right_toe_mm);
  painter.restore();
  painter.setFont(Small(painter));
  painter.setPen(palette().color(QPalette::Text));
  const auto [from, to] = layout.ThetaSpan(line);
  for (double theta = std::ceil(from / 30) * 30; theta < to; theta += 30) {
    const double x = layout.XOnLine(theta, line);
    painter.drawLine(QPointF(x, strip.top() - 4), QPointF(x, strip.top()));
    if (x + 34 > strip.right()) continue;
    painter.drawText(QPointF(x + 3, strip.top() - 5),
                     clock_known_ ? QString::fromStdString(vision::bore::ClockText(vision::bore::Wrap360(theta)))
                                  : tr("%1° rel.").arg(vision::bore::Wrap360(theta)));
  }
}

void LivePage::paintEvent(QPaintEvent*) {
  QPainter painter(this);
  if (!picture_ || picture_->radius_mm <= 0) {
    painter.setPen(palette().color(QPalette::Text));
    painter.drawText(rect(), Qt::AlignCenter, tr("Nothing of the wall was laid flat yet."));
  } else {
    const PageLayout layout(ShapeFor(*picture_, size()));
    for (int line = 0; line < layout.lines(); ++line) PaintLine(painter, layout, line);
  }
  if (!fresh_) return;
  fresh_ = false;
  painter.end();
  screen_.Add(std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - picture_->captured).count());
  emit painted();
}

LiveEnd::LiveEnd(QWidget* parent) : QWidget(parent) {
  setMinimumSize(220, 220);
  setAccessibleName(tr("How much of the ring was seen"));
  setToolTip(tr(
      "Filled from the inside out by how much of the 10 mm either side of the weld was seen finely enough. Dotted: not "
      "yet. Seen does not mean fused."));
}

void LiveEnd::Show(std::shared_ptr<const LivePicture> picture) {
  picture_ = std::move(picture);
  update();
}

void LiveEnd::paintEvent(QPaintEvent*) {
  QPainter painter(this);
  painter.setRenderHint(QPainter::Antialiasing);
  const QColor text = palette().color(QPalette::Text);
  const double r = std::max(40.0, std::min(width(), height() - 34) / 2.0 - 22);
  const QPointF centre(width() / 2.0, (height() - 34) / 2.0);
  PaintCutWall(painter, centre, r, 0.88 * r, text);
  const auto parts = picture_ ? picture_->coverage : std::vector<double>(72, 0.0);
  const double step = 360.0 / static_cast<double>(parts.size());
  QPainterPath ring;
  ring.addEllipse(centre, 0.84 * r, 0.84 * r);
  ring.addEllipse(centre, 0.5 * r, 0.5 * r);
  painter.fillPath(ring, QColor(60, 60, 60));
  for (std::size_t i = 0; i < parts.size(); ++i) {
    const double from = step * static_cast<double>(i);
    const double seen = 0.5 + (0.84 - 0.5) * parts[i];
    if (parts[i] > 0.02) FillMark(painter, RingSector(centre, seen * r, 0.5 * r, from, step), marks::Means::kSeenLive);
    painter.setPen(QPen(QColor(220, 220, 220), 2.4));
    if (parts[i] < 0.8) painter.drawPoint(OnRing(centre, 0.78 * r, from + step / 2));
  }
  QFont font = painter.font();
  font.setBold(true);
  font.setPixelSize(std::max(12, static_cast<int>(r / 9)));
  painter.setFont(font);
  painter.setPen(text);
  for (int hour = 0; hour < 12; ++hour) {
    const QPointF at = OnRing(centre, r + 12, 30.0 * hour);
    if (!clock_known_ && hour % 3 != 0) continue;
    painter.drawText(QRectF(at.x() - 24, at.y() - 12, 48, 24), Qt::AlignCenter,
                     clock_known_ ? QString::number(hour == 0 ? 12 : hour) : QString("%1°").arg(30 * hour));
  }
  font.setPixelSize(static_cast<int>(r * 0.26));
  painter.setFont(font);
  painter.drawText(QRectF(centre.x() - r / 2, centre.y() - r * 0.3, r, r * 0.36), Qt::AlignCenter,
                   QString("%1 %").arg(picture_ ? std::floor(100 * picture_->covered) : 0));
  font.setPixelSize(std::max(10, static_cast<int>(r * 0.12)));
  painter.setFont(font);
  painter.drawText(QRectF(centre.x() - r / 2, centre.y() + r * 0.05, r, r * 0.24), Qt::AlignCenter, tr("seen"));
  font.setBold(false);
  font.setPixelSize(11);
  painter.setFont(font);
  painter.drawText(QRectF(0, height() - 32, width(), 32), Qt::AlignCenter | Qt::TextWordWrap,
                   clock_known_ ? tr("clock as seen looking along +z; seen does not mean fused")
                                : tr("degrees from the picture's up, no clock is known; seen does not mean fused"));
}

LiveView::LiveView(QWidget* parent)
    : QFrame(parent),
      page_(new LivePage),
      end_(new LiveEnd),
      hint_(new QLabel),
      why_(new QLabel),
      figures_(new QLabel),
      caution_(new QLabel(LiveWords::Guide())),
      stop_(new QPushButton(tr("&Stop"))),
      sort_(new QPushButton(tr("Sort the &recording"))) {
  setObjectName("live");
  setAccessibleName(tr("Live view"));
  QFont large = hint_->font();
  large.setPixelSize(34);
  large.setBold(true);
  hint_->setFont(large);
  hint_->setObjectName("live_hint"), figures_->setObjectName("live_figures"), why_->setObjectName("live_why");
  hint_->setAccessibleName(tr("What to do now"));
  for (QLabel* label : {hint_, why_, figures_, caution_}) label->setWordWrap(true);
  stop_->setObjectName("live_stop"), sort_->setObjectName("live_sort");
  auto* row = new QHBoxLayout(this);
  row->setContentsMargins(0, 0, 0, 0);
  row->addWidget(page_, 1);
  auto* column = new QVBoxLayout;
  auto* legend = new LegendView;
  legend->Show({marks::Means::kSeenLive, marks::Means::kNotVisible, marks::Means::kToe});
  auto* fill =
      new QLabel(tr("The ring fills from the inside out as more of the 10 mm either side of the weld is seen."));
  fill->setWordWrap(true);
  for (QWidget* part :
       std::initializer_list<QWidget*>{hint_, why_, end_, legend, fill, figures_, caution_, sort_, stop_})
    column->addWidget(part);
  column->setStretch(2, 1);
  auto* side = new QWidget;
  side->setFixedWidth(330);
  side->setLayout(column);
  row->addWidget(side);
  connect(page_, &LivePage::painted, &runner_, &LiveRunner::Shown);
  connect(&runner_, &LiveRunner::arrived, this, [this](std::shared_ptr<const LivePicture> picture) {
    hint_->setText(LiveWords::Of(picture->hint));
    why_->setText(LiveWords::Why(picture->why));
    end_->Show(picture);
    page_->Show(std::move(picture));
  });
  connect(&runner_, &LiveRunner::told, this,
          [this](std::shared_ptr<const vision::live::WatchFigures> figures, vision::live::Hint hint) {
            hint_->setText(LiveWords::Of(hint));
            SayFigures(*figures, false);
          });
  connect(&runner_, &LiveRunner::ended, this, [this](std::shared_ptr<const vision::live::WatchFigures> figures) {
    hint_->setText(tr("Ended"));
    if (!figures->record_files.empty()) recording_ = QString::fromStdString(figures->record_files.front());
    sort_->setVisible(figures->recorded > 0);
    stop_->setText(tr("&Back to the joint"));
    SayFigures(*figures, true);
    emit ended();
  });
  connect(&runner_, &LiveRunner::failed, this, [this](const QString& sentence) {
    emit closed();
    emit failed(sentence);
  });
  connect(stop_, &QPushButton::clicked, this, [this] { running() ? Stop() : emit closed(); });
  connect(sort_, &QPushButton::clicked, this, [this] {
    emit closed();
    emit sortAsked(recording_);
  });
  hide();
}

void LiveView::Start(const vision::live::WatchOptions& options, bool clock_known) {
  if (!runner_.Start(options)) return;
  page_->SetClockKnown(clock_known), end_->SetClockKnown(clock_known);
  recording_.clear();
  page_->Forget();
  end_->Show({});
  hint_->setText(LiveWords::Of(vision::live::Hint::kNoPicture));
  why_->clear(), figures_->clear();
  stop_->setText(tr("&Stop"));
  sort_->hide();
  show();
  stop_->setFocus();
}

void LiveView::Stop() { runner_.Stop(); }

QString LiveView::hint() const { return hint_->text(); }
QString LiveView::figures() const { return figures_->text(); }

void LiveView::SayFigures(const vision::live::WatchFigures& figures, bool over) {
  figures_->setText(LiveWords::Figures(figures, page_->screen(), over));
}

}  // namespace app::viewer
