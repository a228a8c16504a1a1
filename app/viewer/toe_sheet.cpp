#include "app/viewer/toe_sheet.h"

#include <QCheckBox>
#include <QFormLayout>
#include <QLabel>
#include <QLineEdit>

#include "app/viewer/buttons.h"

namespace app::viewer {

ToeSheet::ToeSheet(const Desk& desk, notes::HandToe toe, std::optional<std::size_t> before, QWidget* parent)
    : QDialog(parent), toe_(std::move(toe)), reason_(new QLineEdit), wrong_(new QLabel) {
  setWindowTitle(tr("Toe by hand"));
  setObjectName("toe_sheet");
  setMinimumWidth(480);
  auto* form = new QFormLayout(this);
  const auto& known = desk.known();
  form->addRow(tr("At"),
               new QLabel(QString("%1, %2").arg(
                   Words::Piece(known.measured, toe_.side),
                   Words::Span(toe_.points.front().theta_deg, toe_.points.back().theta_deg, known.relative()))));
  const notes::HandOptions options;
  if (before) {
    const int placings = static_cast<int>(desk.notes().toes[*before].again.size()) + 2;
    again_ = new QCheckBox(
        tr("&One more placing of the toe set here before (%1 of %2)").arg(placings).arg(options.placings_needed));
    again_->setObjectName("toe_again");
    again_->setChecked(true);
    form->addRow(again_);
    connect(again_, &QCheckBox::toggled, reason_, &QWidget::setDisabled);
    reason_->setEnabled(false);
  }
  reason_->setObjectName("toe_reason");
  reason_->setPlaceholderText(tr("why the measured one is not right"));
  form->addRow(tr("&Reason"), reason_);
  auto* u = new QLabel(
      tr("How well a hand finds a toe is assumed, ± %1 mm (k = 2), until the same stretch is placed %2 times; "
         "then it comes from how far the placings lie apart. The measured toe stays visible.")
          .arg(2 * options.assumed_u_mm, 0, 'f', 1)
          .arg(options.placings_needed));
  u->setWordWrap(true);
  form->addRow(u);
  wrong_->setObjectName("wrong");
  wrong_->setWordWrap(true);
  form->addRow(wrong_);
  auto* buttons = OkCancel();
  connect(buttons, &QDialogButtonBox::accepted, this, &ToeSheet::accept);
  connect(buttons, &QDialogButtonBox::rejected, this, &QDialog::reject);
  form->addRow(buttons);
}

notes::HandToe ToeSheet::toe() const {
  notes::HandToe toe = toe_;
  toe.reason = reason_->text().trimmed().toStdString();
  return toe;
}

bool ToeSheet::again() const { return again_ && again_->isChecked(); }

void ToeSheet::accept() {
  if (!again() && toe().reason.empty()) return wrong_->setText(tr("A toe set by hand needs a reason."));
  QDialog::accept();
}

}  // namespace app::viewer
