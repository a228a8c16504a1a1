#include "app/viewer/timeline_view.h"

#include <QComboBox>
#include <QHBoxLayout>
#include <QLabel>
#include <QPainter>
#include <QPushButton>
#include <QShortcut>
#include <QVBoxLayout>
#include <cmath>

#include "app/viewer/legend_view.h"
#include "app/viewer/tiles.h"
#include "app/viewer/timeline_words.h"
#include "vision/recording/frame_at.h"

namespace app::viewer {
namespace {

constexpr int kString = 14, kWords = 40, kEdge = 6;

}  // namespace

TimelineFrame::TimelineFrame(QWidget* parent) : QWidget(parent) {
  setObjectName("timeline_frame");
  setCursor(Qt::PointingHandCursor);
  setToolTip(tr("A click takes the frame away (Esc)"));
  auto* away = new QShortcut(QKeySequence(Qt::Key_Escape), this, nullptr, nullptr, Qt::WidgetWithChildrenShortcut);
  connect(away, &QShortcut::activated, this, &QWidget::hide);
  hide();
}

void TimelineFrame::Show(const QImage& image, const std::vector<cv::Rect>& boxes, const QString& words, int hang_x) {
  image_ = image, boxes_ = boxes, words_ = words;
  const int room = parentWidget()->width();
  const int wide = std::min(460, room - 20), high = wide * image.height() / std::max(1, image.width());
  const int left = std::clamp(hang_x - wide / 2, 4, std::max(4, room - wide - 4));
  hang_px_ = hang_x - left;
  setAccessibleName(words);
  setGeometry(left, y(), wide + 2 * kEdge, kString + high + kWords + 2 * kEdge);
  raise();
  show();
  update();
}

void TimelineFrame::paintEvent(QPaintEvent*) {
  QPainter painter(this);
  painter.setRenderHints(QPainter::Antialiasing | QPainter::SmoothPixmapTransform);
  const QColor text = palette().color(QPalette::Text);
  const QRectF card(0.5, kString, width() - 1, height() - kString - 1);
  painter.setPen(QPen(text, 2));
  painter.drawLine(QPointF(hang_px_, 0), QPointF(hang_px_, kString));
  painter.setBrush(palette().color(QPalette::Base));
  painter.setPen(QPen(text, 1));
  painter.drawRect(card);
  const QRectF area = card.adjusted(kEdge, kEdge, -kEdge, -kEdge - kWords);
  painter.drawImage(area, image_);
  const double scale = area.width() / std::max(1, image_.width());
  painter.setBrush(Qt::NoBrush);
  for (const auto& box : boxes_) {
    const QRectF rect(area.x() + scale * box.x - 2, area.y() + scale * box.y - 2, scale * box.width + 4,
                      scale * box.height + 4);
    for (const QPen& pen : {QPen(Qt::black, 3), QPen(Qt::white, 1, Qt::DashLine)}) {
      painter.setPen(pen);
      painter.drawRect(rect);
    }
  }
  painter.setPen(text);
  painter.drawText(QRectF(area.x(), area.bottom() + 4, area.width(), kWords), Qt::TextWordWrap, words_);
}

TimelineView::TimelineView(JobRunner& jobs, QWidget* parent)
    : QFrame(parent),
      jobs_(jobs),
      band_(new TimelineBand),
      words_(new QLabel),
      welds_(new QComboBox),
      measure_(new QPushButton(tr("&Measure this stretch"))) {
  setObjectName("timeline");
  auto* column = new QVBoxLayout(this);
  column->setContentsMargins(0, 0, 0, 0);
  column->setSpacing(2);
  column->addWidget(band_);
  auto* legend = new LegendView;
  legend->Show({marks::Means::kAtWeld, marks::Means::kWelding});
  column->addWidget(legend);
  auto* row = new QHBoxLayout;
  row->setContentsMargins(10, 0, 10, 2);
  words_->setObjectName("timeline_words");
  words_->setMinimumWidth(80);
  words_->setWordWrap(true);
  words_->setSizePolicy(QSizePolicy::Ignored, QSizePolicy::Preferred);
  row->addWidget(words_, 1);
  welds_->setObjectName("timeline_welds");
  welds_->setAccessibleName(tr("Which weld's stretch"));
  measure_->setObjectName("timeline_measure");
  auto* close = new QPushButton(tr("Put the band away"));
  close->setObjectName("timeline_close");
  row->addWidget(welds_);
  row->addWidget(measure_);
  row->addWidget(close);
  column->addLayout(row);
  connect(band_, &TimelineBand::hovered, this,
          [this](double time_s) { Say(TimelineWords::AtTime(timeline_->scanned, time_s)); });
  connect(band_, &TimelineBand::left, this, [this] {
    Say(band_->chosen_s() ? TimelineWords::AtTime(timeline_->scanned, *band_->chosen_s())
                          : TimelineWords::Whole(*timeline_));
  });
  connect(band_, &TimelineBand::chosen, this, &TimelineView::Look);
  connect(measure_, &QPushButton::clicked, this, &TimelineView::Measure);
  connect(close, &QPushButton::clicked, this, [this] {
    hide();
    if (frame_) frame_->hide();
  });
  hide();
}

QString TimelineView::words() const { return words_->toolTip(); }

void TimelineView::Say(const QString& sentence) {
  words_->setToolTip(sentence);
  words_->setText(sentence);
}

void TimelineView::Sort(const QString& source) {
  const bool started =
      jobs_.Start(tr("Sorting the recording"),
                  [this, path = source.toStdString()](const vision::JobContext& job) -> JobRunner::Finish {
                    auto made = std::make_shared<vision::Result<Timeline>>(SortRecording(path, job));
                    return [this, made] {
                      if (made->cancelled()) return emit remarked(tr("Sorting was stopped; nothing was changed."));
                      if (!made->ok()) return emit failed(QString::fromStdString(made->error().message));
                      Show(std::make_shared<const Timeline>(std::move(*made).value()));
                      emit sorted();
                    };
                  });
  if (!started) emit remarked(tr("Other work is under way; sort the recording when it has ended."));
}

void TimelineView::Show(std::shared_ptr<const Timeline> timeline) {
  if (frame_) frame_->hide();
  timeline_ = std::move(timeline);
  band_->Show(timeline_);
  welds_->clear();
  const auto& welds = timeline_->scanned.sorted.welds;
  for (std::size_t i = 0; i < welds.size(); ++i)
    if (welds[i].proposed)
      welds_->addItem(tr("weld %1, %2").arg(i + 1).arg(TimelineWords::Span(welds[i].best_from_s, welds[i].best_to_s)),
                      static_cast<int>(i));
  measure_->setEnabled(welds_->count() > 0);
  measure_->setToolTip(welds_->count() > 0
                           ? tr("Takes the sharpest frames of the stretch as pictures beside the recording, then "
                                "measures them")
                           : tr("No stretch is fit for measuring; the band says why under the mouse"));
  Say(TimelineWords::Whole(*timeline_));
  show();
}

void TimelineView::Look(double time_s) {
  Say(TimelineWords::AtTime(timeline_->scanned, time_s));
  wanted_s_ = time_s;
  if (looker_.busy()) return looker_.Cancel();  // what ends there starts the newest
  looker_.Start({}, [this, time_s, timeline = timeline_](const vision::JobContext& job) -> JobRunner::Finish {
    const auto frame = vision::recording::FrameAt(timeline->source.string(), time_s, job);
    const QImage image = frame.ok() ? ImageOf(cv::Mat3b(frame.value().image)) : QImage();
    const QString wrong = frame.ok() || frame.cancelled() ? QString() : QString::fromStdString(frame.error().message);
    return [this, time_s, image, wrong, timeline] {
      if (timeline != timeline_ || !isVisible()) return;
      if (wanted_s_ != time_s) return Look(wanted_s_);
      if (!wrong.isEmpty()) return emit failed(wrong);
      Hang(image, time_s);
    };
  });
}

void TimelineView::Hang(const QImage& image, double time_s) {
  if (!frame_) frame_ = new TimelineFrame(window());
  // Below the line of words, so that neither it nor the buttons are hidden.
  const QPoint foot =
      mapTo(window(), QPoint(band_->x() + static_cast<int>(std::lround(band_->XOf(time_s))), height() - 4));
  frame_->move(0, foot.y());
  std::vector<cv::Rect> boxes;
  for (const auto& mark : timeline_->scanned.burned_in)
    if (time_s >= mark.from_s && time_s <= mark.to_s) boxes.push_back(mark.place);
  frame_->Show(image, boxes, TimelineWords::AtTime(timeline_->scanned, time_s), foot.x());
  emit frameShown(time_s);
}

void TimelineView::Measure() {
  if (!timeline_ || welds_->currentIndex() < 0) return;
  const auto weld = static_cast<std::size_t>(welds_->currentData().toInt());
  jobs_.Start(tr("Taking the stretch"),
              [this, weld, timeline = timeline_](const vision::JobContext& job) -> JobRunner::Finish {
                const auto request = TakeStretch(*timeline, weld, 6, job);
                return [this, request] {
                  if (request.cancelled()) return emit remarked(tr("Taking the stretch was stopped."));
                  if (!request.ok()) return emit failed(QString::fromStdString(request.error().message));
                  emit stretchTaken(request.value());
                };
              });
}

}  // namespace app::viewer
