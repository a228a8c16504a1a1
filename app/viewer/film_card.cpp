#include "app/viewer/film_card.h"

#include <QHBoxLayout>
#include <QLabel>
#include <QPainter>
#include <QPushButton>
#include <QShortcut>
#include <QVBoxLayout>

#include "app/viewer/fitted.h"
#include "vision/scan/scan.h"

namespace app::viewer {
namespace {

constexpr int kWide = 400, kHigh = 300;

}  // namespace

FilmCard::FilmCard(QWidget* parent)
    : QFrame(parent),
      words_(new QLabel),
      time_(new QLabel),
      picture_(new QWidget),
      pause_(new QPushButton),
      again_(new QPushButton(tr("A&gain"))),
      away_(new QPushButton(tr("A&way"))) {
  setObjectName("film_card");
  setAccessibleName(tr("Recording, playing"));
  setFrameShape(QFrame::StyledPanel);
  setAutoFillBackground(true);
  auto* column = new QVBoxLayout(this);
  column->setContentsMargins(8, 6, 8, 6);
  words_->setWordWrap(true);
  words_->setObjectName("film_words");
  column->addWidget(words_);
  picture_->setFixedSize(kWide, kHigh);
  picture_->setAttribute(Qt::WA_TransparentForMouseEvents);
  column->addWidget(picture_);
  auto* row = new QHBoxLayout;
  row->addWidget(time_, 1);
  for (auto* button : {pause_, again_, away_}) row->addWidget(button);
  column->addLayout(row);
  pause_->setObjectName("film_pause"), again_->setObjectName("film_again"), away_->setObjectName("film_away");
  pause_->setToolTip(tr("Holds the recording, or lets it go on (Space)"));
  again_->setToolTip(tr("From the same moment once more"));
  away_->setToolTip(tr("Takes the card away (Esc)"));
  connect(pause_, &QPushButton::clicked, this, [this] {
    if (ended_) return Play(place_, words(), follows_);
    player_.Pause(!player_.paused());
    SayState();
  });
  connect(again_, &QPushButton::clicked, this, [this] { Play(place_, words(), follows_); });
  connect(away_, &QPushButton::clicked, this, &FilmCard::Away);
  auto* escape = new QShortcut(QKeySequence(Qt::Key_Escape), this, nullptr, nullptr, Qt::WidgetWithChildrenShortcut);
  connect(escape, &QShortcut::activated, this, &FilmCard::Away);
  connect(&player_, &FilmPlayer::shown, this, [this](const QImage& image, double time_s) {
    image_ = image, time_s_ = time_s;
    SayState();
    update();
  });
  connect(&player_, &FilmPlayer::ended, this, [this] {
    ended_ = true;
    SayState();
  });
  connect(&player_, &FilmPlayer::failed, this, [this](const QString& sentence) {
    Away();
    emit failed(sentence);
  });
  hide();
}

QString FilmCard::words() const { return words_->text(); }

void FilmCard::Play(const FilmPlace& place, const QString& words, bool follows) {
  place_ = place, follows_ = follows, ended_ = false;
  image_ = {}, time_s_ = -1;
  words_->setText(words);
  player_.Play(place);
  SayState();
  adjustSize();
  move(right_ ? std::max(12, parentWidget()->width() - width() - 12) : 12,
       std::max(0, parentWidget()->height() - height() - 12));
  raise();
  show();
  pause_->setFocus();
}

void FilmCard::KeepOff(double x_px) { right_ = x_px < parentWidget()->width() / 2.0; }

void FilmCard::Away() {
  player_.Stop();
  hide();
  if (parentWidget()) parentWidget()->setFocus();
}

void FilmCard::SayState() {
  pause_->setText(ended_ || player_.paused() ? tr("&Go on") : tr("&Hold"));
  const QString time =
      time_s_ < 0 ? tr("Reading the recording …") : QString::fromStdString(vision::scan::ClockText(time_s_));
  time_->setText(ended_ ? tr("%1, the recording ends").arg(time) : time);
}

void FilmCard::paintEvent(QPaintEvent* event) {
  QFrame::paintEvent(event);
  QPainter painter(this);
  const QRectF room = picture_->geometry();
  painter.fillRect(room, Qt::black);
  if (image_.isNull()) return;
  painter.setRenderHint(QPainter::SmoothPixmapTransform);
  painter.drawImage(FittedInto(room, image_.size()), image_);
}

}  // namespace app::viewer
