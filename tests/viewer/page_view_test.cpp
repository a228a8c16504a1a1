#include "app/viewer/page_view.h"

#include <gmock/gmock.h>

#include <QElapsedTimer>
#include <QSignalSpy>
#include <QTest>
#include <algorithm>
#include <cstdio>

#include "app/viewer/page_paint.h"
#include "tests/viewer/support.h"

namespace app::viewer {
namespace {

class Page : public testing::Test {
 protected:
  void Open(int columns, int rows) {
    QSignalSpy opened(&desk_, &Desk::opened_joint);
    desk_.Open(viewer_test::WriteMadeUpJoint(folder_.path(), columns, rows));
    ASSERT_TRUE(opened.wait(20000));
    page_.resize(1400, 620);
    page_.show();
    ASSERT_TRUE(QTest::qWaitForWindowExposed(&page_));
  }
  QPoint SpotAt(double theta, double z) {
    const auto spot = page_.layout_of_page().SpotOf(theta, z);
    EXPECT_TRUE(spot) << theta;
    return spot ? QPoint(static_cast<int>(std::lround(spot->x)), static_cast<int>(std::lround(spot->y))) : QPoint();
  }
  viewer_test::TemporaryFolder folder_;
  Desk desk_;
  PageView page_{desk_};
};

TEST_F(Page, AClickGoesToThePlaceUnderIt) {
  Open(2400, 300);
  QTest::mouseClick(&page_, Qt::LeftButton, {}, SpotAt(100, 4));
  EXPECT_NEAR(desk_.theta_deg(), 100, 0.5 * 360.0 / page_.layout_of_page().total_px() + 1e-9);
  EXPECT_NEAR(desk_.z_mm(), 4, 0.5 / page_.layout_of_page().px_per_mm() + 1e-9);
}

/// Against what is seen: the cross-hair stands where it was put, and everything else is what it was.
TEST_F(Page, MovingTheCrossHairPaintsNothingElseAnew) {
  Open(2400, 300);
  page_.layout_of_page().SetScale(10.0);
  desk_.GoTo(20, 0);
  const QImage here = page_.grab().toImage();
  const int before = page_.painted_still();
  desk_.GoTo(25, 0);
  const QImage there = page_.grab().toImage();
  EXPECT_EQ(page_.painted_still(), before);
  EXPECT_NE(here, there);
  desk_.GoTo(20, 0);
  EXPECT_EQ(page_.grab().toImage(), here);
  Light light;
  light.gain = 2;
  page_.SetLight(light);  // what changes the picture is seen at once
  EXPECT_NE(page_.grab().toImage(), here);
  page_.SetLight(Light());
  EXPECT_EQ(page_.grab().toImage(), here);
  QPalette other = page_.palette();
  other.setColor(QPalette::Base, Qt::red);
  page_.setPalette(other);
  EXPECT_EQ(page_.grab().toImage().pixelColor(2, page_.height() - 2), QColor(Qt::red));
}

TEST_F(Page, ShapesComeInThetaAndMillimetres) {
  Open(2400, 300);
  QSignalSpy drawn(&page_, &PageView::shapeDrawn);
  page_.SetTool(Tool::kBox);
  QTest::mouseClick(&page_, Qt::LeftButton, {}, SpotAt(50, -3));
  QTest::mouseClick(&page_, Qt::LeftButton, {}, SpotAt(60, 3));
  ASSERT_EQ(drawn.count(), 1);
  const auto points = drawn[0][1].value<std::vector<notes::Place>>();
  ASSERT_EQ(points.size(), 2u);
  EXPECT_NEAR(points[0].theta_deg, 50, 0.2);
  EXPECT_NEAR(points[1].theta_deg, 60, 0.2);
  EXPECT_NEAR(points[1].z_mm, 3, 0.2);
  EXPECT_EQ(page_.tool(), Tool::kLook);
}

TEST_F(Page, ABoxIsDraggedAndSeenWhileItIs) {
  Open(2400, 300);
  QSignalSpy drawn(&page_, &PageView::shapeDrawn);
  page_.SetTool(Tool::kBox);
  QTest::mousePress(&page_, Qt::LeftButton, {}, SpotAt(50, -3));
  const QImage begun = page_.grab().toImage();
  QTest::mouseMove(&page_, SpotAt(60, 3));
  const QImage stretched = page_.grab().toImage();
  EXPECT_EQ(drawn.count(), 0);
  const QPoint corner = SpotAt(60, -3);  // neither pressed nor pointed at: only the band reaches it
  int changed = 0;
  for (int x = -3; x <= 3; ++x)
    for (int y = -3; y <= 3; ++y)
      changed += begun.pixel(corner + QPoint(x, y)) != stretched.pixel(corner + QPoint(x, y));
  EXPECT_GT(changed, 10);
  QTest::mouseRelease(&page_, Qt::LeftButton, {}, SpotAt(60, 3));
  ASSERT_EQ(drawn.count(), 1);
  const auto points = drawn[0][1].value<std::vector<notes::Place>>();
  ASSERT_EQ(points.size(), 2u);
  EXPECT_NEAR(points[1].theta_deg, 60, 0.2);
  EXPECT_NEAR(points[1].z_mm, 3, 0.2);
}

TEST_F(Page, AToeIsDrawnWithTheKeyboardAlone) {
  Open(2400, 300);
  QSignalSpy drawn(&page_, &PageView::toeDrawn);
  desk_.GoTo(10, -2);
  page_.SetTool(Tool::kToe);
  for (const int key : {Qt::Key_Space, Qt::Key_Right, Qt::Key_Right, Qt::Key_Down, Qt::Key_Space, Qt::Key_Return})
    QTest::keyClick(&page_, static_cast<Qt::Key>(key), key == Qt::Key_Right ? Qt::ShiftModifier : Qt::NoModifier);
  ASSERT_EQ(drawn.count(), 1);
  const auto points = drawn[0][0].value<std::vector<notes::Place>>();
  ASSERT_EQ(points.size(), 2u);
  EXPECT_GT(points[1].theta_deg, points[0].theta_deg);
}

/// The picture must run on through theta 0 as it does anywhere else: with the strip turned by half a ring the same
/// pixels stand half a ring further.
TEST_F(Page, WrapsWithoutASeam) {
  Open(2400, 300);
  auto plain = page_.layers();
  plain.toes = plain.fusion = plain.indications = plain.not_examined = plain.notes = plain.ribbons = plain.rulers =
      false;
  page_.SetLayers(plain);
  page_.layout_of_page().SetScale(10.0);  // one px a cell
  desk_.GoTo(180, 20);                    // the cross-hair out of the way
  const auto line_at = [&](double theta) {
    page_.layout_of_page().Reveal(theta, 0, true);
    const auto rect = page_.layout_of_page().StripRect(0);
    return page_.grab(QRect(static_cast<int>(rect.x), static_cast<int>(rect.y) + 40, static_cast<int>(rect.width), 60))
        .toImage();
  };
  const QImage across = line_at(0);
  const auto& strip = desk_.opened().strip;
  const auto& layout = page_.layout_of_page();
  int wrong = 0;
  for (int x = 0; x < across.width(); x += 7)
    for (int y = 0; y < 60; y += 9) {
      // By hand: scale 1 px a cell, so pixel x shows column start + x (half a cell off), row top + 40 + y.
      const int column = (layout.start_px() + x) % strip.cols, row = layout.top_px() + 40 + y;
      const QColor shown = across.pixelColor(x, y);
      const int right = (column + 1) % strip.cols, below = std::min(row + 1, strip.rows - 1);
      const auto cells = {strip(row, column)[1], strip(row, right)[1], strip(below, column)[1], strip(below, right)[1]};
      const double low = std::min(cells) - 2.0, high = std::max(cells) + 2.0;
      wrong += shown.green() < low || shown.green() > high;
    }
  EXPECT_EQ(wrong, 0);
}

TEST_F(Page, LightNeverTouchesTheData) {
  Open(2400, 300);
  const cv::Mat before = desk_.opened().strip.clone();
  const QImage plain = page_.grab().toImage();
  page_.SetLight({2, 1.5, true});
  const QImage lit = page_.grab().toImage();
  EXPECT_NE(plain, lit);
  EXPECT_EQ(cv::norm(before, desk_.opened().strip, cv::NORM_INF), 0);
}

TEST_F(Page, EveryLayerShowsAndGoes) {
  Open(2400, 300);
  const QImage all = page_.grab().toImage();
  for (bool Layers::*layer : {&Layers::toes, &Layers::fusion, &Layers::indications, &Layers::not_examined,
                              &Layers::ribbons, &Layers::rulers}) {
    Layers layers;
    layers.*layer = false;
    page_.SetLayers(layers);
    EXPECT_NE(page_.grab().toImage(), all);
  }
  page_.SetLayers({});
  EXPECT_EQ(page_.grab().toImage(), all);
}

TEST_F(Page, PansTheLargeStripSmoothly) {
  Open(10000, 600);  // a 12-inch ring at 0.1 mm
  page_.layout_of_page().SetScale(10);
  page_.repaint();
  std::vector<double> times;
  for (int i = 0; i < 240; ++i) {
    QElapsedTimer timer;
    timer.start();
    page_.PanBy(i < 120 ? -23 : 31, i % 40 < 20 ? 1 : -1);
    page_.repaint();
    times.push_back(static_cast<double>(timer.nsecsElapsed()) / 1e6);
  }
  std::sort(times.begin(), times.end());
  std::printf("figure: pan_median_ms %.2f\nfigure: pan_p95_ms %.2f\nfigure: pan_worst_ms %.2f\n", times[120],
              times[228], times.back());
  EXPECT_LT(times[228], 100);  // the floor of 16.7 ms is held by scripts/prove window, on a machine at rest
}

TEST(FillMark, PatternsDifferWithoutColour) {
  std::vector<QImage> pictures;
  for (auto means : {marks::Means::kFused, marks::Means::kUnfused, marks::Means::kNotVisible}) {
    QImage image(60, 12, QImage::Format_RGB32);
    QPainter painter(&image);
    FillMark(painter, QRectF(0, 0, 60, 12), means);
    painter.end();
    pictures.push_back(image.convertToFormat(QImage::Format_Grayscale8));
  }
  const auto spread = [](const QImage& image) {
    int low = 255, high = 0;
    for (int x = 0; x < 60; ++x)
      for (int y = 1; y < 11; ++y)
        low = std::min(low, qGray(image.pixel(x, y))), high = std::max(high, qGray(image.pixel(x, y)));
    return high - low;
  };
  EXPECT_EQ(spread(pictures[0]), 0);   // plain
  EXPECT_GT(spread(pictures[1]), 60);  // stripes
  EXPECT_GT(spread(pictures[2]), 60);  // dots
}

}  // namespace
}  // namespace app::viewer
