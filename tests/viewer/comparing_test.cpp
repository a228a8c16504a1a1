// Comparing: which half is which, whose words and frames are shown, what to do with a later recording that is not
// measured, and the way to its page.
#include <gmock/gmock.h>

#include <QLabel>
#include <QPushButton>
#include <QSignalSpy>
#include <QTest>
#include <QTextBrowser>
#include <nlohmann/json.hpp>

#include "app/viewer/legend_view.h"
#include "app/viewer/main_window.h"
#include "tests/viewer/support.h"
#include "vision/base/file.h"

namespace app::viewer {
namespace {

namespace fs = std::filesystem;
using testing::HasSubstr;
using testing::StartsWith;

TEST(Comparing, WordsLensAndLabelsFollowTheHalfAndAnUnmeasuredLaterOneIsMeasuredFromThere) {
  viewer_test::TemporaryFolder folder;
  fs::create_directories(folder.path() / "first");
  const auto joint = viewer_test::WriteMeasuredDemo(folder.path() / "first");
  // The later one: the same frames under another stage, not measured yet.
  const fs::path later = folder.path() / "later", demo = fs::path(ROOTSCROLL_SOURCE_DIR) / "fixtures" / "demo";
  fs::create_directories(later);
  for (const char* name : {"from_a.jpg", "from_b.jpg", "push.avi"}) fs::copy(demo / name, later / name);
  auto json = nlohmann::json::parse(vision::ReadFileWhole(demo / "joint.json").value());
  for (auto& recording : json["recordings"]) recording["stage"] = "after grinding";
  ASSERT_FALSE(vision::WriteFileWhole(later / "joint.json", json.dump()));

  MainWindow window;
  window.show();
  QSignalSpy opened(&window.desk(), &Desk::opened_joint), ready(&window.comparison(), &Comparison::ready);
  window.OpenPath(QString::fromStdString(joint.string()));
  ASSERT_TRUE(opened.wait(20000));
  QSignalSpy asked(&window.comparison(), &Comparison::notMeasured);
  window.CompareWith(QString::fromStdString(later.string()));
  ASSERT_TRUE(asked.wait(20000));
  QPushButton* measure = nullptr;
  for (auto* button : window.findChildren<QPushButton*>())
    if (button->text().contains("compare") && button->isVisible()) measure = button;
  ASSERT_TRUE(measure) << "a button that measures the later one";
  QTest::mouseClick(measure, Qt::LeftButton);
  ASSERT_TRUE(ready.wait(240000));
  EXPECT_EQ(window.desk().opened().folder, folder.path() / "first" / "measured") << "the first one stays open";

  EXPECT_THAT(window.comparison().Label(false).toStdString(), StartsWith("before: LX-114, root"));
  EXPECT_THAT(window.comparison().Label(true).toStdString(), StartsWith("after: LX-114, after grinding"));
  EXPECT_EQ(window.page().against(), Against::kSwipe);
  auto* words = window.findChild<QTextBrowser*>("words");
  window.lens().hide();
  const Rect strip = window.page().layout_of_page().StripRect(0);
  const int y = static_cast<int>(strip.y + strip.height / 2);
  for (const bool after : {true, false}) {
    const int x = static_cast<int>(strip.x + strip.width * (after ? 0.8 : 0.2));
    QTest::mouseClick(&window.page(), Qt::LeftButton, {}, QPoint(x, y));
    EXPECT_EQ(window.comparison().at_after(), after);
    const char* which = after ? "after: " : "before: ";
    EXPECT_THAT(words->toPlainText().toStdString(), StartsWith(which));
    EXPECT_THAT(window.lens().Caption().toStdString(), StartsWith(which));
  }
  // The labels are on the page at the swipe edge: without them the picture is another one.
  window.desk().GoTo(350, 12);
  const QImage labelled = window.page().grab().toImage();
  window.page().SetLabels("x", "y");
  EXPECT_NE(window.page().grab().toImage(), labelled);
  window.page().SetAgainst(Against::kDifference);
  const auto legend = window.findChildren<LegendView*>();
  EXPECT_TRUE(std::any_of(legend.begin(), legend.end(), [](const LegendView* one) {
    return one->isVisible() && std::count(one->shown().begin(), one->shown().end(), marks::Means::kLaterBrighter) == 1;
  }));
  EXPECT_THAT(window.findChild<QLabel*>("compare_text")->text().toStdString(), HasSubstr("no measurement"));
  QTest::mouseClick(window.findChild<QPushButton*>("open_later"), Qt::LeftButton);
  ASSERT_TRUE(opened.wait(20000));
  EXPECT_EQ(window.desk().opened().reading.stage, "after grinding");
  EXPECT_FALSE(window.comparison().has());
}

}  // namespace
}  // namespace app::viewer
