// Opens a joint and adds notes until it is killed; says after each how many there are. Run by kill_test.
#include <QApplication>
#include <QSettings>
#include <QStandardPaths>
#include <QTimer>
#include <cstdio>

#include "app/viewer/commands.h"
#include "app/viewer/main_window.h"

int main(int count, char** arguments) {
  if (count < 2) return 2;
  QStandardPaths::setTestModeEnabled(true);
  QApplication application(count, arguments);
  QApplication::setOrganizationName("rootscroll-tests");
  QApplication::setApplicationName("viewer-editor");
  app::viewer::MainWindow window;
  window.show();
  QTimer timer;
  QObject::connect(&timer, &QTimer::timeout, [&] {
    app::notes::Note note;
    note.kind = "surface_pore";
    note.points = {{static_cast<double>(window.desk().notes().notes.size()), 1}};
    if (app::viewer::AddNote(window.desk(), note)) return;
    std::printf("%zu\n", window.desk().notes().notes.size());
    std::fflush(stdout);
  });
  QObject::connect(&window.desk(), &app::viewer::Desk::opened_joint, [&] { timer.start(5); });
  window.OpenPath(QString::fromLocal8Bit(arguments[1]));
  return QApplication::exec();
}
