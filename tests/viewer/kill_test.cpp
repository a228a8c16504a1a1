// A window process is killed with SIGKILL in the middle of editing; what it had written must come back.
#include <gtest/gtest.h>
#include <signal.h>

#include <QProcess>
#include <QSignalSpy>
#include <QTest>
#include <cstdio>

#include "app/viewer/desk.h"
#include "tests/viewer/support.h"

namespace app::viewer {
namespace {

TEST(Killed, EveryChangeThatWasShownComesBack) {
  viewer_test::TemporaryFolder folder;
  const auto joint = viewer_test::WriteMadeUpJoint(folder.path());
  QProcess editor;
  editor.start(VIEWER_EDITOR, {QString::fromStdString(joint.string())});
  ASSERT_TRUE(editor.waitForStarted());
  int shown = 0;  // the editor says after every change how many notes its window shows
  while (shown < 25 && editor.waitForReadyRead(20000))
    for (const QByteArray& line : editor.readAllStandardOutput().split('\n'))
      if (!line.trimmed().isEmpty()) shown = line.trimmed().toInt();
  ASSERT_GE(shown, 25);
  ::kill(static_cast<pid_t>(editor.processId()), SIGKILL);
  ASSERT_TRUE(editor.waitForFinished());
  Desk desk;
  QSignalSpy opened(&desk, &Desk::opened_joint), remarked(&desk, &Desk::remarked);
  desk.Open(joint);
  ASSERT_TRUE(opened.wait(10000));
  std::printf("figure: killed_after %d changes, came_back %zu\n", shown, desk.notes().notes.size());
  EXPECT_GE(desk.notes().notes.size(), static_cast<std::size_t>(shown));
  EXPECT_EQ(remarked.count(), 1);
  for (std::size_t i = 0; i < desk.notes().notes.size(); ++i)
    EXPECT_EQ(desk.notes().notes[i].points[0].theta_deg, static_cast<double>(i));
}

}  // namespace
}  // namespace app::viewer
