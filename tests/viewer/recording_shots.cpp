// Sorts a made-up film in the window, prints what the band shows and how long the event loop was blocked meanwhile, and
// saves pictures. Not a test: scripts/screenshots and scripts/prove speed run it.
#include <QApplication>
#include <QFile>
#include <QSettings>
#include <QSignalSpy>
#include <QTest>
#include <QTranslator>
#include <cstdio>
#include <nlohmann/json.hpp>

#include "app/joint/watch_input.h"
#include "app/viewer/main_window.h"
#include "app/viewer/theme.h"
#include "tests/viewer/film.h"
#include "tests/viewer/heartbeat.h"
#include "vision/base/file.h"
#include "vision/recording/frame_at.h"
#include "vision/recording/frame_source.h"

namespace {

using app::viewer::MainWindow;
using app::viewer::Theme;
namespace fs = std::filesystem;

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

/// A joint of a film of make_arc that `rootscroll arc` has followed into `out`: its last picture, taken at the looking
/// setting, is measured as a recording of its own. @return Empty where something fails.
QString WeldedJoint(const fs::path& film_folder) {
  const fs::path folder = fs::path(out_folder.toStdString()) / "welded";
  fs::create_directories(folder);
  fs::copy(film_folder / "film.avi", folder, fs::copy_options::overwrite_existing);
  fs::copy(film_folder / "out" / "arc.json", folder, fs::copy_options::overwrite_existing);
  const auto text = vision::ReadFileWhole(film_folder / "joint.json");
  const auto last = vision::recording::FrameAt((folder / "film.avi").string(), 1e6);
  if (!text.ok() || !last.ok() || vision::recording::WritePicture(folder / "look.png", last.value().image)) return {};
  auto json = nlohmann::json::parse(text.value());
  const auto film = json["recordings"][0];
  json["recordings"].push_back({{"id", "look"}, {"stage", "root"}});
  json["recordings"][1]["frames"] = nlohmann::json::array({{{"file", "look.png"},
                                                            {"camera", film["camera"]},
                                                            {"looks", film["looks"]},
                                                            {"up_theta_deg", film["up_theta_deg"]}}});
  if (vision::WriteFileWhole(folder / "joint.json", json.dump(1))) return {};
  const auto joint = app::joint::LoadJoint(folder / "joint.json");
  if (!joint.ok() || app::viewer::MeasureInto(joint.value(), folder / "measured")) return {};
  return QString::fromStdString((folder / "joint.json").string());
}

/// A joint whose welding was followed: its first stop, and the moment there playing.
bool Welded(const QString& film_folder) {
  const QString joint = WeldedJoint(film_folder.toStdString());
  if (joint.isEmpty()) return false;
  MainWindow window;
  window.show();
  QSignalSpy opened(&window.desk(), &app::viewer::Desk::opened_joint);
  window.OpenPath(joint);
  if (!opened.wait(60000) || !window.desk().opened().welded) return false;
  QSignalSpy shown(&window.film().player(), &app::viewer::FilmPlayer::shown);
  window.lens().hide();
  const double theta = window.desk().theta_deg();
  window.findChild<QAction*>("play_welding")->trigger();
  if (!QTest::qWaitFor([&] { return shown.size() > 10; }, 20000)) return false;
  window.film().player().Pause(true);
  std::printf("figure: welded_theta_deg %.2f\nfigure: welded_first_s %.3f\n", theta, shown[0][1].toDouble());
  Save(window, "welded_moment");
  return true;
}

/// The demo's push as if a camera brought it: a picture on the way, one at the end, and the figures.
bool Live(const QString& film) {
  const auto joint = film.left(film.lastIndexOf('/')).toStdString() + "/joint.json";
  app::joint::WatchRequest request{joint, "head-video", "+z", 180.9664};
  vision::live::WatchOptions options;
  options.reader.source = film.toStdString();
  options.say_every_s = 0.3;
  options.record.emplace();
  options.record->file = (out_folder + "/live.avi").toStdString();
  QFile::remove(out_folder + "/live.avi");  // of an earlier run: a recording is never overwritten
  auto ready = app::joint::WatchOptionsFor(request, options);
  if (!ready.ok()) return false;
  MainWindow window;
  window.show();
  QTest::qWait(300);
  QSignalSpy ended(&window.live(), &app::viewer::LiveView::ended),
      painted(&window.live().page(), &app::viewer::LivePage::painted);
  const auto& page = window.live().page();
  long long longest_ms = 0;
  {
    viewer_test::Heartbeat heart;
    window.Follow(ready.value());
    if (!QTest::qWaitFor([&] { return page.picture() && page.picture()->covered > 0.2; }, 30000)) return false;
    longest_ms = heart.longest_ms();
  }
  Save(window, "live");
  viewer_test::Heartbeat heart;
  if (!ended.wait(60000)) return false;
  longest_ms = std::max<long long>(longest_ms, heart.longest_ms());
  std::printf(
      "figure: live_longest_block_ms %lld\nfigure: live_shown %lld\nfigure: live_screen_p50_ms %.1f\n"
      "figure: live_screen_p95_ms %.1f\nfigure: live_covered %.3f\n",
      longest_ms, static_cast<long long>(painted.size()), page.screen().AtShare(0.5), page.screen().AtShare(0.95),
      page.picture()->covered);
  Save(window, "live_ended");
  return true;
}

}  // namespace

int main(int count, char** arguments) {
  if (count < 2) {
    std::fprintf(stderr, "usage: viewer_recording_shots OUT_FOLDER [ARC_FILM_FOLDER]\n");
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
  if (!Live(film)) return 1;
  if (count > 2 && !Welded(QString::fromLocal8Bit(arguments[2]))) return 1;
  QTranslator translator;
  if (translator.load(":/i18n/rootscroll_es.qm")) QApplication::installTranslator(&translator);
  MainWindow window;
  window.show();
  if (!Sort(window, film) || !LookAt(window, 14)) return 1;
  Save(window, "timeline_spanish");
  return 0;
}
