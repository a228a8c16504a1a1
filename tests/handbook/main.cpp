#include <gtest/gtest.h>

#include <QGuiApplication>

int main(int count, char** arguments) {
  qputenv("QT_QPA_PLATFORM", "offscreen");
  QGuiApplication application(count, arguments);
  testing::InitGoogleTest(&count, arguments);
  return RUN_ALL_TESTS();
}
