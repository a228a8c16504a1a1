#include <gmock/gmock.h>

#include <QComboBox>
#include <QDialog>
#include <QDialogButtonBox>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QSignalSpy>
#include <QTest>
#include <opencv2/videoio.hpp>
#include <set>

#include "app/joint/watch_input.h"
#include "app/viewer/live_sheet.h"
#include "app/viewer/main_window.h"
#include "tests/viewer/heartbeat.h"
#include "tests/viewer/support.h"

namespace app::viewer {
namespace {

using testing::HasSubstr;
namespace fs = std::filesystem;

const fs::path kDemo = fs::path(ROOTSCROLL_SOURCE_DIR) / "fixtures" / "demo";

/// The demo's push as if it came from a camera.
vision::live::WatchOptions Push(const std::string& source) {
  vision::live::WatchOptions options;
  options.reader.source = source;
  options.say_every_s = 0.2;
  auto ready = joint::WatchOptionsFor({kDemo / "joint.json", "head-video", "+z", 180.9664}, options);
  EXPECT_TRUE(ready.ok()) << ready.error().message;
  return std::move(ready).value();
}

class LiveTest : public testing::Test {
 protected:
  viewer_test::TemporaryFolder folder_;
};

TEST_F(LiveTest, TheStripFillsHintsAreSaidAndWhatCameIsRecorded) {
  MainWindow window;
  window.show();
  auto options = Push((kDemo / "push.avi").string());
  options.record.emplace();
  options.record->file = folder_.path() / "kept.avi";
  QSignalSpy ended(&window.live(), &LiveView::ended), painted(&window.live().page(), &LivePage::painted);
  std::set<QString> hints;
  double covered = 0;
  bool fell = false;
  QObject::connect(&window.live().page(), &LivePage::painted, &window, [&] {
    hints.insert(window.live().hint());
    const auto& picture = *window.live().page().picture();
    fell = fell || picture.covered < covered - 1e-9;
    covered = picture.covered;
  });
  viewer_test::Heartbeat heart;
  window.Follow(options);
  EXPECT_TRUE(window.live().isVisible());
  EXPECT_FALSE(window.page().isVisible());
  ASSERT_TRUE(ended.wait(30000));
  std::printf("figure: live_longest_block_ms %lld\n", static_cast<long long>(heart.longest_ms()));
  EXPECT_GT(painted.size(), 3);
  EXPECT_GT(covered, 0.1);
  EXPECT_FALSE(fell);
  EXPECT_FALSE(hints.contains(QString()));
  EXPECT_GE(hints.size(), 1u);
  // The strip itself: the demo's weld zone shows wall, not only what is not seen.
  const auto& picture = *window.live().page().picture();
  ASSERT_FALSE(picture.strip.isNull());
  int seen = 0;
  for (int x = 0; x < picture.strip.width(); x += 7)
    for (int y = 0; y < picture.strip.height(); y += 7) seen += qAlpha(picture.strip.pixel(x, y)) == 255;
  EXPECT_GT(seen, 50);
  EXPECT_EQ(window.live().page().screen().count(), painted.size());
  EXPECT_THAT(window.live().figures().toStdString(), HasSubstr("from the frame to the screen"));
  // Every frame the source gave lies in the recording.
  EXPECT_EQ(window.live().recording().toStdString(), (folder_.path() / "kept.avi").string());
  cv::VideoCapture kept((folder_.path() / "kept.avi").string());
  int frames = 0;
  while (kept.grab()) ++frames;
  EXPECT_EQ(frames, 24);
  EXPECT_THAT(window.live().figures().toStdString(), HasSubstr("recorded 24 frames, none lost"));
  EXPECT_TRUE(window.findChild<QPushButton*>("live_sort")->isVisible());
  // And back.
  QTest::mouseClick(window.findChild<QPushButton*>("live_stop"), Qt::LeftButton);
  EXPECT_FALSE(window.live().isVisible());
  EXPECT_TRUE(window.page().isVisible());
}

/// The coverage ring grows where the strip says the wall was seen: its own pixels at a seen and an unseen arc.
TEST_F(LiveTest, TheEndShowsWhatWasSeenAndWhatWasNot) {
  auto picture = std::make_shared<LivePicture>();
  picture->coverage.assign(72, 0.0);
  for (int i = 9; i < 27; ++i) picture->coverage[static_cast<std::size_t>(i)] = 1;  // 45 to 135 degrees: the right
  picture->covered = 0.25;
  LiveEnd end;
  end.resize(300, 334);
  end.Show(picture);
  const QImage image = end.grab().toImage();
  const double r = 128;                                 // of the pipe's outside
  const auto at = [&](const QImage& shown, double x) {  // over a whole period of either pattern
    int sum = 0;
    for (int dy = -6; dy < 6; ++dy)
      for (int dx = -6; dx < 6; ++dx) sum += shown.pixelColor(static_cast<int>(150 + x) + dx, 152 + dy).value();
    return sum / 144;
  };
  EXPECT_GT(at(image, 0.6 * r), 115);
  EXPECT_LT(at(image, -0.6 * r), 90);
  picture->coverage.assign(72, 0.0);
  end.Show(picture);
  EXPECT_LT(at(end.grab().toImage(), 0.6 * r), 90);
}

TEST_F(LiveTest, StopsWhenAskedAndASourceThatIsNoneIsSaidInOneSentence) {
  MainWindow window;
  window.show();
  fs::create_directories(folder_.path() / "stills");
  for (int i = 0; i < 200; ++i)
    fs::create_symlink(kDemo / "from_a.jpg", folder_.path() / "stills" / (std::to_string(1000 + i) + ".jpg"));
  auto options = Push((folder_.path() / "stills").string());
  const auto head = joint::WatchOptionsFor({kDemo / "joint.json", "head", "+z", 180.9546}, options);
  ASSERT_TRUE(head.ok());
  QSignalSpy ended(&window.live(), &LiveView::ended), painted(&window.live().page(), &LivePage::painted);
  window.Follow(head.value());
  ASSERT_TRUE(painted.wait(20000));
  QTest::mouseClick(window.findChild<QPushButton*>("live_stop"), Qt::LeftButton);
  ASSERT_TRUE(ended.wait(3000));
  EXPECT_FALSE(window.live().running());
  QSignalSpy failed(&window.live(), &LiveView::failed);
  window.Follow(Push("/nowhere/camera.avi"));
  ASSERT_TRUE(failed.wait(10000));
  EXPECT_THAT(failed[0][0].toString().toStdString(), HasSubstr("/nowhere/camera.avi"));
  EXPECT_TRUE(window.page().isVisible());
}

TEST_F(LiveTest, TheSheetGuessesNothingAndNamesWhatIsMissing) {
  LiveSheet sheet(QString::fromStdString((kDemo / "joint.json").string()));
  auto* wrong = sheet.findChild<QLabel*>("live_wrong");
  const auto press = [&] {
    sheet.findChild<QDialogButtonBox*>()->button(QDialogButtonBox::Ok)->click();
    return wrong->text().toStdString();
  };
  EXPECT_EQ(sheet.findChild<QComboBox*>("live_camera")->count(), 2);
  EXPECT_THAT(press(), HasSubstr("where the pictures come from"));
  sheet.findChild<QLineEdit*>("live_source")->setText("0");
  EXPECT_THAT(press(), HasSubstr("which way the camera looks"));
  sheet.findChild<QComboBox*>("live_looks")->setCurrentIndex(2);
  sheet.findChild<QLineEdit*>("live_up")->setText("about half past");
  EXPECT_THAT(press(), HasSubstr("is not a number"));
  sheet.findChild<QLineEdit*>("live_up")->setText("257.9");
  sheet.findChild<QLineEdit*>("live_record")->setText(QString::fromStdString((kDemo / "push.avi").string()));
  EXPECT_THAT(press(), HasSubstr("exists already"));
  sheet.findChild<QLineEdit*>("live_record")->clear();
  press();
  EXPECT_EQ(sheet.result(), QDialog::Accepted);
  EXPECT_EQ(sheet.options().setting.facing, vision::pose::Facing::kMinusZ);
  EXPECT_NEAR(sheet.options().setting.up_theta_deg, 257.9, 1e-9);
  EXPECT_NEAR(sheet.options().bore.radius_mm, 77.1, 0.1);
  EXPECT_FALSE(sheet.options().record);
}

/// Two actions with one key would leave both without it.
TEST(Keys, EachIsUsedOnce) {
  MainWindow window;
  std::set<QString> seen;
  for (const auto* action : window.findChildren<QAction*>())
    for (const auto& key : action->shortcuts())
      EXPECT_TRUE(seen.insert(key.toString()).second) << key.toString().toStdString();
  EXPECT_GT(seen.size(), 50u);
}

}  // namespace
}  // namespace app::viewer
