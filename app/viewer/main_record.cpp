// From joint to joint, to the report and to the signed record.
#include <QMenu>

#include "app/viewer/joints_beside.h"
#include "app/viewer/main_window.h"
#include "app/viewer/record_sheet.h"
#include "app/viewer/report_sheet.h"

namespace app::viewer {

void MainWindow::ShowReport() {
  if (!desk_.has()) return Say(tr("Open the joint first whose report you want."));
  auto* sheet = new ReportSheet(desk_, this);
  sheet->setAttribute(Qt::WA_DeleteOnClose);
  connect(sheet, &ReportSheet::written, &desk_, &Desk::reportReady);
  sheet->show();
}

void MainWindow::SignOff() {
  if (!desk_.has()) return Say(tr("Open the joint first that goes on record."));
  if (!desk_.opened().came_from.empty())
    return Say(tr("This joint comes from the joint book already; its own files go on record, not what the book lent."));
  auto* sheet = new RecordSheet(desk_, this);
  sheet->setAttribute(Qt::WA_DeleteOnClose);
  connect(sheet, &RecordSheet::written, this, [this](const QString& pdf) {
    if (open_document) open_document(pdf);
  });
  sheet->show();
}

void MainWindow::FillJoints() {
  joints_->clear();
  if (!desk_.has() || !desk_.opened().came_from.empty()) return joints_->setEnabled(false);
  for (const auto& file : JointsBeside(desk_.opened().joint.file)) {
    const QString path = QString::fromStdString(file.string());
    const QString name = QString::fromStdString((file.parent_path().filename() / file.filename()).string());
    auto* entry = joints_->addAction(name);
    entry->setData(path);
    entry->setCheckable(true);
    std::error_code absent;
    entry->setChecked(std::filesystem::equivalent(file, desk_.opened().joint.file, absent));
    connect(entry, &QAction::triggered, this, [this, path] { OpenPath(path); });
  }
  joints_->setEnabled(true);
}

void MainWindow::StepJoint(int by) {
  const auto entries = joints_->actions();
  for (qsizetype i = 0; i < entries.size(); ++i) {
    if (!entries[i]->isChecked()) continue;
    const qsizetype next = i + by;
    if (next < 0 || next >= entries.size()) return Say(tr("There is no further joint in this folder."));
    return OpenPath(entries[next]->data().toString());
  }
  Say(tr("Open a joint first; the joints beside it can then be stepped through."));
}

}  // namespace app::viewer
