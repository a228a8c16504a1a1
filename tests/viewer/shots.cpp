// Drives the window through its main states and saves a picture of each. Not a test: scripts/screenshots runs it.
#include <QApplication>
#include <QDialog>
#include <QSettings>
#include <QSpinBox>
#include <QTest>
#include <QTimer>
#include <QTranslator>
#include <cmath>
#include <cstdio>

#include "app/viewer/add_recording_sheet.h"
#include "app/viewer/book_sheet.h"
#include "app/viewer/camera_sheet.h"
#include "app/viewer/commands.h"
#include "app/viewer/facts_sheet.h"
#include "app/viewer/handbook_sheet.h"
#include "app/viewer/main_window.h"
#include "app/viewer/marks_sheet.h"
#include "app/viewer/new_joint_sheet.h"
#include "app/viewer/note_sheet.h"
#include "app/viewer/theme.h"
#include "app/viewer/trends_sheet.h"

namespace {

using app::viewer::MainWindow;

QString out_folder;

void Save(QWidget& widget, const QString& name) {
  QTest::qWait(400);
  widget.grab().save(out_folder + "/" + name + ".png");
  std::printf("%s\n", qPrintable(name));
}

void SaveTrends(MainWindow& window, const QString& book, const QString& name) {
  app::viewer::TrendsSheet sheet(&window);
  sheet.show();
  sheet.ShowBook(book);
  if (!QTest::qWaitFor([&] { return sheet.found().has_value(); }, 20000)) std::printf("no trends\n");
  Save(sheet, name);
}

bool Open(MainWindow& window, const QString& path) {
  bool done = false;
  QObject::connect(&window.desk(), &app::viewer::Desk::opened_joint, &window, [&] { done = true; });
  window.OpenPath(path);
  return QTest::qWaitFor([&] { return done; }, 20000);
}

void Act(MainWindow& window, const char* name) {
  if (auto* action = window.findChild<QAction*>(name)) action->trigger();
}

/// The board pictures that lie in the repository.
void SaveCamera(MainWindow& window) {
  const QString boards = "fixtures/boards/fisheye_chessboard";
  app::viewer::CameraSheet sheet((out_folder + "/cameras").toStdString(), &window);
  sheet.show();
  sheet.findChild<QSpinBox*>("board_columns")->setValue(6);
  sheet.findChild<QSpinBox*>("board_rows")->setValue(4);
  bool done = false;
  QObject::connect(&sheet, &app::viewer::CameraSheet::calibrated, [&] { done = true; });
  sheet.AddFiles({boards});
  if (!QTest::qWaitFor([&] { return done; }, 120000)) std::printf("no camera\n");
  Save(sheet, "camera");
}

/// A picture along the demo's pipe with some points on its two toes, in place of scribed rings.
void SaveMarks(MainWindow& window) {
  app::viewer::MarksSheet sheet((out_folder + "/cameras").toStdString(), &window);
  sheet.AddFiles({"fixtures/demo/from_a.jpg", "fixtures/demo/from_b.jpg"});
  sheet.show();
  QTest::qWait(100);  // laid out
  auto* picture = sheet.findChild<app::viewer::MarkPicture*>();
  for (const double radius : {0.26, 0.23}) {  // of the picture's width
    picture->SetMark(radius < 0.25);
    for (int i = 0; i < 8; ++i)
      QTest::mouseClick(picture, Qt::LeftButton, {},
                        picture->rect().center() + QPointF(radius * picture->width() * std::cos(i * M_PI / 4),
                                                           radius * picture->width() * std::sin(i * M_PI / 4))
                                                       .toPoint());
  }
  Save(sheet, "marks");
}

/// What the program saw, laid over the strip.
void SaveReader(MainWindow& window) {
  Act(window, "layer_reader");
  Save(window, "reader");
  Act(window, "layer_reader");
}

/// On the smallest screen that the window is meant for, lens and end view out on their own.
void SaveDocks(MainWindow& window) {
  const QSize usual = window.size();
  window.resize(1024, 700);
  Save(window, "small");
  for (const char* dock : {"dock_end", "dock_lens"}) Act(window, dock);
  Save(window, "docks");
  for (const char* dock : {"dock_end", "dock_lens"}) Act(window, dock);
  window.resize(usual);
}

void Compare(MainWindow& window, const QString& after) {
  window.CompareWith(after);
  if (!QTest::qWaitFor([&] { return window.comparison().has(); }, 60000)) std::printf("no comparison\n");
}

}  // namespace

