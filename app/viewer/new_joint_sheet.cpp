#include "app/viewer/new_joint_sheet.h"

#include <QComboBox>
#include <QDialogButtonBox>
#include <QFileDialog>
#include <QFileInfo>
#include <QFormLayout>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>

#include "app/joint/criteria.h"
#include "app/joint/starting_file.h"
#include "vision/base/file.h"

namespace app::viewer {

NewJointSheet::NewJointSheet(QWidget* parent) : QDialog(parent) {
  setWindowTitle(tr("New joint"));
  setObjectName("new_joint_sheet");
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
  auto* pick = new QPushButton(tr("&Frames…"));
  connect(pick, &QPushButton::clicked, this, [this] {
    const auto files = QFileDialog::getOpenFileNames(this, tr("Frames of the recording"));
    if (files.isEmpty()) return;
    frames_->setText(files.join("; "));
    if (file_->text().isEmpty()) file_->setText(QFileInfo(files.front()).path() + "/joint.json");
  });
  form->addRow(pick, frames_);
  form->addRow(tr("Joint &file"), file_);
  wrong_ =
      new QLabel(tr("The camera block in the new file is a placeholder: calibrate the camera before you measure."));
  wrong_->setWordWrap(true);
  form->addRow(wrong_);
  auto* buttons = new QDialogButtonBox(QDialogButtonBox::Ok | QDialogButtonBox::Cancel);
  connect(buttons, &QDialogButtonBox::accepted, this, &NewJointSheet::accept);
  connect(buttons, &QDialogButtonBox::rejected, this, &QDialog::reject);
  form->addRow(buttons);
}

QString NewJointSheet::file() const { return file_->text(); }

void NewJointSheet::accept() {
  joint::StartingFileOptions options;
  options.id = id_->text().trimmed().toStdString();
  options.inside_diameter_mm = bore_->text().toDouble();
  options.source = source_->text().trimmed().toStdString();
  options.criterion = criterion_->currentData().toString().toStdString();
  for (const QString& frame : frames_->text().split(';', Qt::SkipEmptyParts))
    options.frames.push_back(frame.trimmed().toStdString());
  if (file_->text().isEmpty()) return wrong_->setText(tr("Say where the joint file is to be written."));
  if (QFileInfo::exists(file_->text())) return wrong_->setText(tr("That file exists already; choose another name."));
  auto text = joint::StartingFile(options);
  if (!text.ok()) return wrong_->setText(QString::fromStdString(text.error().message));
  if (const auto failed = vision::WriteFileWhole(file_->text().toStdString(), text.value()))
    return wrong_->setText(QString::fromStdString(failed->message));
  QDialog::accept();
}

}  // namespace app::viewer
