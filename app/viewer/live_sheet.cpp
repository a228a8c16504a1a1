#include "app/viewer/live_sheet.h"

#include <QComboBox>
#include <QFileDialog>
#include <QFileInfo>
#include <QFormLayout>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>

#include "app/joint/watch_input.h"
#include "app/viewer/buttons.h"

namespace app::viewer {

LiveSheet::LiveSheet(const QString& joint_file, QWidget* parent) : QDialog(parent) {
  setWindowTitle(tr("Follow a camera live"));
  setObjectName("live_sheet");
  setMinimumWidth(560);
  auto* form = new QFormLayout(this);
  source_ = AddFileRow(form, tr("&Source…"), "live_source", false);
  source_->setPlaceholderText(tr("0, /dev/video0, an address with ://, or a video file"));
  joint_ = AddFileRow(form, tr("&Joint file…"), "live_joint", false);
  camera_ = new QComboBox, looks_ = new QComboBox, up_ = new QLineEdit;
  form->addRow(tr("C&amera"), camera_);
  looks_->addItem(tr("choose one"), QString());
  looks_->addItem(tr("+z, from piece a to piece b"), "+z");
  looks_->addItem(tr("-z, from piece b to piece a"), "-z");
  form->addRow(tr("Camera &looks"), looks_);
  up_->setPlaceholderText(tr("empty: not known; degrees from the picture's up, no clock"));
  form->addRow(tr("Picture's &up, degrees"), up_);
  record_ = AddFileRow(form, tr("&Record to…"), "live_record", true);
  record_->setPlaceholderText(tr("empty: nothing is recorded"));
  wrong_ = new QLabel(tr("The live strip guides the camera; what is judged is measured from the recording."));
  wrong_->setWordWrap(true);
  wrong_->setObjectName("live_wrong");
  form->addRow(wrong_);
  auto* buttons = OkCancel();
  connect(buttons, &QDialogButtonBox::accepted, this, &LiveSheet::accept);
  connect(buttons, &QDialogButtonBox::rejected, this, &QDialog::reject);
  form->addRow(buttons);
  camera_->setObjectName("live_camera"), looks_->setObjectName("live_looks"), up_->setObjectName("live_up");
  connect(joint_, &QLineEdit::textChanged, this, &LiveSheet::FillCameras);
  joint_->setText(joint_file);
}

QLineEdit* LiveSheet::AddFileRow(QFormLayout* form, const QString& label, const char* name, bool saved) {
  auto* edit = new QLineEdit;
  edit->setObjectName(name);
  edit->setAccessibleName(QString(label).remove('&').remove("…"));
  auto* pick = new QPushButton(label);
  connect(pick, &QPushButton::clicked, this, [this, edit, saved] {
    const QString file = saved ? QFileDialog::getSaveFileName(this, tr("Record to"), {}, "*.avi")
                               : QFileDialog::getOpenFileName(this, tr("Choose a file"));
    if (!file.isEmpty()) edit->setText(file);
  });
  form->addRow(pick, edit);
  return edit;
}

void LiveSheet::FillCameras() {
  camera_->clear();
  const auto joint = joint::LoadJoint(joint_->text().toStdString());
  if (!joint.ok()) return;
  for (const auto& camera : joint.value().cameras) camera_->addItem(QString::fromStdString(camera.id));
}

void LiveSheet::accept() {
  if (source_->text().trimmed().isEmpty())
    return wrong_->setText(tr("Say where the pictures come from: a device, a stream's address or a file."));
  if (joint_->text().isEmpty()) return wrong_->setText(tr("Give the joint file: it knows the bore and the camera."));
  if (looks_->currentData().toString().isEmpty()) return wrong_->setText(tr("Say which way the camera looks."));
  joint::WatchRequest request;
  request.joint_file = joint_->text().toStdString();
  request.camera = camera_->currentText().toStdString();
  request.looks = looks_->currentData().toString().toStdString();
  QString not_a_number;
  clock_known_ = !up_->text().trimmed().isEmpty();
  if (clock_known_) {
    const auto up = NumberIn(*up_, tr("The picture's up in degrees"), &not_a_number);
    if (!up) return wrong_->setText(not_a_number);
    request.up_theta_deg = *up;
  }
  vision::live::WatchOptions options;
  options.reader.source = source_->text().trimmed().toStdString();
  options.say_every_s = 0.5;
  if (const QString record = record_->text().trimmed(); !record.isEmpty()) {
    if (QFileInfo::exists(record)) return wrong_->setText(tr("That recording exists already; choose another name."));
    options.record.emplace();
    options.record->file = record.toStdString();
  }
  auto ready = joint::WatchOptionsFor(request, options);
  if (!ready.ok()) return wrong_->setText(QString::fromStdString(ready.error().message));
  if (const auto broken = ready.value().Check()) return wrong_->setText(QString::fromStdString(broken->message));
  options_ = std::move(ready).value();
  QDialog::accept();
}

}  // namespace app::viewer
