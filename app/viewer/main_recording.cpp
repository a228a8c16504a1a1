// What the window does with recordings: sort one, play one from a place of the strip.
#include <QFileDialog>
#include <QMenuBar>
#include <QSettings>
#include <cmath>

#include "app/cameras/library.h"
#include "app/viewer/add_recording_sheet.h"
#include "app/viewer/camera_sheet.h"
#include "app/viewer/facts_sheet.h"
#include "app/viewer/live_sheet.h"
#include "app/viewer/main_window.h"

namespace app::viewer {

void MainWindow::MakeRecordingMenu() {
  auto* menu = menuBar()->addMenu(tr("&Recording"));
  Add(
      menu, tr("&Play from the frame that shows this place"), "V", [this] { PlayPlace(); }, "play_place");
  Add(
      menu, tr("Play the moment this place was &welded"), "Shift+V", [this] { PlayWelding(); }, "play_welding");
  menu->addSeparator();
  Add(
      menu, tr("&Add a recording to this joint…"), "Ctrl+Shift+N", [this] { AddRecording(); }, "add_recording");
  Add(
      menu, tr("&Follow a camera live…"), "Ctrl+Shift+L", [this] { AskForCamera(); }, "live");
  menu->addSeparator();
  Add(
      menu, tr("Ca&librate a camera from board pictures…"), "Ctrl+Shift+K", [this] { CalibrateCamera(); },
      "calibrate_camera");
  menu->addSeparator();
  Add(
      menu, tr("Sort a re&cording…"), "Ctrl+B", [this] { SortRecording(); }, "sort_recording");
}

void MainWindow::SortRecording() {
  QString start;
  if (desk_.has())
    for (const auto& recording : desk_.opened().joint.recordings)
      if (recording.video && start.isEmpty()) start = QString::fromStdString(recording.video->string());
  const QString path = QFileDialog::getOpenFileName(this, tr("Recording to sort into stretches"), start,
                                                    tr("Video (*.avi *.mp4 *.mkv *.mov *.mpg *.webm)"));
  if (!path.isEmpty()) timeline_->Sort(path);
}

void MainWindow::PlayPlace() {
  if (!desk_.has()) return;
  const auto sight = lens_->marked();
  if (!sight) return Say(tr("No frame saw this place."));
  const auto file = FileOfFrame(desk_.opened(), sight->frame);
  if (!file.ok()) return ShowFailure(QString::fromStdString(file.error().message));
  if (!file.value().video)
    return Say(tr("This place was seen in the still picture %1; only a video can be played.")
                   .arg(QString::fromStdString(file.value().file.filename().string())));
  if (const auto spot = page_->layout_of_page().SpotOf(desk_.theta_deg(), desk_.z_mm())) film_->KeepOff(spot->x);
  film_->Play({file.value().file.string(), file.value().index, 0},
              tr("%1 from frame %2, which shows %3")
                  .arg(QString::fromStdString(file.value().file.filename().string()))
                  .arg(file.value().index)
                  .arg(Words::Place(desk_.theta_deg(), desk_.edited().angles == "relative")),
              false);
}

void MainWindow::PlayWelding() {
  if (!desk_.has()) return;
  const auto& welded = desk_.opened().welded;
  if (!welded)
    return Say(
        tr("No recording of the welding was followed for this joint; `rootscroll arc` does that and its arc.json "
           "belongs beside the joint file."));
  const double time_s = welded->AtTheta(desk_.theta_deg());
  const QString words = Words::Place(desk_.theta_deg(), false) + ": " + Words::WeldedAt(*welded, desk_.theta_deg());
  if (!std::isfinite(time_s)) return Say(words);
  constexpr double kBefore_s = 1;
  if (const auto spot = page_->layout_of_page().SpotOf(desk_.theta_deg(), desk_.z_mm())) film_->KeepOff(spot->x);
  film_->Play({welded->video.string(), std::nullopt, std::max(0.0, time_s - kBefore_s)}, words, true);
}

void MainWindow::CalibrateCamera() {
  auto* sheet = new CameraSheet(cameras::LibraryFolder(), this);
  sheet->setAttribute(Qt::WA_DeleteOnClose);
  sheet->show();
}

void MainWindow::EditFacts() {
  const bool waits = !desk_.has() && !desk_.waiting_for().empty();
  if (!desk_.has() && !waits) return Say(tr("Open the joint first whose facts you want to see."));
  Request request{waits ? waiting_file_ : desk_.opened().joint.file, {}};
  if (!waits) request.stage = desk_.opened().reading.stage;
  FactsSheet sheet(request.joint_file, this);
  if (sheet.exec() != QDialog::Accepted) return;
  AskToMeasure(request);  // what was measured before stands on the old facts
}

void MainWindow::AddRecording() {
  if (!desk_.has()) return Say(tr("Open the joint first to which the recording belongs."));
  AddRecordingSheet sheet(desk_.opened().joint, this);
  if (sheet.exec() != QDialog::Accepted) return;
  Request request{desk_.opened().joint.file, {}};
  request.stage = sheet.stage();
  AskToMeasure(request);
}

void MainWindow::ConnectFilm() {
  connect(film_, &FilmCard::failed, this, &MainWindow::ShowFailure);
  connect(&desk_, &Desk::opened_joint, film_, &FilmCard::Away);
  connect(&desk_, &Desk::laidAside, film_, &FilmCard::Away);
  connect(&desk_, &Desk::placed, this, [this] {
    if (film_->follows()) PlayWelding();
  });
}

void MainWindow::AskForCamera() {
  if (live_->running()) return Say(tr("A camera is followed already; stop it first."));
  LiveSheet sheet(desk_.has() ? QString::fromStdString(desk_.opened().joint.file.string()) : QString(), this);
  if (sheet.exec() == QDialog::Accepted) Follow(sheet.options(), sheet.clock_known());
}

void MainWindow::Follow(const vision::live::WatchOptions& options, bool clock_known) {
  split_->hide();
  timeline_->hide();
  live_->Start(options, clock_known);
}

void MainWindow::ConnectLive() {
  connect(live_, &LiveView::failed, this, &MainWindow::ShowFailure);
  connect(live_, &LiveView::closed, this, [this] {
    live_->hide();
    split_->show();
  });
  connect(live_, &LiveView::sortAsked, timeline_, &TimelineView::Sort);
}

}  // namespace app::viewer
