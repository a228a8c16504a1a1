// One window, several joints: what is shown belongs to the joint that is open, and to no other.
#include <gmock/gmock.h>

#include <QAbstractItemModel>
#include <QLabel>
#include <QListView>
#include <QSignalSpy>
#include <QStatusBar>
#include <QTest>
#include <QTextBrowser>
#include <nlohmann/json.hpp>
#include <set>

#include "app/viewer/main_window.h"
#include "app/viewer/page_paint.h"
#include "tests/viewer/support.h"
#include "vision/base/file.h"

namespace app::viewer {
namespace {

namespace fs = std::filesystem;
using testing::HasSubstr;
using testing::Not;

class TwoJoints : public testing::Test {
 protected:
  fs::path Banded(const std::string& name, int columns, int rows, double z_mm) {
    return viewer_test::WriteBandedJoint(Made(name), columns, rows, z_mm);
  }
  fs::path Made(const std::string& name) {
    fs::create_directories(folder_.path() / name);
    return folder_.path() / name;
  }
  /// A joint of another name that nobody measured.
  fs::path Unmeasured() {
    const auto text = vision::ReadFileWhole(fs::path(ROOTSCROLL_SOURCE_DIR) / "fixtures" / "demo" / "joint.json");
    EXPECT_TRUE(text.ok());
    auto json = nlohmann::json::parse(text.value());
    json["joint"]["id"] = "LX-900";
    const auto file = Made("new") / "joint.json";
    EXPECT_FALSE(vision::WriteFileWhole(file, json.dump()));
    return file;
  }
  static void Open(MainWindow& window, const fs::path& joint) {
    QSignalSpy opened(&window.desk(), &Desk::opened_joint);
    window.OpenPath(QString::fromStdString(joint.string()));
    ASSERT_TRUE(opened.wait(20000));
  }
  static void Plain(MainWindow& window) {
    Layers none;
    none.toes = none.fusion = none.indications = none.not_examined = none.notes = none.ribbons = none.rulers = false;
    window.page().SetLayers(none);
  }
  viewer_test::TemporaryFolder folder_;
};

/// Against the pixels: a band at a known z stands where the page's own millimetres put it, and a click on it tells
/// that z, whichever joint was open before. The two bores and the
/// strips' heights differ.
TEST_F(TwoJoints, ThePictureLiesUnderItsOwnMillimetresAfterAJointOfAnotherBore) {
  const auto wide = Banded("wide", 5000, 900, 5), narrow = Banded("narrow", 6000, 1200, -20);
  MainWindow window;
  window.lens().hide();
  window.show();
  ASSERT_TRUE(QTest::qWaitForWindowExposed(&window));
  int opened = 0;
  std::set<int> totals;
  for (const auto& [joint, z_mm] : {std::pair{wide, 5.0}, {narrow, -20.0}, {wide, 5.0}}) {
    Open(window, joint);
    Plain(window);
    window.desk().GoTo(300, 0);  // the cross-hair out of the way
    const auto& layout = window.page().layout_of_page();
    const auto spot = layout.SpotOf(20, z_mm);
    ASSERT_TRUE(spot);
    totals.insert(layout.total_px());
    window.lens().hide();
    const double y = viewer_test::BandY(window.page(), static_cast<int>(spot->x));
    EXPECT_NEAR(y, layout.YOnLine(z_mm, 0) + 0.5, 1.0) << "joint number " << ++opened << " in this window";
    if (std::isfinite(y))
      QTest::mouseClick(&window.page(), Qt::LeftButton, {}, QPoint(static_cast<int>(spot->x), static_cast<int>(y)));
    EXPECT_NEAR(window.desk().z_mm(), z_mm, 1.0 / layout.px_per_mm()) << "a note put on the band gets its z";
  }
  EXPECT_EQ(totals.size(), 1u) << "both rings are as wide on the page: only their scales tell them apart";
}

/// Nothing of the last joint is left under the banner of one that was not measured.
TEST_F(TwoJoints, AnUnmeasuredJointShowsNoNumberOfTheLastOne) {
  const auto first = viewer_test::WriteMadeUpJoint(Made("first"));
  const auto next = Unmeasured();
  MainWindow window, fresh;
  for (MainWindow* one : {&window, &fresh}) one->show();
  Open(window, first);
  ASSERT_GT(window.findChild<QListView*>("list")->model()->rowCount(), 0);
  for (MainWindow* one : {&window, &fresh}) {
    QSignalSpy asked(&one->desk(), &Desk::notMeasured);
    one->OpenPath(QString::fromStdString(next.string()));
    ASSERT_TRUE(asked.wait(20000));
  }
  EXPECT_FALSE(window.desk().has());
  EXPECT_EQ(window.findChild<QListView*>("list")->model()->rowCount(), 0);
  EXPECT_EQ(window.findChild<QLabel*>("read_out")->text(), "");
  EXPECT_THAT(window.findChild<QTextBrowser*>("words")->toPlainText().toStdString(), Not(HasSubstr("mm")));
  EXPECT_THAT(window.findChild<QTextBrowser*>("words")->toPlainText().toStdString(), HasSubstr("LX-900"));
  EXPECT_THAT(window.windowTitle().toStdString(), HasSubstr("LX-900"));
  EXPECT_FALSE(window.lens().isVisible());
  QTest::qWait(200);                                           // the bar's button settles to its new words
  EXPECT_EQ(window.grab().toImage(), fresh.grab().toImage());  // as a window in which nothing was ever open
}

/// No clock where the picture's up is not known: an hour there would be read as a place on the pipe.
TEST_F(TwoJoints, RelativeAnglesShowNoClockAnywhere) {
  const auto joint = viewer_test::WriteMadeUpJoint(Made("relative"));
  const fs::path file = joint.parent_path() / "measured" / "reading.json";
  const auto text = vision::ReadFileWhole(file);
  ASSERT_TRUE(text.ok());
  auto json = nlohmann::json::parse(text.value());
  json["angles"] = "relative";
  ASSERT_FALSE(vision::WriteFileWhole(file, json.dump()));
  MainWindow window;
  window.show();
  Open(window, joint);
  QPixmap nothing(8, 8);
  QPainter painter(&nothing);
  for (const Ruler ruler : {Ruler::kClock, Ruler::kDegrees, Ruler::kInsideMm, Ruler::kOutsideMm, Ruler::kStations}) {
    const auto marks =
        RulerMarksOf({painter, window.page().layout_of_page(), window.desk(), window.palette(), 0, ruler});
    ASSERT_GT(marks.size(), 2u);
    for (const auto& mark : marks) {
      EXPECT_THAT(mark.label.toStdString(), Not(HasSubstr(":")));
      EXPECT_THAT(mark.label.toStdString(), HasSubstr("rel."));
    }
  }
  EXPECT_EQ(window.end_view().RimLabels(), QStringList({"0°", "90°", "180°", "270°"}));
  EXPECT_THAT(window.end_view().Caption().toStdString(), HasSubstr("no clock is known"));
  EXPECT_THAT(window.findChild<QLabel*>("view")->text().toStdString(), HasSubstr("no clock is known"));
  auto* list = window.findChild<QListView*>("list")->model();
  for (int row = 0; row < list->rowCount(); ++row)
    EXPECT_THAT(list->index(row, 0).data().toString().toStdString(), Not(HasSubstr("o'clock")));
}

}  // namespace
}  // namespace app::viewer
