#include <QApplication>
#include <QClipboard>
#include <QFileDialog>
#include <QMenuBar>
#include <QSettings>

#include "app/viewer/book_sheet.h"
#include "app/viewer/main_window.h"
#include "app/viewer/trends_sheet.h"

namespace app::viewer {

void MainWindow::AddOpenActions(QMenu* menu) {
  Add(
      menu, tr("&Open joint file…"), "Ctrl+O",
      [this] {
        const QString path = QFileDialog::getOpenFileName(
            this, tr("Open"), {}, tr("Joint, reading or video (*.json *.avi *.mp4 *.mkv *.mov *.mpg *.webm)"));
        if (!path.isEmpty()) OpenPath(path);
      },
      "open");
  Add(
      menu, tr("Open &folder or recording…"), "Ctrl+Shift+O",
      [this] {
        const QString path =
            QFileDialog::getExistingDirectory(this, tr("Open a measured folder, or a folder of frames"));
        if (!path.isEmpty()) OpenPath(path);
      },
      "open_folder");
  Add(
      menu, tr("Open from a joint &book…"), "Ctrl+Alt+O",
      [this] {
        BookSheet sheet(this);
        if (sheet.exec() == QDialog::Accepted && sheet.entry()) desk_.OpenFromBook(*sheet.entry());
      },
      "open_from_book");
}

void MainWindow::AddJointActions(QMenu* menu) {
  recent_ = menu->addMenu(tr("&Recent joints"));
  FillRecent();
  joints_ = menu->addMenu(tr("Joints of this fo&lder"));
  joints_->setEnabled(false);
  Add(
      menu, tr("Next &joint of this folder"), "Ctrl+PgDown", [this] { StepJoint(1); }, "next_joint");
  Add(
      menu, tr("Pre&vious joint of this folder"), "Ctrl+PgUp", [this] { StepJoint(-1); }, "previous_joint");
  Add(
      menu, tr("&New joint…"), "Ctrl+N", [this] { NewJoint({}); }, "new_joint");
  Add(
      menu, tr("&Facts of this joint…"), "Ctrl+Shift+F", [this] { EditFacts(); }, "facts");
  Add(
      menu, tr("&Measure again"), "Ctrl+M",
      [this] {
        if (!desk_.has()) return;
        Request again{desk_.opened().joint.file, {}};
        again.stage = desk_.opened().reading.stage;
        desk_.MeasureAndOpen(again);
      },
      "measure");
  Add(
      menu, tr("Measure &all joints of this folder"), "Ctrl+Shift+M", [this] { MeasureFolder(); }, "measure_folder");
}

void MainWindow::AddKeepActions(QMenu* menu) {
  Add(
      menu, tr("Save t&his view as a picture…"), "Ctrl+Shift+P", [this] { SavePicture(); }, "save_picture");
  Add(
      menu, tr("Print this &view…"), "Ctrl+P", [this] { PrintPicture(); }, "print_picture");
  Add(
      menu, tr("&Copy this view"), "Ctrl+Shift+C", [this] { QApplication::clipboard()->setImage(PictureOfView()); },
      "copy_picture");
  Add(
      menu, tr("&Save notes"), "Ctrl+S", [this] { desk_.SaveNotes(); }, "save");
}

void MainWindow::MakeFileMenu() {
  auto* menu = menuBar()->addMenu(tr("&File"));
  AddOpenActions(menu);
  AddJointActions(menu);
  menu->addSeparator();
  AddKeepActions(menu);
  menu->addSeparator();
  Add(
      menu, tr("&Judge…"), "Ctrl+J", [this] { Judge(); }, "judge");
  Add(
      menu, tr("&Report…"), "Ctrl+R", [this] { ShowReport(); }, "report");
  Add(
      menu, tr("Record and &sign-off…"), "Ctrl+Shift+S", [this] { SignOff(); }, "sign_off");
  menu->addSeparator();
  Add(
      menu, tr("&Trends of a joint book…"), "Ctrl+T",
      [this] {
        auto* sheet = new TrendsSheet(this);
        sheet->setAttribute(Qt::WA_DeleteOnClose);
        sheet->show();
      },
      "trends");
  menu->addSeparator();
  Add(
      menu, tr("&Quit"), "Ctrl+Q", [this] { close(); }, "quit");
}

void MainWindow::FillRecent() {
  if (!recent_) return;
  recent_->clear();
  for (const QString& path : QSettings().value("recent").toStringList())
    connect(recent_->addAction(path), &QAction::triggered, this, [this, path] { OpenPath(path); });
  recent_->setEnabled(!recent_->isEmpty());
}

}  // namespace app::viewer