int main(int count, char** arguments) {
  if (count < 4) {
    std::fprintf(stderr,
                 "usage: viewer_shots OUT_FOLDER JOINT_FOLDER BOOK [BEFORE_FOLDER AFTER_FOLDER [HEIGHTS_FOLDER]]\n");
    return 2;
  }
  QApplication application(count, arguments);
  QApplication::setOrganizationName("rootscroll");
  QApplication::setApplicationName("viewer-shots");
  QSettings().clear();
  QSettings().setValue("author", "R. Example");
  out_folder = QString::fromLocal8Bit(arguments[1]);
  const QString joint = QString::fromLocal8Bit(arguments[2]);
  app::viewer::ApplyTheme(application, app::viewer::Theme::kLight);
  {
    MainWindow window;
    window.show();
    Save(window, "first_start");
    app::viewer::Request bare;
    bare.video = (joint + "/film.avi").toStdString();
    app::viewer::NewJointSheet start(bare, &window);
    start.show();
    Save(start, "recording_without_joint");
    start.close();
    if (!Open(window, joint)) return 1;
    Save(window, "demo_open");
    Act(window, "ruler_stations");  // the demo's repair file knows the belt outside
    Save(window, "stations");
    window.page().SetRuler(app::viewer::Ruler::kClock);
    app::viewer::AddRecordingSheet add(window.desk().opened().joint, &window);
    add.show();
    Save(add, "add_recording");
    add.close();
    app::viewer::FactsSheet facts(window.desk().opened().joint.file, &window);
    facts.show();
    Save(facts, "facts");
    facts.close();
    app::viewer::HandbookSheet handbook(&window);
    handbook.show();
    handbook.ShowChapter("terms");
    Save(handbook, "handbook");
    handbook.Search("oxygen");
    Save(handbook, "handbook_search");
    handbook.close();
    SaveReader(window);
    SaveCamera(window);
    SaveMarks(window);
    SaveDocks(window);
    app::viewer::BookSheet books(&window);
    books.show();
    books.List(QString::fromLocal8Bit(arguments[3]));
    Save(books, "open_from_book");
    books.close();
    window.page().Zoom(3.2);
    Act(window, "next");
    Act(window, "previous");
    Save(window, "unfused_run");
    window.desk().GoTo(140, 0);
    window.page().Reveal(140, 0);
    Save(window, "section");
    Act(window, "whole");
    app::notes::Note note;
    note.shape = app::notes::Shape::kOutline, note.kind = "undercut", note.text = "sharp, ends at the tack";
    note.points = {{300, 2.4}, {303, 3.4}, {309, 3.2}, {308, 2.2}};
    (void)AddNote(window.desk(), note);
    note.shape = app::notes::Shape::kPoint, note.kind = "tack", note.points = {{45, 0}}, note.text = "";
    (void)AddNote(window.desk(), note);
    auto toe = app::viewer::ToeDrawn(window.desk(), {{20, -2.6}, {28, -3.0}, {36, -2.5}}).value();
    toe.reason = "the program followed the shadow";
    (void)MoveToe(window.desk(), toe);
    QTimer::singleShot(600, &window, [&] {
      if (auto* sheet = qobject_cast<QDialog*>(QApplication::activeModalWidget())) {
        Save(*sheet, "annotate_sheet");
        sheet->reject();
      }
    });
    app::viewer::NoteSheet sheet(window.desk(), window.desk().notes().notes[0], &window);
    sheet.exec();
    window.desk().GoTo(305, 2.8);
    Save(window, "annotate");
    Act(window, "judge");
    QTest::qWait(300);
    if (auto* judge = window.findChild<QDialog*>("judge_sheet")) {
      Save(*judge, "judge");
      judge->close();
    }
    Act(window, "keys");
    if (auto* keys = window.findChild<QDialog*>("keys_sheet")) {
      Save(*keys, "keys");
      keys->close();
    }
    Act(window, "welder");
    Save(window, "welder");
    Act(window, "welder");
    const QString book = QString::fromLocal8Bit(arguments[3]);
    SaveTrends(window, book, "trends");
    app::viewer::ApplyTheme(application, app::viewer::Theme::kDark);
    Save(window, "dark");
    SaveTrends(window, book, "trends_dark");
    app::viewer::ApplyTheme(application, app::viewer::Theme::kLight);
    while (window.desk().undo().canUndo()) window.desk().undo().undo();
  }
  if (count >= 6) {
    MainWindow window;
    window.show();
    if (!Open(window, QString::fromLocal8Bit(arguments[4]))) return 1;
    Compare(window, QString::fromLocal8Bit(arguments[5]));
    for (const char* mode : {"compare_beside", "compare_swipe", "compare_blink", "compare_difference"}) {
      Act(window, mode);
      Save(window, mode);
    }
    Act(window, "compare_heights");  // refused where the pair has no heights
    if (window.page().against() == app::viewer::Against::kHeights) Save(window, "compare_heights");
  }
  if (count >= 7) {
    MainWindow window;
    window.show();
    if (!Open(window, QString::fromLocal8Bit(arguments[6]))) return 1;
    window.desk().GoTo(140, 0);
    window.page().Reveal(140, 0);
    Save(window, "section_heights");
  }
  QTranslator translator;
  if (translator.load(":/i18n/rootscroll_es.qm")) QApplication::installTranslator(&translator);
  MainWindow window;
  window.show();
  if (!Open(window, joint)) return 1;
  Save(window, "spanish");
  SaveTrends(window, QString::fromLocal8Bit(arguments[3]), "spanish_trends");
  return 0;
}
