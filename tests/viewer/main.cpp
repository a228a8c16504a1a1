#include <gtest/gtest.h>
#include <sys/stat.h>

#include <QApplication>
#include <QSettings>
#include <QStandardPaths>
#include <cstdlib>

namespace {

/// A warning of Qt fails the test it comes in: it is a mistake of ours until shown otherwise.
void OnMessage(QtMsgType type, const QMessageLogContext&, const QString& text) {
  if (text.contains("propagateSizeHints")) return;  // said by the offscreen platform of every dialog
  if (type == QtDebugMsg || type == QtInfoMsg) return;
  ADD_FAILURE() << "Qt says: " << text.toStdString();
}

}  // namespace

int main(int count, char** arguments) {
  ::testing::InitGoogleTest(&count, arguments);
  const std::string runtime = ::testing::TempDir() + "viewer-runtime";
  ::mkdir(runtime.c_str(), 0700);
  ::setenv("XDG_RUNTIME_DIR", runtime.c_str(), 0);
  ::setenv("QT_QPA_PLATFORM", "offscreen", 0);
  qInstallMessageHandler(OnMessage);
  QStandardPaths::setTestModeEnabled(true);
  QApplication application(count, arguments);
  QApplication::setOrganizationName("rootscroll-tests");
  QApplication::setApplicationName(QString("viewer-%1").arg(QCoreApplication::applicationPid()));
  QSettings().clear();
  QSettings().setValue("author", "R. Example");
  const int result = RUN_ALL_TESTS();
  QSettings().clear();
  return result;
}
