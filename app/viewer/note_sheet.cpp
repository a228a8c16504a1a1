#include "app/viewer/note_sheet.h"

#include <QComboBox>
#include <QFormLayout>
#include <QLabel>
#include <QLineEdit>
#include <QPlainTextEdit>
#include <cmath>

#include "app/notes/kinds.h"
#include "app/viewer/buttons.h"

namespace app::viewer {

NoteSheet::NoteSheet(const Desk& desk, notes::Note note, QWidget* parent) : QDialog(parent), note_(std::move(note)) {
  setWindowTitle(tr("Note: %1").arg(Words::Shape(note_.shape)));
  setObjectName("note_sheet");
  auto* form = new QFormLayout(this);
  const bool relative = desk.opened().reading.angles == "relative";
  form->addRow(tr("At"), new QLabel(QString("%1, z %2")
                                        .arg(Words::Place(note_.points[0].theta_deg, relative),
                                             Words::Limit(note_.points[0].z_mm, desk.units()))));
  const auto extent = notes::ExtentOf(note_, desk.opened().reading);
  if (std::isfinite(extent.length_mm))
    form->addRow(tr("Length (k = 2)"), new QLabel(Words::Length(extent.length_mm, extent.length_u_mm, desk.units())));
  if (std::isfinite(extent.width_mm))
    form->addRow(tr("Width (k = 2)"), new QLabel(Words::Length(extent.width_mm, extent.width_u_mm, desk.units())));
  kind_ = new QComboBox;
  kind_->setObjectName("kind");
  for (const auto& kind : notes::Kinds())
    kind_->addItem(Words::Kind(std::string(kind.id)),
                   QString::fromUtf8(kind.id.data(), static_cast<int>(kind.id.size())));
  kind_->setCurrentIndex(std::max(0, kind_->findData(QString::fromStdString(note_.kind))));
  form->addRow(tr("&Kind"), kind_);
  text_ = new QPlainTextEdit(QString::fromStdString(note_.text));
  text_->setTabChangesFocus(true);
  text_->setMaximumHeight(72);
  text_->setObjectName("text");
  form->addRow(tr("&Text"), text_);
  status_ = new QComboBox;
  status_->setObjectName("status");
  for (auto status : {notes::Status::kOpen, notes::Status::kAccepted, notes::Status::kRejected})
    status_->addItem(Words::Status(status), static_cast<int>(status));
  status_->setCurrentIndex(static_cast<int>(note_.status));
  status_->setToolTip(tr("An accepted note of a judged kind counts in the verdict; a rejected one needs a reason."));
  form->addRow(tr("&Status"), status_);
  reason_ = new QLineEdit(QString::fromStdString(note_.reason));
  reason_->setObjectName("reason");
  form->addRow(tr("&Reason"), reason_);
  author_ = new QLineEdit(desk.author());
  author_->setObjectName("author");
  form->addRow(tr("&Author"), author_);
  wrong_ = new QLabel;
  wrong_->setWordWrap(true);
  wrong_->setObjectName("wrong");
  form->addRow(wrong_);
  auto* buttons = OkCancel();
  connect(buttons, &QDialogButtonBox::accepted, this, &NoteSheet::accept);
  connect(buttons, &QDialogButtonBox::rejected, this, &QDialog::reject);
  form->addRow(buttons);
  text_->setFocus();
}

notes::Note NoteSheet::note() const {
  notes::Note note = note_;
  note.kind = kind_->currentData().toString().toStdString();
  note.text = text_->toPlainText().toStdString();
  note.status = static_cast<notes::Status>(status_->currentData().toInt());
  note.reason = reason_->text().trimmed().toStdString();
  return note;
}

QString NoteSheet::author() const { return author_->text().trimmed(); }

void NoteSheet::accept() {
  notes::Note checked = note();
  checked.id = std::max(1, checked.id);
  if (checked.status == notes::Status::kRejected && checked.reason.empty())
    return wrong_->setText(tr("A rejected note needs a reason."));
  if (checked.shape == notes::Shape::kText && checked.text.empty())
    return wrong_->setText(tr("A text note needs a text."));
  if (const auto wrong = notes::Check(checked)) return wrong_->setText(QString::fromStdString(wrong->message));
  QDialog::accept();
}

}  // namespace app::viewer
