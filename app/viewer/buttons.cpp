#include "app/viewer/buttons.h"

#include <QCoreApplication>
#include <QDialog>
#include <QLineEdit>
#include <QPushButton>

#include "app/viewer/desk.h"
#include "vision/base/number.h"

namespace app::viewer {
namespace {

struct Buttons {
  Q_DECLARE_TR_FUNCTIONS(app::viewer::Buttons)
};

}  // namespace

QDialogButtonBox* OkCancel() {
  auto* box = new QDialogButtonBox(QDialogButtonBox::Ok | QDialogButtonBox::Cancel);
  box->button(QDialogButtonBox::Ok)->setText(Buttons::tr("OK"));
  box->button(QDialogButtonBox::Cancel)->setText(Buttons::tr("Cancel"));
  return box;
}

QDialogButtonBox* CloseOnly() {
  auto* box = new QDialogButtonBox(QDialogButtonBox::Close);
  box->button(QDialogButtonBox::Close)->setText(Buttons::tr("Close"));
  return box;
}

void CloseWithJoint(Desk& desk, QDialog& sheet) {
  QObject::connect(&desk, &Desk::laidAside, &sheet, &QDialog::close);
  QObject::connect(&desk, &Desk::opened_joint, &sheet, &QDialog::close);
}

std::optional<double> NumberIn(const QLineEdit& field, const QString& name, QString* wrong) {
  const auto number = vision::NumberFrom(field.text().trimmed().toStdString(), name.toStdString());
  if (number.ok()) return number.value();
  *wrong = Buttons::tr("%1: “%2” is not a number; write it with a point or a comma as decimal sign and no other signs.")
               .arg(name, field.text().trimmed());
  return std::nullopt;
}

}  // namespace app::viewer
