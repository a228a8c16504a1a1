// Many joints in a folder: one after the other, all measured; and what is seen as a picture.
#include <gmock/gmock.h>

#include <QApplication>
#include <QClipboard>
#include <QLabel>
#include <QSignalSpy>
#include <QTest>

#include "app/viewer/legend_view.h"
#include "app/viewer/main_window.h"
#include "tests/viewer/support.h"

namespace app::viewer {
namespace {

namespace fs = std::filesystem;

class Folder : public testing::Test {
 protected:
  void Act(const char* name) { window_.findChild<QAction*>(name)->trigger(); }
  void Open(const fs::path& joint) {
    QSignalSpy opened(&window_.desk(), &Desk::opened_joint);
    window_.OpenPath(QString::fromStdString(joint.string()));
    ASSERT_TRUE(opened.wait(20000));
  }
  std::string OpenFolder() { return window_.desk().opened().joint.file.parent_path().filename().string(); }

  viewer_test::TemporaryFolder folder_;
  MainWindow window_;
};

TEST_F(Folder, TheNextJointAndTheOneBeforeAreOpened) {
  for (const char* name : {"j1", "j2", "j3"}) {
    fs::create_directories(folder_.path() / name);
    viewer_test::WriteMadeUpJoint(folder_.path() / name);
  }
  Open(folder_.path() / "j2" / "joint.json");
  QSignalSpy opened(&window_.desk(), &Desk::opened_joint);
  Act("next_joint");
  ASSERT_TRUE(opened.wait(20000));
  EXPECT_EQ(OpenFolder(), "j3");
  Act("next_joint");  // there is none: said, and nothing happens
  EXPECT_FALSE(opened.wait(300));
  Act("previous_joint");
  ASSERT_TRUE(opened.wait(20000));
  EXPECT_EQ(OpenFolder(), "j2");
}

TEST_F(Folder, AllJointsThatAreNotMeasuredAreAndAFaultOfOneStopsNoOther) {
  for (const char* name : {"j1", "j2", "j3"}) fs::create_directories(folder_.path() / name);
  const fs::path first = viewer_test::WriteMadeUpJoint(folder_.path() / "j1");
  fs::copy(first, folder_.path() / "j2" / "joint.json");  // its picture is not there
  const fs::path demo = fs::path(ROOTSCROLL_SOURCE_DIR) / "fixtures" / "demo";
  for (const char* name : {"from_a.jpg", "from_b.jpg", "push.avi", "joint.json"})
    fs::copy(demo / name, folder_.path() / "j3" / name);
  Open(first);
  const auto before = fs::last_write_time(folder_.path() / "j1" / "measured" / "reading.json");
  QSignalSpy ended(&window_.desk().jobs(), &JobRunner::ended);
  Act("measure_folder");
  ASSERT_TRUE(ended.wait(60000));
  EXPECT_TRUE(Resolve(folder_.path() / "j2" / "joint.json").value().folder.empty());
  const fs::path measured = Resolve(folder_.path() / "j3" / "joint.json").value().folder;
  EXPECT_TRUE(fs::exists(measured / "reading.json"));
  EXPECT_EQ(fs::last_write_time(folder_.path() / "j1" / "measured" / "reading.json"), before);
  ASSERT_TRUE(QTest::qWaitFor([&] { return window_.findChild<QLabel*>("bar_text")->text().contains("j2"); }, 5000));
  EXPECT_TRUE(window_.findChild<QLabel*>("bar_text")->text().startsWith("1 of 3"));
}

TEST_F(Folder, TheViewIsCopiedWithItsLegendAndItsCaution) {
  const fs::path joint = viewer_test::WriteBandedJoint(folder_.path(), 2400, 300, 5);
  window_.show();
  Open(joint);
  QTest::qWait(300);
  Act("copy_picture");
  const QImage picture = QApplication::clipboard()->image();
  ASSERT_FALSE(picture.isNull());
  auto* legend = window_.findChild<LegendView*>();
  auto* caution = window_.findChild<QLabel*>("caution");
  EXPECT_EQ(picture.height(), window_.page().height() + legend->height() + caution->height() +
                                  window_.findChild<QLabel*>("view")->height());
  int band = 0, caution_ink = 0;
  for (int y = 0; y < picture.height(); ++y)
    for (int x = 0; x < picture.width(); ++x) {
      const QColor c = picture.pixelColor(x, y);
      band += c.red() > 200 && c.green() < 80 && c.blue() > 200;
      caution_ink += y >= picture.height() - caution->height() && c.lightness() < 100;
    }
  EXPECT_GT(band, 1000);        // the band is magenta (WriteBandedJoint)
  EXPECT_GT(caution_ink, 300);  // words at the foot
}

}  // namespace
}  // namespace app::viewer
