#include "app/viewer/marks_sheet.h"

#include <QButtonGroup>
#include <QFileDialog>
#include <QFileInfo>
#include <QFormLayout>
#include <QLabel>
#include <QLineEdit>
#include <QListWidget>
#include <QMouseEvent>
#include <QPainter>
#include <QPushButton>
#include <QRadioButton>

#include "app/viewer/buttons.h"
#include "app/viewer/fitted.h"
#include "app/viewer/on_screen.h"

namespace app::viewer {

MarkPicture::MarkPicture(QWidget* parent) : QWidget(parent) {
  setObjectName("mark_picture");
  setAccessibleName(tr("Picture; a click sets a point on the chosen mark"));
  setMinimumSize(320, 240);
  setCursor(Qt::CrossCursor);
}

void MarkPicture::Show(const QImage& picture, const std::array<Points, 2>& points) {
  picture_ = picture, points_ = points;
  update();
}

QRectF MarkPicture::Shown() const { return FittedInto(QRectF(QPointF(), size()), picture_.size()); }

void MarkPicture::paintEvent(QPaintEvent*) {
  QPainter painter(this);
  painter.setRenderHints(QPainter::Antialiasing | QPainter::SmoothPixmapTransform);
  if (picture_.isNull()) return;
  const QRectF shown = Shown();
  painter.drawImage(shown, picture_);
  const double scale = shown.width() / picture_.width();
  for (std::size_t mark = 0; mark < points_.size(); ++mark)  // told apart by shape as well as by colour
    for (const QPointF& point : points_[mark])
      for (const QPen& pen : {QPen(Qt::black, 4), QPen(mark == 0 ? Qt::yellow : Qt::cyan, 2)}) {
        painter.setPen(pen);
        const QPointF at = shown.topLeft() + point * scale;
        if (mark == 0)
          painter.drawEllipse(at, 5, 5);
        else
          painter.drawRect(QRectF(at - QPointF(5, 5), QSizeF(10, 10)));
      }
}

void MarkPicture::mousePressEvent(QMouseEvent* event) {
  const QRectF shown = Shown();
  if (picture_.isNull() || !shown.contains(event->position())) return;
  const QPointF at = (event->position() - shown.topLeft()) * (picture_.width() / shown.width());
  Points& points = points_[static_cast<std::size_t>(mark_)];
  if (event->button() == Qt::LeftButton) {
    points.push_back(at);
  } else if (!points.empty()) {
    const auto away = [&](const QPointF& a, const QPointF& b) {
      return QLineF(a, at).length() < QLineF(b, at).length();
    };
    points.erase(std::min_element(points.begin(), points.end(), away));
  }
  update();
  emit changed();
}

MarksSheet::MarksSheet(std::filesystem::path library, QWidget* parent)
    : CalibrationSheet(std::move(library), parent),
      list_(new QListWidget),
      picture_(new MarkPicture),
      mark_(new QButtonGroup(this)),
      bore_(new QLineEdit),
      bore_u_(new QLineEdit),
      apart_(new QLineEdit),
      apart_u_(new QLineEdit) {
  setWindowTitle(tr("Calibrate a camera in a pipe of known bore"));
  setObjectName("marks_sheet");
  resize(OnScreen(*this, {980, 680}));
  auto* column = new QVBoxLayout(this);
  auto* middle = new QHBoxLayout;
  list_->setObjectName("mark_pictures");
  list_->setAccessibleName(tr("Pictures along the pipe"));
  list_->setWordWrap(true);
  list_->setMaximumWidth(230);
  connect(list_, &QListWidget::currentRowChanged, this, &MarksSheet::ShowPicture);
  middle->addWidget(list_);
  middle->addWidget(picture_, 1);
  middle->addWidget(MakeFields());
  column->addLayout(middle, 1);
  AddFoot(*column, "marks",
          tr("Drop three or more pictures along the pipe here, from different distances. In each, click eight or more "
             "points around the nearer mark and around the farther one; the other mouse button takes a point away."));
  connect(&jobs_, &JobRunner::broke, this, &MarksSheet::Say);
  connect(picture_, &MarkPicture::changed, this, [this] {
    const int row = list_->currentRow();
    if (row < 0) return;
    Marked& marked = pictures_[static_cast<std::size_t>(row)];
    marked.points = picture_->points();
    list_->item(row)->setText(tr("%1\n%2 and %3 points")
                                  .arg(QFileInfo(marked.file).fileName())
                                  .arg(marked.points[0].size())
                                  .arg(marked.points[1].size()));
  });
}

QWidget* MarksSheet::MakeFields() {
  auto* box = new QWidget;
  box->setMaximumWidth(270);
  auto* form = new QFormLayout(box);
  form->setRowWrapPolicy(QFormLayout::WrapAllRows);
  const std::tuple<QLineEdit*, const char*, QString> fields[] = {
      {bore_, "mark_bore", tr("Inside &diameter, mm")},
      {bore_u_, "mark_bore_u", tr("Its standard uncertainty, mm")},
      {apart_, "mark_apart", tr("From mark to mark &along the pipe, mm")},
      {apart_u_, "mark_apart_u", tr("Its standard uncertainty, lean of the rings with it, mm")}};
  for (const auto& [field, name, words] : fields) {
    field->setObjectName(name);
    field->setAccessibleName(QString(words).remove('&'));
    auto* label = new QLabel(words);
    label->setWordWrap(true);
    label->setBuddy(field);
    form->addRow(label, field);
  }
  const QString marks[] = {tr("Points of the &nearer mark (circles)"), tr("Points of the &farther mark (squares)")};
  for (int i = 0; i < 2; ++i) {
    auto* choice = new QRadioButton(marks[i]);
    choice->setObjectName(i == 0 ? "mark_nearer" : "mark_farther");
    choice->setChecked(i == 0);
    mark_->addButton(choice, i);
    form->addRow(choice);
  }
  connect(mark_, &QButtonGroup::idClicked, picture_, &MarkPicture::SetMark);
  auto* add = new QPushButton(tr("Add &pictures…"));
  connect(add, &QPushButton::clicked, this,
          [this] { AddFiles(QFileDialog::getOpenFileNames(this, tr("Pictures along the pipe"))); });
  form->addRow(add);
  auto* fit = new QPushButton(tr("&Calibrate"));
  fit->setObjectName("marks_calibrate");
  connect(fit, &QPushButton::clicked, this, &MarksSheet::Calibrate);
  form->addRow(fit);
  return box;
}

void MarksSheet::AddFiles(const QStringList& files) {
  for (const QString& file : files) {
    const QImage picture(file);
    const QString name = QFileInfo(file).fileName();
    if (picture.isNull()) {
      Say(tr("%1 is not a picture.").arg(name));
    } else if (!pictures_.empty() && pictures_.front().picture.size() != picture.size()) {
      Say(tr("%1 is not of the first picture's size.").arg(name));
    } else {
      pictures_.push_back({file, picture, {}});
      list_->addItem(name);
    }
  }
  if (list_->currentRow() < 0 && list_->count() > 0) list_->setCurrentRow(0);
}

void MarksSheet::ShowPicture(int row) {
  if (row < 0) return;
  const Marked& marked = pictures_[static_cast<std::size_t>(row)];
  picture_->Show(marked.picture, marked.points);
}

std::optional<vision::camera::WallTarget> MarksSheet::Target() {
  vision::camera::WallTarget target;
  const std::pair<QLineEdit*, double*> fields[] = {{bore_, &target.bore_mm},
                                                   {bore_u_, &target.bore_u_mm},
                                                   {apart_, &target.apart_mm},
                                                   {apart_u_, &target.apart_u_mm}};
  for (const auto& [field, value] : fields) {
    QString not_a_number;
    const auto typed = NumberIn(*field, field->accessibleName(), &not_a_number);
    if (!typed) return Say(not_a_number), std::nullopt;
    *value = *typed;
  }
  return target;
}

std::vector<vision::camera::MarkedView> MarksSheet::Views(double apart_mm) const {
  std::vector<vision::camera::MarkedView> views;
  for (const Marked& marked : pictures_) {
    if (marked.points[0].empty() && marked.points[1].empty()) continue;  // not marked yet
    views.push_back({QFileInfo(marked.file).fileName().toStdString(), {}});
    for (std::size_t mark = 0; mark < 2; ++mark)
      for (const QPointF& point : marked.points[mark])
        views.back().points.push_back({mark == 0 ? 0 : apart_mm, {point.x(), point.y()}});
  }
  return views;
}

void MarksSheet::Calibrate() {
  const auto target = Target();
  if (!target) return;
  if (pictures_.empty()) return Say(tr("Drop the pictures first, then mark them."));
  vision::camera::WallOptions options;
  options.target = *target;
  const QSize size = pictures_.front().picture.size();
  const auto work = [this, options, size, views = Views(target->apart_mm)](const vision::JobContext& job) {
    auto found = vision::camera::CalibrateByWall(views, size.width(), size.height(), options, job);
    return JobRunner::Finish([this, found = std::move(found)] {
      report_.reset();
      save_->setEnabled(found.ok());
      if (found.cancelled()) return;
      if (!found.ok()) return Say(QString::fromStdString(found.error().message));
      report_ = found.value();
      said_->setToolTip(QString::fromStdString(report_->choice));
      said_->setText(
          tr("Points lie %1 px off on the whole. A sight's angle is known to ±%2 degrees (k = 2), from %3 to "
             "%4 degrees from the axis; no sight beyond is used. A board tells more.")
              .arg(report_->rms_px, 0, 'f', 2)
              .arg(2 * report_->sight_u_deg, 0, 'f', 2)
              .arg(report_->seen_from_deg, 0, 'f', 0)
              .arg(report_->lens.max_angle_deg, 0, 'f', 0));
      emit calibrated();
    });
  };
  if (!jobs_.Start(tr("Fitting the lens"), work)) Say(tr("Something is still being done; wait for it or stop it."));
}

vision::Result<std::string> MarksSheet::Block(const vision::camera::CameraBlockFacts& facts) const {
  return vision::camera::CameraBlockJson(*report_, facts);
}

}  // namespace app::viewer
