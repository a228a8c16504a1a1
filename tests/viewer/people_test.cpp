// What a person who has only pictures does in the window: board pictures to a camera in the library, facts of a joint
// in a form, the handbook beside it. No joint file is opened by hand.
#include <gmock/gmock.h>

#include <QComboBox>
#include <QDialogButtonBox>
#include <QDropEvent>
#include <QLabel>
#include <QLineEdit>
#include <QListWidget>
#include <QMimeData>
#include <QPushButton>
#include <QSignalSpy>
#include <QSpinBox>
#include <QTest>
#include <QTextBrowser>
#include <nlohmann/json.hpp>

#include "app/cameras/library.h"
#include "app/joint/joint.h"
#include "app/viewer/camera_sheet.h"
#include "app/viewer/facts_sheet.h"
#include "app/viewer/handbook_sheet.h"
#include "app/viewer/main_window.h"
#include "tests/viewer/support.h"
#include "vision/base/file.h"

namespace app::viewer {
namespace {

using testing::HasSubstr;
namespace fs = std::filesystem;
const fs::path kFixtures = fs::path(ROOTSCROLL_SOURCE_DIR) / "fixtures";

void Press(QDialog& sheet, QDialogButtonBox::StandardButton which) {
  QTest::mouseClick(sheet.findChild<QDialogButtonBox*>()->button(which), Qt::LeftButton);
}

/// Drops files as a person does with the mouse.
void Drop(QWidget& target, const std::vector<fs::path>& files) {
  QMimeData data;
  QList<QUrl> urls;
  for (const auto& file : files) urls << QUrl::fromLocalFile(QString::fromStdString(file.string()));
  data.setUrls(urls);
  QDragEnterEvent enter(QPoint(50, 50), Qt::CopyAction, &data, Qt::LeftButton, Qt::NoModifier);
  QApplication::sendEvent(&target, &enter);  // Qt gives a drop only to what the drag entered
  ASSERT_TRUE(enter.isAccepted());
  QDropEvent drop(QPointF(50, 50), Qt::CopyAction, &data, Qt::LeftButton, Qt::NoModifier);
  QApplication::sendEvent(&target, &drop);
}

class People : public testing::Test {
 protected:
  viewer_test::TemporaryFolder folder_;
};

// The pictures are by others, published with a calibration: fixtures/boards/fisheye_chessboard (7 x 5 squares).
TEST_F(People, BoardPicturesDroppedBecomeACameraInTheLibrary) {
  const fs::path library = folder_.path() / "cameras";
  CameraSheet sheet(library);
  sheet.show();
  sheet.findChild<QSpinBox*>("board_columns")->setValue(6);
  sheet.findChild<QSpinBox*>("board_rows")->setValue(4);
  sheet.findChild<QLineEdit*>("board_square")->setText("30");
  QSignalSpy done(&sheet, &CameraSheet::calibrated), refused(&sheet, &CameraSheet::refused);
  Drop(sheet, {kFixtures / "boards" / "fisheye_chessboard"});
  ASSERT_TRUE(QTest::qWaitFor([&] { return done.count() + refused.count() > 0; }, 120000));
  ASSERT_EQ(done.count(), 1) << sheet.findChild<QLabel*>("camera_said")->text().toStdString();
  EXPECT_LT(sheet.report()->rms_px, 1);
  EXPECT_GE(sheet.report()->ViewsUsed(), 8);
  auto* list = sheet.findChild<QListWidget*>("board_pictures");
  EXPECT_EQ(list->count(), 13) << "what is no picture is passed over";
  int used = 0;
  for (int i = 0; i < list->count(); ++i) used += list->item(i)->text().contains(" px off");
  EXPECT_EQ(used, sheet.report()->ViewsUsed());
  EXPECT_FALSE(sheet.findChild<QLabel*>("board_coverage")->pixmap().isNull());
  auto* save = sheet.findChild<QPushButton*>("camera_save");
  QTest::mouseClick(save, Qt::LeftButton);  // without a name
  EXPECT_TRUE(sheet.kept().empty());
  EXPECT_THAT(sheet.findChild<QLabel*>("camera_said")->text().toStdString(), HasSubstr("id is empty"));
  QTest::keyClicks(sheet.findChild<QLineEdit*>("camera_id"), "head");
  QTest::mouseClick(save, Qt::LeftButton);
  ASSERT_FALSE(sheet.kept().empty());
  const auto cameras = cameras::CamerasIn(library);
  ASSERT_EQ(cameras.size(), 1u);
  EXPECT_EQ(cameras[0].id, "head");
  EXPECT_EQ(cameras[0].width_px, 640);
}

TEST_F(People, CoverageIsHatchedWhereNoCornerWasSeen) {
  BoardPictures pictures;
  pictures.width_px = 160, pictures.height_px = 80;
  pictures.views.push_back({"one", {{5, 5}, {155, 75}}});
  const QImage map = CoverageOf(pictures, 320);
  EXPECT_GT(QColor(map.pixel(10, 10)).saturation(), 50);    // the first cell
  EXPECT_GT(QColor(map.pixel(310, 150)).saturation(), 50);  // the last one
  int coloured = 0;
  for (int x = 45; x < 300; ++x) coloured += QColor(map.pixel(x, 70)).saturation() > 50;
  EXPECT_EQ(coloured, 0);
}

TEST_F(People, FactsAreEditedInAFormAndWhatIsUnknownIsLeftOut) {
  for (const char* name : {"from_a.jpg", "from_b.jpg", "push.avi", "joint.json"})
    fs::copy(kFixtures / "demo" / name, folder_.path() / name);
  const fs::path file = folder_.path() / "joint.json";
  FactsSheet sheet(file);
  sheet.show();
  auto* heat = qobject_cast<QLineEdit*>(sheet.FieldOf("/joint/pieces/a/heat"));
  ASSERT_TRUE(heat);
  EXPECT_TRUE(heat->text().isEmpty());
  heat->setText("H-17");
  qobject_cast<QLineEdit*>(sheet.FieldOf("/joint/material"))->clear();
  auto* criterion = qobject_cast<QComboBox*>(sheet.FieldOf("/joint/criterion"));
  criterion->setCurrentIndex(criterion->findData("API 1104 (annotated)"));
  EXPECT_THAT(sheet.findChild<QLabel*>("facts_cover")->text().toStdString(), HasSubstr("Shown, not evaluated"));
  Press(sheet, QDialogButtonBox::Ok);
  ASSERT_EQ(sheet.result(), QDialog::Accepted) << sheet.findChild<QLabel*>("facts_wrong")->text().toStdString();
  const auto joint = joint::LoadJoint(file);
  ASSERT_TRUE(joint.ok());
  EXPECT_EQ(joint.value().a.heat, "H-17");
  EXPECT_TRUE(joint.value().material.empty());
  EXPECT_EQ(joint.value().criterion, "API 1104 (annotated)");
}

TEST_F(People, FactsThatCannotBeAreRefusedAndTheFileStays) {
  for (const char* name : {"from_a.jpg", "from_b.jpg", "push.avi", "joint.json"})
    fs::copy(kFixtures / "demo" / name, folder_.path() / name);
  const fs::path file = folder_.path() / "joint.json";
  const std::string before = vision::ReadFileWhole(file).value();
  FactsSheet sheet(file);
  sheet.show();
  qobject_cast<QLineEdit*>(sheet.FieldOf("/joint/pipe/inside_diameter_mm"))->setText("-3");
  Press(sheet, QDialogButtonBox::Ok);
  EXPECT_NE(sheet.result(), QDialog::Accepted);
  EXPECT_THAT(sheet.findChild<QLabel*>("facts_wrong")->text().toStdString(), HasSubstr("inside_diameter_mm"));
  EXPECT_EQ(vision::ReadFileWhole(file).value(), before);
}

// The demo's first camera looks +z with its middle at (639.5, 479.5); a datum at 3 o'clock of the picture: up is 270.
TEST_F(People, AClickOnTheDatumGivesThePicturesUp) {
  for (const char* name : {"from_a.jpg", "from_b.jpg", "push.avi"})
    fs::copy(kFixtures / "demo" / name, folder_.path() / name);
  auto json = nlohmann::json::parse(vision::ReadFileWhole(kFixtures / "demo" / "joint.json").value());
  auto& frames = json["recordings"][0]["frames"];
  while (frames.size() > 1) frames.erase(frames.size() - 1);
  frames[0]["looks"] = "+z";
  const fs::path file = folder_.path() / "joint.json";
  ASSERT_FALSE(vision::WriteFileWhole(file, json.dump()).has_value());
  FactsSheet sheet(file);
  sheet.SetUp(0, 900, 479.5);
  auto* up = qobject_cast<QLineEdit*>(sheet.FieldOf("/recordings/0/*/up_theta_deg"));
  ASSERT_TRUE(up);
  EXPECT_EQ(up->text(), "270.0");
}

TEST_F(People, TheHandbookIsSearchedAndShowsThePlace) {
  HandbookSheet sheet;
  sheet.show();
  auto* list = sheet.findChild<QListWidget*>("handbook_list");
  auto* text = sheet.findChild<QTextBrowser*>("handbook_text");
  EXPECT_EQ(list->count(), 14);
  EXPECT_THAT(text->toPlainText().toStdString(), HasSubstr("never replaces the qualified examiner"));
  QTest::keyClicks(sheet.findChild<QLineEdit*>("handbook_search"), "argon heavier");
  ASSERT_EQ(list->count(), 1);
  list->setCurrentRow(0);
  EXPECT_EQ(text->textCursor().selectedText().toLower(), "argon");
  sheet.Search("zzz");
  EXPECT_THAT(list->item(0)->text().toStdString(), HasSubstr("Nothing found"));
  sheet.ShowChapter("camera");
  EXPECT_THAT(text->toPlainText().toStdString(), HasSubstr("The board"));
}

TEST_F(People, F1OpensTheHandbookAtTheSheetsChapter) {
  MainWindow window;
  window.show();
  FactsSheet sheet(viewer_test::WriteMadeUpJoint(folder_.path()), &window);
  sheet.setModal(true);
  sheet.show();
  ASSERT_TRUE(QTest::qWaitFor([&] { return QApplication::activeModalWidget() == &sheet; }, 5000));
  QTest::keyClick(sheet.FieldOf("/joint/id"), Qt::Key_F1);
  auto* handbook = sheet.findChild<HandbookSheet*>();
  ASSERT_TRUE(handbook);
  EXPECT_THAT(handbook->findChild<QTextBrowser*>("handbook_text")->toPlainText().toStdString(),
              HasSubstr("Your first joint in five steps"));
}

}  // namespace
}  // namespace app::viewer
