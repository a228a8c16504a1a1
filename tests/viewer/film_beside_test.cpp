// The radiograph beside the strip: where its numbers pin it, in the window.
#include <gmock/gmock.h>

#include <QAction>
#include <QSignalSpy>
#include <QTest>
#include <nlohmann/json.hpp>
#include <opencv2/imgcodecs.hpp>

#include "app/viewer/main_window.h"
#include "app/viewer/page_paint.h"
#include "tests/viewer/support.h"
#include "vision/base/file.h"

namespace app::viewer {
namespace {

namespace fs = std::filesystem;
using nlohmann::json;
using testing::HasSubstr;

class FilmBesideTest : public testing::Test {
 protected:
  /// The demo's repair file with a film of two halves, red to the left and blue to the right of x = 200.
  void Prepare(const json& markers) {
    joint_ = viewer_test::WriteMadeUpJoint(folder_.path());
    auto repair = json::parse(
        vision::ReadFileWhole(fs::path(ROOTSCROLL_SOURCE_DIR) / "fixtures" / "demo" / "repair.json").value());
    repair["film"]["picture"] = {{"file", "film.png"}, {"markers", markers}};
    ASSERT_FALSE(vision::WriteFileWhole(folder_.path() / "repair.json", repair.dump(1)));
    cv::Mat3b film(60, 400, cv::Vec3b(0, 0, 255));
    film.colRange(200, 400).setTo(cv::Vec3b(255, 0, 0));
    ASSERT_TRUE(cv::imwrite((folder_.path() / "film.png").string(), film));
  }
  void Open(MainWindow& window) {
    window.show();
    QSignalSpy opened(&window.desk(), &Desk::opened_joint);
    window.OpenPath(QString::fromStdString(joint_.string()));
    ASSERT_TRUE(opened.wait(20000));
  }
  /// Colour of the page in the middle of the film's band, under theta.
  static QColor At(MainWindow& window, double theta_deg) {
    const auto& layout = window.page().layout_of_page();
    const auto spot = layout.SpotOf(theta_deg, 0);
    const QImage page = window.page().grab().toImage();
    for (int line = 0; spot && line < layout.lines(); ++line) {
      const Rect strip = layout.StripRect(line);
      if (!strip.Contains(*spot)) continue;
      const double y = strip.y + strip.height + layout.shape().below_px - kFilm / 2.0 - 2;
      return page.pixelColor(static_cast<int>(spot->x), static_cast<int>(y));
    }
    return {};
  }
  static bool Red(const QColor& c) { return c.red() > 200 && c.blue() < 80; }
  static bool Blue(const QColor& c) { return c.blue() > 200 && c.red() < 80; }

  viewer_test::TemporaryFolder folder_;
  fs::path joint_;
};

/// Number 2 lies at 68.1 degrees, number 3 at 102.2: half-way, at x = 200, is 85.1.
TEST_F(FilmBesideTest, LiesWhereItsNumbersPinIt) {
  Prepare({{{"number", 2}, {"x_px", 0}}, {{"number", 3}, {"x_px", 400}}});
  MainWindow window;
  Open(window);
  ASSERT_TRUE(window.desk().opened().film);
  EXPECT_TRUE(Red(At(window, 72)));
  EXPECT_TRUE(Red(At(window, 83.5)));
  EXPECT_TRUE(Blue(At(window, 86.5)));
  EXPECT_TRUE(Blue(At(window, 100)));
  for (const double outside : {64.0, 106.0, 250.0}) {
    EXPECT_FALSE(Red(At(window, outside))) << outside;
    EXPECT_FALSE(Blue(At(window, outside))) << outside;
  }
  const int below = window.page().layout_of_page().shape().below_px;
  window.findChild<QAction*>("layer_film")->trigger();
  EXPECT_EQ(window.page().layout_of_page().shape().below_px, below - kFilm);
}

/// Numbers that fall from left to right: its left lies at the higher angle.
TEST_F(FilmBesideTest, ReadFromTheOtherFaceItIsTurned) {
  Prepare({{{"number", 3}, {"x_px", 0}}, {{"number", 2}, {"x_px", 400}}});
  MainWindow window;
  Open(window);
  EXPECT_TRUE(Blue(At(window, 72)));
  EXPECT_TRUE(Red(At(window, 100)));
}

TEST_F(FilmBesideTest, APictureThatIsMissingOrWronglyPinnedIsSaidAndTheJointOpens) {
  Prepare({{{"number", 2}, {"x_px", 0}}, {{"number", 3}, {"x_px", 400}}});
  fs::remove(folder_.path() / "film.png");
  MainWindow window;
  Open(window);
  EXPECT_FALSE(window.desk().opened().film);
  EXPECT_TRUE(window.desk().opened().belt);
  ASSERT_EQ(window.desk().opened().remarks.size(), 1u);
  EXPECT_THAT(window.desk().opened().remarks[0], HasSubstr("film.png, is not a picture"));
  Prepare({{{"number", 2}, {"x_px", 0}}, {{"number", 30}, {"x_px", 400}}});
  MainWindow again;
  Open(again);
  ASSERT_EQ(again.desk().opened().remarks.size(), 1u);
  EXPECT_THAT(again.desk().opened().remarks[0], HasSubstr("number 30 is not on the belt"));
}

}  // namespace
}  // namespace app::viewer
