// A camera without a board: rings clicked in pictures. Their places are OpenCV's (cv::fisheye::projectPoints).
#include <gmock/gmock.h>

#include <QImage>
#include <QLabel>
#include <QLineEdit>
#include <QListWidget>
#include <QPushButton>
#include <QRadioButton>
#include <QSignalSpy>
#include <QTest>
#include <cmath>
#include <nlohmann/json.hpp>
#include <opencv2/calib3d.hpp>

#include "app/viewer/camera_sheet.h"
#include "app/viewer/marks_sheet.h"
#include "tests/viewer/support.h"
#include "vision/base/file.h"

namespace app::viewer {
namespace {

using testing::HasSubstr;
constexpr double kF_px = 260, kRadius_mm = 77, kApart_mm = 40;
const QSize kSize(960, 720);

/// The points of a ring as the camera shows them from `away_mm` before it, a little off the axis.
std::vector<QPointF> Ring(double away_mm, double turn) {
  std::vector<cv::Point3d> ring;
  for (int i = 0; i < 12; ++i) {
    const double theta = 2 * M_PI * (i + turn) / 12;
    ring.emplace_back(kRadius_mm * std::cos(theta) - 5, kRadius_mm * std::sin(theta) + 3, away_mm);
  }
  std::vector<cv::Point2d> shown;
  cv::fisheye::projectPoints(ring, shown, cv::Vec3d(0.03, -0.05, 0), cv::Vec3d(),
                             cv::Matx33d(kF_px, 0, 480, 0, kF_px, 359, 0, 0, 1), cv::Vec4d());
  std::vector<QPointF> points;
  for (const auto& point : shown) points.emplace_back(point.x, point.y);
  return points;
}

/// Clicks a point of the picture, which is shown as large as the widget allows.
void Click(MarkPicture& picture, const QPointF& point, Qt::MouseButton button = Qt::LeftButton) {
  const QSizeF size = QSizeF(kSize).scaled(QSizeF(picture.size()), Qt::KeepAspectRatio);
  const QPointF corner((picture.width() - size.width()) / 2, (picture.height() - size.height()) / 2);
  QTest::mouseClick(&picture, button, {}, (corner + point * (size.width() / kSize.width())).toPoint());
}

TEST(NoBoard, RingsClickedInPicturesBecomeACameraThatTellsItsUncertainty) {
  viewer_test::TemporaryFolder folder;
  MarksSheet sheet(folder.path() / "library");
  sheet.resize(1300, 860);
  sheet.show();
  const double away_mm[] = {45, 65, 90, 125};
  for (int i = 0; i < 4; ++i) {
    QImage picture(kSize, QImage::Format_RGB32);
    picture.fill(Qt::gray);
    const QString file = QString::fromStdString((folder.path() / ("along_" + std::to_string(i) + ".png")).string());
    ASSERT_TRUE(picture.save(file));
    sheet.AddFiles({file});
  }
  for (const auto& [name, text] :
       {std::pair{"mark_bore", "154"}, {"mark_bore_u", "0.1"}, {"mark_apart", "40"}, {"mark_apart_u", "0,1"}})
    sheet.findChild<QLineEdit*>(name)->setText(text);
  auto* picture = sheet.findChild<MarkPicture*>();
  auto* list = sheet.findChild<QListWidget*>("mark_pictures");
  for (int i = 0; i < 4; ++i) {
    list->setCurrentRow(i);
    sheet.findChild<QRadioButton*>("mark_nearer")->click();
    for (const QPointF& point : Ring(away_mm[i], 0.2)) Click(*picture, point);
    sheet.findChild<QRadioButton*>("mark_farther")->click();
    for (const QPointF& point : Ring(away_mm[i] + kApart_mm, 0.6)) Click(*picture, point);
    Click(*picture, {480, 359});                   // a slip,
    Click(*picture, {482, 357}, Qt::RightButton);  // taken away again
    EXPECT_EQ(picture->points()[0].size(), 12u);
    EXPECT_EQ(picture->points()[1].size(), 12u);
  }
  QSignalSpy done(&sheet, &MarksSheet::calibrated), refused(&sheet, &MarksSheet::refused);
  QTest::mouseClick(sheet.findChild<QPushButton*>("marks_calibrate"), Qt::LeftButton);
  ASSERT_TRUE(done.wait(60000)) << sheet.findChild<QLabel*>("marks_said")->text().toStdString();
  const auto& report = *sheet.report();
  for (double angle_deg = report.seen_from_deg; angle_deg < report.lens.max_angle_deg; angle_deg += 2) {
    const auto ray = report.lens.Ray({report.lens.cx_px + kF_px * angle_deg * M_PI / 180, report.lens.cy_px});
    ASSERT_TRUE(ray);
    EXPECT_LT(std::abs(std::acos(ray->z()) * 180 / M_PI - angle_deg), 2 * report.sight_u_deg) << angle_deg;
  }
  sheet.findChild<QLineEdit*>("marks_id")->setText("head");
  QTest::mouseClick(sheet.findChild<QPushButton*>("marks_save"), Qt::LeftButton);
  ASSERT_FALSE(sheet.kept().empty()) << sheet.findChild<QLabel*>("marks_said")->text().toStdString();
  const auto kept = nlohmann::json::parse(vision::ReadFileWhole(sheet.kept()).value());
  EXPECT_NEAR(kept["calibration"]["sight_u_deg"].get<double>(), report.sight_u_deg, 0.001);
  EXPECT_THAT(kept["calibration"]["target"].get<std::string>(), HasSubstr("in a bore of 154 mm"));
}

TEST(NoBoard, WhatIsMissingIsSaid) {
  viewer_test::TemporaryFolder folder;
  MarksSheet sheet(folder.path());
  QSignalSpy refused(&sheet, &MarksSheet::refused);
  QTest::mouseClick(sheet.findChild<QPushButton*>("marks_calibrate"), Qt::LeftButton);
  ASSERT_EQ(refused.count(), 1);
  EXPECT_THAT(refused.front().front().toString().toStdString(), HasSubstr("Inside diameter"));
}

// Planted by hand: every corner as the lens shows it, but one pushed aside by (6, 0) px.
TEST(ErrorMap, ACornerOffItsPlaceIsDrawnThere) {
  BoardPictures pictures;
  pictures.width_px = 640, pictures.height_px = 480;
  vision::camera::CalibrationReport report;
  report.views.resize(1), pictures.views.resize(1);
  report.views[0].used = true;
  for (int y = 40; y < 480; y += 40)
    for (int x = 40; x < 640; x += 40) {
      pictures.views[0].corners_px.emplace_back(x, y);
      report.views[0].off_px.emplace_back(0, 0);
    }
  const auto coloured = [](const QImage& image) {
    std::vector<int> columns(static_cast<std::size_t>(image.width()));
    for (int x = 0; x < image.width(); ++x)
      for (int y = 0; y < image.height() - 24; ++y) {
        const QColor c = image.pixelColor(x, y);
        columns[static_cast<std::size_t>(x)] += c.blue() - c.red() > 40;
      }
    return columns;
  };
  const auto before = coloured(ErrorMapOf(pictures, report, 320));
  report.views[0].off_px[7] = {6, 0};  // the corner at (320, 40)
  const auto after = coloured(ErrorMapOf(pictures, report, 320));
  int drawn = 0, elsewhere = 0;
  for (std::size_t x = 0; x < after.size(); ++x) (x >= 158 && x <= 224 ? drawn : elsewhere) += after[x] - before[x];
  EXPECT_GT(drawn, 3);
  EXPECT_EQ(elsewhere, 0);
}

}  // namespace
}  // namespace app::viewer
