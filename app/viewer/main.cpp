#include <QApplication>
#include <QCommandLineParser>
#include <QElapsedTimer>
#include <QLocale>
#include <QSettings>
#include <QTimer>
#include <QTranslator>
#include <cstdio>

#include "app/viewer/main_window.h"
#include "app/viewer/on_screen.h"
#include "app/viewer/theme.h"
#include "vision/base/memory.h"

int main(int count, char** arguments) {
  vision::KeepFreedMemory();
  QElapsedTimer since_start;
  since_start.start();
  QApplication application(count, arguments);
  QApplication::setOrganizationName("rootscroll");
  QApplication::setApplicationName("rootscroll-window");
  QApplication::setApplicationVersion(ROOTSCROLL_VERSION);
  QCommandLineParser parser;
  parser.setApplicationDescription("Rootscroll's window: review, annotate, compare.");
  parser.addHelpOption();
  parser.addVersionOption();
  parser.addPositionalArgument("joint", "A joint file, a measured folder, a folder of frames or a video.");
  const QCommandLineOption language("language", "en or es.", "code"), theme("theme", "system, light or dark.", "name"),
      timed("time-start", "Prints the time to a usable window and quits.");
  parser.addOptions({language, theme, timed});
  parser.process(application);

  QSettings settings;
  const QString code = parser.isSet(language) ? parser.value(language)
                                              : settings.value("language", QLocale::system().name().left(2)).toString();
  QTranslator translator, qt_translator;
  if (code == "es" && translator.load(":/i18n/rootscroll_es.qm")) QApplication::installTranslator(&translator);
  app::viewer::ApplyTheme(
      application,
      app::viewer::ThemeFromName(parser.isSet(theme) ? parser.value(theme) : settings.value("theme").toString()));
  app::viewer::MainWindow window;
  window.resize(app::viewer::OnScreen(window, {1440, 900}));
  window.RestoreLayout(settings);
  QObject::connect(&application, &QApplication::aboutToQuit, &window, [&] { window.SaveLayout(settings); });
  window.show();
  if (!parser.positionalArguments().isEmpty()) window.OpenPath(parser.positionalArguments().front());
  if (parser.isSet(timed)) {
    const auto say_and_quit = [&] {
      window.page().repaint();
      std::printf("usable after %lld ms\n", static_cast<long long>(since_start.elapsed()));
      QApplication::quit();
    };
    if (parser.positionalArguments().isEmpty())
      QTimer::singleShot(0, &application, say_and_quit);
    else
      QObject::connect(&window.desk(), &app::viewer::Desk::opened_joint, &application, say_and_quit,
                       Qt::QueuedConnection);
  }
  return QApplication::exec();
}
