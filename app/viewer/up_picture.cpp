#include "app/viewer/up_picture.h"

#include <QLabel>
#include <QMouseEvent>
#include <QPainter>
#include <QVBoxLayout>

#include "app/viewer/buttons.h"
#include "app/viewer/fitted.h"
#include "app/viewer/on_screen.h"

namespace app::viewer {
namespace {

constexpr int kBelow = 84;  ///< For words and buttons, px.

}  // namespace

UpPicture::UpPicture(const QString& file, QWidget* parent) : QDialog(parent), picture_(file) {
  setWindowTitle(tr("Where is 0 degrees?"));
  setObjectName("up_picture");
  resize(OnScreen(*this, {760, 640}));
  auto* column = new QVBoxLayout(this);
  column->addStretch(1);
  auto* words = new QLabel(tr("Click on the wall where the joint's datum lies (0 degrees, such as top dead centre)."));
  words->setWordWrap(true);
  column->addWidget(words);
  auto* buttons = OkCancel();
  connect(buttons, &QDialogButtonBox::accepted, this, &QDialog::accept);
  connect(buttons, &QDialogButtonBox::rejected, this, &QDialog::reject);
  column->addWidget(buttons);
}

QRectF UpPicture::Shown() const {
  constexpr double kRim = 8;
  QRectF where = FittedInto({kRim, kRim, width() - 2 * kRim, double(height() - kBelow)}, picture_.size());
  where.moveTop(kRim);
  return where;
}

void UpPicture::paintEvent(QPaintEvent*) {
  QPainter painter(this);
  painter.setRenderHints(QPainter::Antialiasing | QPainter::SmoothPixmapTransform);
  const QRectF shown = Shown();
  painter.drawImage(shown, picture_);
  if (!clicked_ || picture_.isNull()) return;
  const double scale = shown.width() / picture_.width();
  const QPointF at = shown.topLeft() + *clicked_ * scale;
  for (const QPen& pen : {QPen(Qt::black, 5), QPen(Qt::yellow, 2)}) {
    painter.setPen(pen);
    painter.drawLine(shown.center(), at);
    painter.drawEllipse(at, 7, 7);
  }
}

void UpPicture::mousePressEvent(QMouseEvent* event) {
  const QRectF shown = Shown();
  if (picture_.isNull() || !shown.contains(event->position())) return;
  clicked_ = (event->position() - shown.topLeft()) * (picture_.width() / shown.width());
  update();
}

}  // namespace app::viewer
