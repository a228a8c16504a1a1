// From joint to joint, to the report and to the signed record.
#include <QFileDialog>
#include <QLabel>
#include <QMenu>
#include <QPainter>
#include <QPrinter>

#include "app/viewer/joints_beside.h"
#include "app/viewer/main_window.h"
#include "app/viewer/record_sheet.h"
#include "app/viewer/report_sheet.h"

namespace app::viewer {
namespace {

/// Counts what it measured; what is measured already is left.
vision::Status MeasureWhereNot(const std::filesystem::path& file, const vision::JobContext& job, int& measured) {
  const auto request = Resolve(file);
  if (!request.ok()) return request.error();
  if (!request.value().folder.empty()) return std::nullopt;
  const auto joint = joint::LoadJoint(file);
  if (!joint.ok()) return joint.error();
  if (joint.value().recordings.empty()) return vision::BadInput("The joint has no recording.");
  const std::string stage = joint.value().recordings.back().stage;
  if (auto failed = MeasureInto(joint.value(), MeasuredFolderOf(joint.value(), stage), job, stage)) return failed;
  ++measured;
  return std::nullopt;
}

}  // namespace

void MainWindow::ShowReport() {
  if (!desk_.has()) return Say(tr("Open the joint first whose report you want."));
  auto* sheet = new ReportSheet(desk_, this);
  sheet->setAttribute(Qt::WA_DeleteOnClose);
  connect(sheet, &ReportSheet::written, this, [this](const QString& html) {
    Say(tr("Report: %1").arg(html));
    if (open_document) open_document(html);
  });
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

void MainWindow::MeasureFolder() {
  if (!desk_.has()) return Say(tr("Open a joint first; the joints beside it can then be measured."));
  const auto files = JointsBeside(desk_.opened().joint.file);
  const auto work = [this, files](const vision::JobContext& job) -> JobRunner::Finish {
    int measured = 0;
    QStringList troubles;
    for (std::size_t i = 0; i < files.size() && !job.Cancelled(); ++i) {
      const auto part = [&](double share) {
        return (static_cast<double>(i) + share) / static_cast<double>(files.size());
      };
      const auto failed = MeasureWhereNot(files[i], job.Part(part(0), part(1)), measured);
      if (failed && failed->code != vision::ErrorCode::kCancelled)
        troubles << QString::fromStdString(files[i].string() + ": " + failed->message);
    }
    return [this, measured, troubles, all = files.size()] {
      const QString said = tr("%1 of %2 joints were measured now.").arg(measured).arg(all);
      if (troubles.isEmpty()) return Say(said);
      ShowFailure(said + " " + tr("Not measured: %1").arg(troubles.join(" ")));
    };
  };
  if (!desk_.jobs().Start(tr("Measuring the joints of this folder"), work))
    Say(tr("Something is still being done; wait for it or stop it."));
}

/// Words, legend and strip as they stand in the window, one below the other: with scale, and with the caution.
QImage MainWindow::PictureOfView() {
  const std::initializer_list<QWidget*> parts{view_, page_legend_, page_, caution_};
  int width = 0, height = 0;
  for (const QWidget* part : parts)
    if (part->isVisible()) width = std::max(width, part->width()), height += part->height();
  QImage picture(QSize(width, height) * devicePixelRatio(), QImage::Format_RGB32);
  picture.setDevicePixelRatio(devicePixelRatio());
  picture.fill(palette().color(QPalette::Window));
  QPainter painter(&picture);
  int y = 0;
  for (QWidget* part : parts) {
    if (!part->isVisible()) continue;
    part->render(&painter, QPoint(0, y), {}, QWidget::DrawChildren);
    y += part->height();
  }
  return picture;
}

void MainWindow::SavePicture() {
  if (!desk_.has()) return Say(tr("Open the joint first whose picture you want."));
  const QString file = QFileDialog::getSaveFileName(this, tr("Picture of this view"), "strip.png", "*.png");
  if (file.isEmpty()) return;
  if (!PictureOfView().save(file)) return ShowFailure(tr("%1 cannot be written.").arg(file));
  Say(tr("Written: %1").arg(file));
}

void MainWindow::PrintPicture() {
  if (!desk_.has()) return Say(tr("Open the joint first whose picture you want."));
  QPrinter printer(QPrinter::HighResolution);
  printer.setPageOrientation(QPageLayout::Landscape);
  printer.setDocName(QString::fromStdString(desk_.opened().joint.id));
  if (!ask_printer(printer, this)) return;
  constexpr double kMargin = 0.9;  // of the sheet's width
  const QImage picture = PictureOfView();
  const double width_mm = kMargin * printer.paperRect(QPrinter::Millimeter).width();
  if (const auto failed = Print({picture}, picture.width() / width_mm, printer))
    return ShowFailure(QString::fromStdString(failed->message));
  Say(tr("The view went to the printer."));
}

}  // namespace app::viewer
