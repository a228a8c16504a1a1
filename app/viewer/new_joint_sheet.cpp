#include "app/viewer/new_joint_sheet.h"

#include <QComboBox>
#include <QFileDialog>
#include <QFileInfo>
#include <QFormLayout>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>

#include "app/cameras/library.h"
#include "app/joint/add_recording.h"
#include "app/joint/criteria.h"
#include "app/joint/facts.h"
#include "app/joint/starting_file.h"
#include "app/viewer/buttons.h"
#include "vision/base/file.h"

namespace app::viewer {

NewJointSheet::NewJointSheet(const Request& bare, QWidget* parent) : QDialog(parent) {
  setWindowTitle(tr("New joint"));
  setObjectName("new_joint_sheet");
  setMinimumWidth(580);
  auto* form = new QFormLayout(this);
  id_ = new QLineEdit, bore_ = new QLineEdit, source_ = new QLineEdit, file_ = new QLineEdit, frames_ = new QLineEdit;
  form->addRow(tr("&Joint"), id_);
  form->addRow(tr("&Inside diameter, mm"), bore_);
  source_->setPlaceholderText(tr("bore gauge"));
  form->addRow(tr("&Source of the diameter"), source_);
  criterion_ = new QComboBox;
  criterion_->addItem(tr("choose one"), QString());
  for (const auto& name : joint::ShippedCriteria())
    criterion_->addItem(QString::fromStdString(name), QString::fromStdString(name));
  form->addRow(tr("&Criterion"), criterion_);
  auto* covers = new QLabel;
  covers->setObjectName("covers");
  covers->setWordWrap(true);
  form->addRow(covers);
  connect(criterion_, &QComboBox::currentIndexChanged, this, [this, covers] {
    const auto set = joint::LoadCriteria(criterion_->currentData().toString().toStdString(), {});
    covers->setText(set.ok() ? QString::fromStdString(joint::CoverOf(set.value())) : QString());
    covers->setMinimumHeight(covers->heightForWidth(covers->width()));  // a form gives wrapped words one line else
    adjustSize();
  });
  AddRecordingRows(form);
  wrong_ = new QLabel(
      tr("Choose the camera from the library, or its file. All else can be added later: File, Facts of this joint."));
  wrong_->setWordWrap(true);
  form->addRow(wrong_);
  auto* buttons = OkCancel();
  connect(buttons, &QDialogButtonBox::accepted, this, &NewJointSheet::accept);
  connect(buttons, &QDialogButtonBox::rejected, this, &QDialog::reject);
  form->addRow(buttons);
  const std::pair<QWidget*, const char*> fields[] = {
      {id_, "id"},         {bore_, "bore"},           {source_, "source"},
      {camera_, "camera"}, {criterion_, "criterion"}, {looks_, "looks"}};
  for (const auto& [field, name] : fields) field->setObjectName(name);
  QStringList files;
  for (const auto& still : bare.stills) files << QString::fromStdString(still.string());
  if (bare.video) files << QString::fromStdString(bare.video->string());
  ShowFiles(files);
}

void NewJointSheet::AddRecordingRows(QFormLayout* form) {
  auto* pick = new QPushButton(tr("&Frames…"));
  connect(pick, &QPushButton::clicked, this,
          [this] { ShowFiles(QFileDialog::getOpenFileNames(this, tr("Frames of the recording"))); });
  form->addRow(pick, frames_);
  frames_back_ = new QLineEdit;
  frames_->setObjectName("frames"), frames_back_->setObjectName("frames_back");
  frames_back_->setPlaceholderText(tr("none; pictures of the same weld taken from the other side"));
  auto* pick_back = new QPushButton(tr("Frames loo&king back…"));
  connect(pick_back, &QPushButton::clicked, this, [this] {
    const QStringList files = QFileDialog::getOpenFileNames(this, tr("Frames that look the other way"));
    if (!files.isEmpty()) frames_back_->setText(files.join("; "));
  });
  form->addRow(pick_back, frames_back_);
  form->addRow(tr("Joint &file"), file_);
  stage_ = new QComboBox;
  stage_->setEditable(true);
  stage_->addItems({"root", "fit-up"});
  stage_->setObjectName("stage");
  form->addRow(tr("S&tage"), stage_);
  looks_ = new QComboBox;
  looks_->addItem(tr("choose one"), QString());
  looks_->addItem(tr("+z, from piece a to piece b"), "+z");
  looks_->addItem(tr("-z, from piece b to piece a"), "-z");
  looks_->addItem(tr("sideways"), "side");
  form->addRow(tr("Camera &looked"), looks_);
  camera_ = new QLineEdit;
  auto* pick_camera = new QPushButton(tr("C&amera file…"));
  connect(pick_camera, &QPushButton::clicked, this, [this] {
    const QString file = QFileDialog::getOpenFileName(this, tr("Calibrated camera"), {}, "*.json");
    if (!file.isEmpty()) camera_->setText(file);
  });
  form->addRow(tr("Camera from the li&brary"), MakeLibrary());
  form->addRow(pick_camera, camera_);
  const std::pair<QWidget*, QString> named[] = {{frames_, tr("Frames or video")},
                                                {frames_back_, tr("Frames that look the other way")},
                                                {camera_, tr("Camera file")},
                                                {looks_, tr("Which way the camera looked")}};
  for (const auto& [field, name] : named) field->setAccessibleName(name);
}

QWidget* NewJointSheet::MakeLibrary() {
  auto* kept = new QComboBox;
  kept->setObjectName("camera_kept");
  kept->addItem(tr("choose one"), QString());
  for (const auto& camera : cameras::CamerasIn(cameras::LibraryFolder()))
    kept->addItem(QString("%1, %2 x %3, %4")
                      .arg(QString::fromStdString(camera.id))
                      .arg(camera.width_px)
                      .arg(camera.height_px)
                      .arg(QString::fromStdString(camera.date)),
                  QString::fromStdString(camera.file.string()));
  connect(kept, &QComboBox::activated, this, [this, kept] {
    if (const QString file = kept->currentData().toString(); !file.isEmpty()) camera_->setText(file);
  });
  return kept;
}

void NewJointSheet::ShowFiles(const QStringList& files) {
  if (files.isEmpty()) return;
  frames_->setText(files.join("; "));
  if (file_->text().isEmpty()) file_->setText(QFileInfo(files.front()).path() + "/joint.json");
}

QString NewJointSheet::file() const { return file_->text(); }

void NewJointSheet::accept() {
  joint::StartingFileOptions options;
  options.id = id_->text().trimmed().toStdString();
  if (!bore_->text().trimmed().isEmpty()) {
    QString not_a_number;
    const auto bore = NumberIn(*bore_, tr("Inside diameter in mm"), &not_a_number);
    if (!bore) return wrong_->setText(not_a_number);
    options.inside_diameter_mm = *bore;
  }
  options.source = source_->text().trimmed().toStdString();
  options.criterion = criterion_->currentData().toString().toStdString();
  options.stage = stage_->currentText().trimmed().toStdString();
  options.looks = looks_->currentData().toString().toStdString();
  if (frames_->text().trimmed().isEmpty()) return wrong_->setText(tr("Say which frames or video belong to the joint."));
  if (camera_->text().isEmpty())
    return wrong_->setText(tr("Give the camera's file: without a calibrated camera nothing can be measured."));
  auto camera = vision::ReadFileWhole(camera_->text().toStdString());
  if (!camera.ok()) return wrong_->setText(QString::fromStdString(camera.error().message));
  options.camera_json = camera.value();
  if (file_->text().isEmpty()) return wrong_->setText(tr("Say where the joint file is to be written."));
  for (const auto& [field, named] : {std::pair{frames_, &options.frames}, {frames_back_, &options.frames_back}})
    for (const QString& frame : field->text().split(';', Qt::SkipEmptyParts))
      named->push_back(joint::NamedFrom(file_->text().toStdString(), frame.trimmed().toStdString()));
  if (options.frames.size() == 1 && IsVideo(options.frames.front()))
    options.video = options.frames.front(), options.frames.clear();
  if (QFileInfo::exists(file_->text())) return wrong_->setText(tr("That file exists already; choose another name."));
  auto text = joint::StartingFile(options);
  if (!text.ok()) return wrong_->setText(QString::fromStdString(text.error().message));
  if (const auto failed = vision::WriteFileWhole(file_->text().toStdString(), text.value()))
    return wrong_->setText(QString::fromStdString(failed->message));
  QDialog::accept();
}

}  // namespace app::viewer
