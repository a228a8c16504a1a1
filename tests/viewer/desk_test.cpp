#include "app/viewer/desk.h"

#include <gmock/gmock.h>

#include <QAbstractItemModelTester>
#include <QComboBox>
#include <QDialogButtonBox>
#include <QLineEdit>
#include <QSignalSpy>
#include <QTest>
#include <fstream>
#include <nlohmann/json.hpp>

#include "app/viewer/commands.h"
#include "app/viewer/list_model.h"
#include "app/viewer/new_joint_sheet.h"
#include "tests/viewer/support.h"
#include "vision/base/file.h"

namespace app::viewer {
namespace {

using testing::HasSubstr;

class OpenDesk : public testing::Test {
 protected:
  void SetUp() override {
    joint_ = viewer_test::WriteMadeUpJoint(folder_.path());
    Open(desk_);
  }
  void Open(Desk& desk) {
    QSignalSpy opened(&desk, &Desk::opened_joint);
    desk.Open(joint_);
    ASSERT_TRUE(opened.wait(10000));
  }
  static notes::Note Point(double theta, double z, const char* kind) {
    notes::Note note;
    note.shape = notes::Shape::kPoint, note.kind = kind, note.points = {{theta, z}};
    return note;
  }
  viewer_test::TemporaryFolder folder_;
  std::filesystem::path joint_;
  Desk desk_;
};

TEST_F(OpenDesk, FindsTheMeasuredFolderBesideTheJointFile) {
  EXPECT_EQ(desk_.opened().folder, folder_.path() / "measured");
  EXPECT_EQ(desk_.opened().strip.cols, 2400);
  EXPECT_EQ(desk_.verdict().exit_code, 1);  // an edge visible, and the criterion wants complete fusion
}

TEST_F(OpenDesk, EveryCommandIsUndoneAndDoneAgain) {
  ASSERT_FALSE(AddNote(desk_, Point(40, 1, "surface_pore")));
  ASSERT_FALSE(Rule(desk_, notes::FingerprintOf(desk_.opened().reading.unfused[0]), true, "seen abeam"));
  ASSERT_FALSE(viewer_test::SetToe(desk_, {{350, -3}, {10, -3.5}}));
  auto changed = desk_.notes().notes[0];
  changed.status = notes::Status::kAccepted;
  ASSERT_FALSE(ReplaceNote(desk_, changed));
  EXPECT_NEAR(desk_.edited().profile.width_mm[0], 5.75, 1e-9);  // toe at -3.25 half way, other at 2.5
  ASSERT_EQ(desk_.known().runs.size(), 1u);                     // overruled, and still there
  EXPECT_TRUE(desk_.known().runs[0].overruled());
  EXPECT_EQ(desk_.edited().indications.size(), 1u);
  const auto last = desk_.notes();
  for (int i = 0; i < 4; ++i) desk_.undo().undo();
  EXPECT_TRUE(desk_.notes().notes.empty() && desk_.notes().rulings.empty() && desk_.notes().toes.empty());
  EXPECT_NEAR(desk_.edited().profile.width_mm[0], 5, 1e-9);
  EXPECT_EQ(desk_.edited().unfused.size(), 1u);
  for (int i = 0; i < 4; ++i) desk_.undo().redo();
  EXPECT_TRUE(desk_.notes() == last);
}

TEST_F(OpenDesk, OverrulingNeedsAReasonAndChangesTheVerdictNotTheMeasurement) {
  const std::string about = notes::FingerprintOf(desk_.opened().reading.unfused[0]);
  const auto refused = Rule(desk_, about, true, "");
  ASSERT_TRUE(refused);
  EXPECT_EQ(desk_.undo().count(), 0);
  ASSERT_FALSE(Rule(desk_, about, true, "seen abeam"));
  EXPECT_NE(desk_.verdict().exit_code, 1);
  EXPECT_EQ(desk_.opened().reading.unfused.size(), 1u);
}

TEST_F(OpenDesk, AToeDrawnBackwardsIsTheSameToe) {
  ASSERT_FALSE(viewer_test::SetToe(desk_, {{10, 3.5}, {0, 3.2}, {350, 3}}));
  ASSERT_EQ(desk_.notes().toes.size(), 1u);
  EXPECT_EQ(desk_.notes().toes[0].side, "right");
  EXPECT_DOUBLE_EQ(desk_.notes().toes[0].points[0].theta_deg, 350);
  EXPECT_TRUE(viewer_test::SetToe(desk_, {{10, 3}, {20, 3}, {15, 3}}));  // turns back: refused
  EXPECT_TRUE(viewer_test::SetToe(desk_, {{10, 3}}));
}

TEST_F(OpenDesk, WhatWasNotSavedComesBack) {
  ASSERT_FALSE(AddNote(desk_, Point(40, 1, "surface_pore")));
  EXPECT_FALSE(desk_.saved());
  Desk again;
  QSignalSpy remarked(&again, &Desk::remarked);
  Open(again);
  EXPECT_TRUE(again.notes() == desk_.notes());
  EXPECT_EQ(remarked.count(), 1);
  EXPECT_FALSE(again.saved());
  again.SaveNotes();
  EXPECT_TRUE(again.saved());
  Desk third;
  Open(third);
  EXPECT_EQ(third.notes().notes.size(), 1u);
  EXPECT_TRUE(third.saved());
}

TEST_F(OpenDesk, MarkedPlacesComeFirstInTheList) {
  ListModel model(desk_);
  QAbstractItemModelTester tester(&model, QAbstractItemModelTester::FailureReportingMode::Warning);
  ASSERT_FALSE(AddNote(desk_, Point(40, 1, "surface_pore")));
  ASSERT_FALSE(AddNote(desk_, Point(300, 0, "tack")));
  ASSERT_GE(model.rowCount(), 4);
  const auto text = [&](int row) { return model.index(row).data().toString().toStdString(); };
  EXPECT_THAT(text(0), HasSubstr("tack weld at 10:00"));                               // 300 degrees are ten o'clock
  EXPECT_THAT(text(1), HasSubstr("Original edge visible, spool 7-3 end side, 6:40"));  // 200 degrees
  EXPECT_THAT(text(2), HasSubstr("2017"));
  EXPECT_THAT(text(model.rowCount() - 1), HasSubstr("Not examined, elbow 7-4 end side"));
}

TEST_F(OpenDesk, AnotherCriterionJudgesAnew) {
  desk_.SetCriterion("API 1104 (annotated only)");
  QSignalSpy failed(&desk_, &Desk::failed);
  desk_.SetCriterion("no such set");
  EXPECT_EQ(failed.count(), 1);
  desk_.SetCriterion("ISO 5817-B (2023)");
  EXPECT_FALSE(desk_.ribbons().empty());
}

TEST(OpenWrong, SaysWhatToDoInOneSentence) {
  viewer_test::TemporaryFolder folder;
  const auto said = [&](const std::filesystem::path& path) {
    Desk desk;
    QSignalSpy failed(&desk, &Desk::failed);
    desk.Open(path);
    return failed.wait(5000) ? failed[0][0].toString().toStdString() : std::string("nothing");
  };
  EXPECT_THAT(said(folder.path() / "none"), HasSubstr("no file or folder"));
  EXPECT_THAT(said(folder.path()), HasSubstr("New joint"));
  std::ofstream(folder.path() / "film.txt") << "x";
  EXPECT_THAT(said(folder.path() / "film.txt"), HasSubstr("New joint"));
}

TEST(OpenBare, FramesAndVideosAskForTheirJointFile) {
  viewer_test::TemporaryFolder folder;
  for (const char* name : {"b.png", "a.JPG", "notes.txt"}) std::ofstream(folder.path() / name) << "x";
  const auto stills = Resolve(folder.path());
  ASSERT_TRUE(stills.ok());
  EXPECT_TRUE(stills.value().bare());
  ASSERT_EQ(stills.value().stills.size(), 2u);
  EXPECT_EQ(stills.value().stills[0].filename(), "a.JPG");
  std::ofstream(folder.path() / "film.avi") << "x";
  Desk desk;
  QSignalSpy asked(&desk, &Desk::noJointFile);
  desk.Open(folder.path() / "film.avi");
  ASSERT_TRUE(asked.wait(5000));
  EXPECT_EQ(asked[0][0].value<Request>().video->filename(), "film.avi");
}

TEST(OpenBare, AVideoOfTheJointBesideItOpensThatJointAndAnotherOneDoesNot) {
  viewer_test::TemporaryFolder folder;
  const auto joint = viewer_test::WriteMadeUpJoint(folder.path());  // names push.avi
  for (const char* name : {"push.avi", "other.avi"}) std::ofstream(folder.path() / name) << "x";
  const auto named = Resolve(folder.path() / "push.avi"), other = Resolve(folder.path() / "other.avi");
  ASSERT_TRUE(named.ok() && other.ok());
  EXPECT_EQ(std::filesystem::absolute(named.value().joint_file), joint);
  EXPECT_TRUE(other.value().bare());
}

/// The sheet writes nothing until a person has said what no file tells; then the joint file is one that loads.
TEST(NewJoint, IsWrittenFromAnswersAndNeverGuessed) {
  viewer_test::TemporaryFolder folder, elsewhere;
  std::ofstream(folder.path() / "film.avi") << "x";
  const auto demo = viewer_test::WriteMadeUpJoint(elsewhere.path());
  const auto cameras = nlohmann::json::parse(vision::ReadFileWhole(demo).value())["cameras"];
  const auto camera_file = elsewhere.path() / "camera.json";
  ASSERT_FALSE(vision::WriteFileWhole(camera_file, cameras[1].dump()));
  Request bare;
  bare.video = folder.path() / "film.avi";
  NewJointSheet sheet(bare);
  const auto fill = [&](const char* name, const QString& text) { sheet.findChild<QLineEdit*>(name)->setText(text); };
  const auto accept = [&] { QMetaObject::invokeMethod(sheet.findChild<QDialogButtonBox*>(), "accepted"); };
  const auto written = [&] { return std::filesystem::exists(folder.path() / "joint.json"); };
  fill("id", "ZZ-9"), fill("bore", "102.3"), fill("source", "bore gauge");
  accept();
  EXPECT_FALSE(written());  // no camera
  fill("camera", QString::fromStdString(demo.string()));
  sheet.findChild<QComboBox*>("criterion")->setCurrentIndex(1);
  sheet.findChild<QComboBox*>("looks")->setCurrentIndex(2);
  accept();
  EXPECT_FALSE(written());  // two cameras in that file: not said which
  fill("camera", QString::fromStdString(camera_file.string()));
  sheet.findChild<QComboBox*>("looks")->setCurrentIndex(0);
  accept();
  EXPECT_FALSE(written());  // not said which way it looked
  sheet.findChild<QComboBox*>("looks")->setCurrentIndex(2);
  accept();
  ASSERT_TRUE(written());
  const auto joint = joint::LoadJoint(folder.path() / "joint.json");
  ASSERT_TRUE(joint.ok()) << joint.error().message;
  EXPECT_EQ(joint.value().id, "ZZ-9");
  ASSERT_TRUE(joint.value().recordings[0].video);
  EXPECT_EQ(joint.value().recordings[0].video->filename(), "film.avi");
  EXPECT_EQ(joint.value().recordings[0].video_defaults.camera, cameras[1]["id"].get<std::string>());
  EXPECT_EQ(joint.value().recordings[0].video_defaults.looks, "-z");
}

TEST(OpenWrong, AReadingOfAnotherJointIsRefused) {
  viewer_test::TemporaryFolder folder;
  const auto joint = viewer_test::WriteMadeUpJoint(folder.path());
  std::string text = vision::ReadFileWhole(joint).value();
  text.replace(text.find("LX-114"), 6, "QQ-999");
  ASSERT_FALSE(vision::WriteFileWhole(joint, text));
  Desk desk;
  QSignalSpy failed(&desk, &Desk::failed);
  desk.Open(folder.path() / "measured");
  ASSERT_TRUE(failed.wait(5000));
  EXPECT_THAT(failed[0][0].toString().toStdString(), HasSubstr("LX-114"));
}

TEST(OpenUnmeasured, AsksToMeasureAndCancelWritesNothing) {
  viewer_test::TemporaryFolder folder;
  const std::filesystem::path demo = std::filesystem::path(ROOTSCROLL_SOURCE_DIR) / "fixtures" / "demo";
  for (const char* name : {"from_a.jpg", "from_b.jpg", "push.avi", "joint.json"})
    std::filesystem::copy(demo / name, folder.path() / name);
  Desk desk;
  QSignalSpy asked(&desk, &Desk::notMeasured), remarked(&desk, &Desk::remarked), ended(&desk.jobs(), &JobRunner::ended);
  desk.Open(folder.path() / "joint.json");
  ASSERT_TRUE(asked.wait(5000));
  desk.MeasureAndOpen({folder.path() / "joint.json", {}});
  QTest::qWait(150);
  desk.jobs().Cancel();
  ASSERT_TRUE(QTest::qWaitFor([&] { return !desk.jobs().busy(); }, 20000));
  QTest::qWait(10);
  EXPECT_EQ(remarked.count(), 1);
  EXPECT_FALSE(std::filesystem::exists(folder.path() / "joint-measured" / "reading.json"));
}

}  // namespace
}  // namespace app::viewer
