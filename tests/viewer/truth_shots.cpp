// Pictures of every kind of statement at once (measured, overruled, by hand, drawn, relative), on a small screen, light
// and dark, English and Spanish: viewer_truth_shots OUT_FOLDER JOINT_FOLDER [SWEEP_FOLDER]. Both folders are measured.
#include <QApplication>
#include <QDialog>
#include <QPixmap>
#include <QSettings>
#include <QTest>
#include <QTranslator>
#include <cstdio>

#include "app/viewer/commands.h"
#include "app/viewer/judge_sheet.h"
#include "app/viewer/main_window.h"
#include "app/viewer/note_sheet.h"
#include "app/viewer/theme.h"
#include "app/viewer/toe_sheet.h"

namespace {

using app::viewer::Desk;
using app::viewer::MainWindow;
namespace notes = app::notes;

QString out_folder;

void Save(QWidget& widget, const QString& name) {
  QTest::qWait(350);
  const QString file = out_folder + "/" + name + ".png";
  if (!widget.grab().save(file)) std::printf("cannot write %s\n", qPrintable(file));
}

bool Open(MainWindow& window, const QString& path) {
  bool done = false;
  QObject::connect(&window.desk(), &Desk::opened_joint, &window, [&] { done = true; });
  window.OpenPath(path);
  return QTest::qWaitFor([&] { return done; }, 20000);
}

/// Something of every kind.
void Decide(Desk& desk) {
  const auto& reading = desk.opened().reading;
  if (!reading.unfused.empty())
    (void)Rule(desk, notes::FingerprintOf(reading.unfused.front()), true, "looked at abeam, it is a scratch");
  if (auto toe = ToeDrawn(desk, {{20, -2.6}, {28, -3.0}, {36, -2.5}}); toe.ok()) {
    toe.value().reason = "the program followed the shadow";
    (void)MoveToe(desk, toe.value());
  }
  notes::Note note;
  note.shape = notes::Shape::kOutline, note.kind = "undercut", note.text = "sharp, ends at the tack";
  note.points = {{300, 2.4}, {303, 3.4}, {309, 3.2}, {308, 2.2}};
  (void)AddNote(desk, note);
  note.shape = notes::Shape::kPoint, note.kind = "tack", note.points = {{45, 0}}, note.text = "";
  (void)AddNote(desk, note);
  note.shape = notes::Shape::kLine, note.kind = "lack_of_root_fusion", note.points = {{100, 2.4}, {118, 2.4}};
  note.status = notes::Status::kAccepted;
  (void)AddNote(desk, note);
}

void Sheets(MainWindow& window, const QString& name) {
  Desk& desk = window.desk();
  app::viewer::JudgeSheet judge(desk);
  judge.resize(1000, 640);
  judge.show();
  Save(judge, name + "_judge");
  judge.close();
  const auto toe = ToeDrawn(desk, {{21, -2.7}, {35, -2.5}}).value();
  app::viewer::ToeSheet sheet(desk, toe, app::viewer::PlacedBefore(desk.notes(), toe));
  sheet.show();
  Save(sheet, name + "_toe");
  sheet.close();
}

void Screens(const QString& joint, const QString& name) {
  MainWindow window;
  window.resize(1366, 768);
  window.show();
  if (!Open(window, joint)) return std::printf("%s was not opened\n", qPrintable(joint)), void();
  Save(window, name + "_as_measured");
  Decide(window.desk());
  window.desk().GoTo(222, -2);
  Save(window, name + "_decided");
  window.end_view().SetFromB(true);
  Save(window.end_view(), name + "_end_from_b");
  window.end_view().SetFromB(false);
  window.SetWelderMode(true);
  Save(window, name + "_welder");
  window.SetWelderMode(false);
  Sheets(window, name);
  while (window.desk().undo().canUndo()) window.desk().undo().undo();
}

}  // namespace

int main(int count, char** arguments) {
  if (count < 3) {
    std::fprintf(stderr, "usage: viewer_truth_shots OUT_FOLDER JOINT_FOLDER [SWEEP_FOLDER]\n");
    return 2;
  }
  QApplication application(count, arguments);
  QApplication::setOrganizationName("rootscroll");
  QApplication::setApplicationName("viewer-shots");
  QSettings().clear();
  QSettings().setValue("author", "R. Example");
  out_folder = QString::fromLocal8Bit(arguments[1]);
  const QString joint = QString::fromLocal8Bit(arguments[2]);
  QTranslator spanish;
  if (!spanish.load(":/i18n/rootscroll_es.qm")) std::printf("no Spanish\n");
  for (const bool es : {false, true}) {
    if (es) QApplication::installTranslator(&spanish);
    for (const bool dark : {false, true}) {
      app::viewer::ApplyTheme(application, dark ? app::viewer::Theme::kDark : app::viewer::Theme::kLight);
      Screens(joint, QString("%1_%2").arg(es ? "es" : "en", dark ? "dark" : "light"));
    }
  }
  QApplication::removeTranslator(&spanish);
  app::viewer::ApplyTheme(application, app::viewer::Theme::kLight);
  if (count < 4) return 0;
  MainWindow window;
  window.resize(1366, 768);
  window.show();
  if (!Open(window, QString::fromLocal8Bit(arguments[3]))) return 1;
  window.desk().GoTo(140, -2);
  QTest::qWait(800);
  Save(window, "sweep_lens");
  return 0;
}
