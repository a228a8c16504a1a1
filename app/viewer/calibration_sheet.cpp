#include "app/viewer/calibration_sheet.h"

#include <QDate>
#include <QDragEnterEvent>
#include <QFormLayout>
#include <QLabel>
#include <QLineEdit>
#include <QMimeData>
#include <QPushButton>

#include "app/cameras/library.h"
#include "app/viewer/buttons.h"
#include "app/viewer/job_bar.h"

namespace app::viewer {

CalibrationSheet::CalibrationSheet(std::filesystem::path library, QWidget* parent)
    : QDialog(parent),
      library_(std::move(library)),
      said_(new QLabel),
      save_(new QPushButton(tr("&Save to the library"))),
      id_(new QLineEdit),
      date_(new QLineEdit(QDate::currentDate().toString(Qt::ISODate))) {
  setAcceptDrops(true);
}

void CalibrationSheet::AddFoot(QBoxLayout& column, const QString& names, const QString& first) {
  said_->setObjectName(names + "_said"), save_->setObjectName(names + "_save");
  id_->setObjectName(names + "_id"), date_->setObjectName(names + "_date");
  said_->setText(first);
  said_->setWordWrap(true);
  column.addWidget(said_);
  column.addWidget(new JobBar(jobs_));
  auto* row = new QHBoxLayout;
  id_->setPlaceholderText(tr("such as head"));
  auto* form = new QFormLayout;
  form->addRow(tr("Camera's nam&e"), id_);
  form->addRow(tr("Pictures &taken on"), date_);
  row->addLayout(form, 1);
  save_->setEnabled(false);
  connect(save_, &QPushButton::clicked, this, &CalibrationSheet::Save);
  row->addWidget(save_, 0, Qt::AlignBottom);
  auto* buttons = CloseOnly();
  connect(buttons, &QDialogButtonBox::rejected, this, &QDialog::reject);
  row->addWidget(buttons, 0, Qt::AlignBottom);
  column.addLayout(row);
}

void CalibrationSheet::dragEnterEvent(QDragEnterEvent* event) {
  if (event->mimeData()->hasUrls()) event->acceptProposedAction();
}

void CalibrationSheet::dropEvent(QDropEvent* event) {
  QStringList files;
  for (const QUrl& url : event->mimeData()->urls())
    if (url.isLocalFile()) files << url.toLocalFile();
  AddFiles(files);
}

void CalibrationSheet::Save() {
  const auto block = Block({id_->text().trimmed().toStdString(), date_->text().trimmed().toStdString(), {}});
  if (!block.ok()) return Say(QString::fromStdString(block.error().message));
  const auto kept = cameras::Keep(block.value(), library_);
  if (!kept.ok()) return Say(QString::fromStdString(kept.error().message));
  kept_ = kept.value();
  said_->setText(tr("Saved. Every new joint can choose this camera from the library."));
  emit saved();
}

void CalibrationSheet::Say(const QString& sentence) {
  said_->setText(sentence);
  emit refused(sentence);
}

}  // namespace app::viewer
