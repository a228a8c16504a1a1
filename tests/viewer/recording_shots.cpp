// Sorts a made-up film in the window, prints what the band shows and how long the event loop was blocked meanwhile, and
// saves pictures. Not a test: scripts/screenshots and scripts/prove speed run it.
#include <QApplication>
#include <QSettings>
#include <QSignalSpy>
#include <QTest>
#include <QTranslator>
#include <cstdio>

#include "app/viewer/main_window.h"
#include "app/viewer/theme.h"
#include "tests/viewer/film.h"
#include "tests/viewer/heartbeat.h"

namespace {

using app::viewer::MainWindow;
using app::viewer::Theme;

QString out_folder;

void Save(QWidget& widget, const QString& name) {
  QTest::qWait(300);
  if (widget.grab().save(out_folder + "/" + name + ".png")) std::printf("picture: %s.png\n", qPrintable(name));
}

bool Sort(MainWindow& window, const QString& film) {
  QSignalSpy sorted(&window.timeline(), &app::viewer::TimelineView::sorted);
  window.timeline().Sort(film);
  return sorted.wait(120000);
}

bool LookAt(MainWindow& window, double time_s) {
  auto& band = window.timeline().band();
  QSignalSpy shown(&window.timeline(), &app::viewer::TimelineView::frameShown);
  QTest::mouseClick(&band, Qt::LeftButton, {}, QPoint(static_cast<int>(band.XOf(time_s)), 30));
  return shown.wait(20000);
}

/// What the band shows, by its own pixels: time of each rectangle's two edges.
void PrintShown(MainWindow& window) {
  auto& band = window.timeline().band();
  const auto& sorted = window.timeline().timeline()->scanned.sorted;
  for (std::size_t i = 0; i < sorted.stretches.size(); ++i)
    std::printf("shown: %.3f %.3f %s\n", band.TimeAt(band.RectOf(i).left()), band.TimeAt(band.RectOf(i).right()),
                vision::scan::NameOf(sorted.stretches[i].shows).c_str());
  for (std::size_t i = 0; i < sorted.welds.size(); ++i)
    if (sorted.welds[i].proposed)
      std::printf("bracket: %.3f %.3f\n", band.TimeAt(band.BracketOf(i).left()),
                  band.TimeAt(band.BracketOf(i).right()));
  std::printf("second_per_pixel: %.4f\n", band.span_s() / band.width());
}

bool Timeline(QApplication& application, const QString& film) {
  MainWindow window;
  window.show();
  QTest::qWait(300);
  viewer_test::Heartbeat heart;
  if (!Sort(window, film)) return false;
  std::printf("figure: scan_longest_block_ms %lld\nfigure: scan_longest_cpu_ms %.1f\n",
              static_cast<long long>(heart.longest_ms()), heart.busiest_ms());
  PrintShown(window);
  Save(window, "timeline");
  if (!LookAt(window, 5)) return false;
  Save(window, "timeline_frame");
  app::viewer::ApplyTheme(application, Theme::kDark);
  if (!LookAt(window, 11.5)) return false;
  Save(window, "timeline_dark");
  app::viewer::ApplyTheme(application, Theme::kLight);
  return true;
}

/// A joint whose welding was followed: its first stop, and the moment there playing.
bool Welded(const QString& joint) {
  MainWindow window;
  window.show();
  QSignalSpy opened(&window.desk(), &app::viewer::Desk::opened_joint);
  window.OpenPath(joint);
  if (!opened.wait(60000) || !window.desk().opened().welded) return false;
  QSignalSpy shown(&window.film().player(), &app::viewer::FilmPlayer::shown);
  window.findChild<QAction*>("play_welding")->trigger();
  if (!QTest::qWaitFor([&] { return shown.size() > 10; }, 20000)) return false;
  window.film().player().Pause(true);
  Save(window, "welded_moment");
  return true;
}

}  // namespace

int main(int count, char** arguments) {
  if (count < 2) {
    std::fprintf(stderr, "usage: viewer_recording_shots OUT_FOLDER [JOINT_WITH_ARC_JSON]\n");
    return 2;
  }
  QApplication application(count, arguments);
  QApplication::setOrganizationName("rootscroll");
  QApplication::setApplicationName("viewer-shots");
  QSettings().clear();
  out_folder = QString::fromLocal8Bit(arguments[1]);
  viewer_test::WriteFilm(out_folder.toStdString());
  const QString film = out_folder + "/film.avi";
  app::viewer::ApplyTheme(application, Theme::kLight);
  if (!Timeline(application, film)) return 1;
  if (count > 2 && !Welded(QString::fromLocal8Bit(arguments[2]))) return 1;
  QTranslator translator;
  if (translator.load(":/i18n/rootscroll_es.qm")) QApplication::installTranslator(&translator);
  MainWindow window;
  window.show();
  if (!Sort(window, film) || !LookAt(window, 14)) return 1;
  Save(window, "timeline_spanish");
  return 0;
}
