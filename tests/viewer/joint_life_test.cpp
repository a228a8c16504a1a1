// A joint over its life in the window: fit-up and root kept apart and told against each other, stations of the belt
// outside, a joint book's entry, notes of two people.
#include <gmock/gmock.h>

#include <QAction>
#include <QComboBox>
#include <QDialogButtonBox>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QSignalSpy>
#include <QStatusBar>
#include <QTableWidget>
#include <QTest>
#include <nlohmann/json.hpp>

#include "app/book/batch.h"
#include "app/book/digest.h"
#include "app/book/intake.h"
#include "app/compare/consumption.h"
#include "app/joint/add_recording.h"
#include "app/viewer/add_recording_sheet.h"
#include "app/viewer/book_sheet.h"
#include "app/viewer/commands.h"
#include "app/viewer/main_window.h"
#include "tests/viewer/support.h"
#include "vision/base/file.h"

namespace app::viewer {
namespace {

using testing::HasSubstr;
namespace fs = std::filesystem;

const fs::path kDemo = fs::path(ROOTSCROLL_SOURCE_DIR) / "fixtures" / "demo";

std::string Text(const fs::path& file) { return vision::ReadFileWhole(file).value(); }

class JointLife : public testing::Test {
 protected:
  void Open(MainWindow& window, const fs::path& path) {
    window.show();
    QSignalSpy opened(&window.desk(), &Desk::opened_joint);
    window.OpenPath(QString::fromStdString(path.string()));
    ASSERT_TRUE(opened.wait(20000));
  }
  viewer_test::TemporaryFolder folder_;
};

/// By hand: the belt of the demo's repair file is 528.6 mm round, a number each 50 mm clockwise from 12 looking along
/// +z. Number 3 lies at 150 / 528.6 * 360 = 102.157 degrees; 90 degrees are 132.15 mm: number 2 and 32.15 mm on.
TEST_F(JointLife, StationsOfTheBeltStandWhereTheyAreOutside) {
  const repair::Belt belt{repair::View::kAlongPlusZ, 0, repair::Turn::kClockwise, 50, 528.6};
  const auto stations = StationsOf(belt);
  ASSERT_EQ(stations.size(), 11u);  // 0 to 10
  EXPECT_NEAR(stations[3].theta_deg, 102.157, 0.001);
  // Half-way marks: 25 / 528.6 * 360 = 17.026 degrees after each number, but none in the last 28.6 mm.
  const auto halves = StationsOf(belt, 25);
  ASSERT_EQ(halves.size(), 21u);
  EXPECT_EQ(halves[1].number, 0);
  EXPECT_DOUBLE_EQ(halves[1].beyond_mm, 25);
  EXPECT_NEAR(halves[1].theta_deg, 17.026, 0.001);
  const auto at = StationAt(belt, 90);
  EXPECT_EQ(at.number, 2);
  EXPECT_NEAR(at.beyond_mm, 32.15, 0.001);
  // Against +z and anticlockwise from 3 o'clock: two turns undo each other but for the zero, which lies at 270.
  const repair::Belt other{repair::View::kAgainstPlusZ, 90, repair::Turn::kAnticlockwise, 50, 528.6};
  EXPECT_NEAR(StationsOf(other)[0].theta_deg, 270, 1e-9);
  EXPECT_NEAR(StationsOf(other)[3].theta_deg, 270 + 102.157 - 360, 0.001);
  // In the window, from the repair file beside the joint file.
  const auto joint = viewer_test::WriteMadeUpJoint(folder_.path());
  MainWindow window;
  Open(window, joint);
  auto* ruler = window.findChild<QAction*>("ruler_stations");
  const QImage clock = window.page().grab().toImage();
  ruler->trigger();
  EXPECT_EQ(window.page().grab().toImage(), clock);  // no belt: the ruler stays, and it is said why
  EXPECT_THAT(window.statusBar()->currentMessage().toStdString(), HasSubstr("No belt is known"));
  for (const char* name : {"repair.json", "film.jpg"}) fs::copy(kDemo / name, folder_.path() / name);
  Open(window, joint);
  ASSERT_TRUE(window.desk().opened().belt);
  ruler->trigger();
  EXPECT_NE(window.page().grab().toImage(), clock);
  window.desk().GoTo(91, 0);  // 91 / 360 * 528.6 - 100 mm
  EXPECT_THAT(window.findChild<QLabel*>("read_out")->text().toStdString(), HasSubstr("belt 2 + 33.6 mm"));
}

TEST_F(JointLife, ARecordingIsAddedAndStagesAreNeverMeasuredTogether) {
  for (const char* name : {"from_a.jpg", "from_b.jpg", "push.avi", "joint.json"})
    fs::copy(kDemo / name, folder_.path() / name);
  fs::copy(kDemo / "from_a.jpg", folder_.path() / "before.jpg");
  const auto before = Text(folder_.path() / "joint.json");
  const auto joint = joint::LoadJoint(folder_.path() / "joint.json");
  ASSERT_TRUE(joint.ok());
  AddRecordingSheet sheet(joint.value());
  auto* wrong = sheet.findChild<QLabel*>("add_wrong");
  const auto press = [&] { sheet.findChild<QDialogButtonBox*>()->button(QDialogButtonBox::Ok)->click(); };
  EXPECT_EQ(sheet.findChild<QLineEdit*>("add_id")->text(), "fit-up");  // suggested by the stage
  press();
  EXPECT_THAT(wrong->text().toStdString(), HasSubstr("stills or one video"));
  sheet.findChild<QLineEdit*>("add_files")->setText(QString::fromStdString((folder_.path() / "before.jpg").string()));
  press();
  EXPECT_THAT(wrong->text().toStdString(), HasSubstr("way the camera looked"));
  sheet.findChild<QComboBox*>("add_looks")->setCurrentIndex(1);
  sheet.findChild<QLineEdit*>("add_id")->setText("root");
  press();
  EXPECT_THAT(wrong->text().toStdString(), HasSubstr("has a recording root already"));
  EXPECT_EQ(Text(folder_.path() / "joint.json"), before);
  sheet.findChild<QLineEdit*>("add_id")->setText("fit-up");
  sheet.findChild<QLineEdit*>("add_up")->setText("180.9546");
  press();
  EXPECT_EQ(sheet.result(), QDialog::Accepted);
  const auto after = joint::LoadJoint(folder_.path() / "joint.json");
  ASSERT_TRUE(after.ok()) << after.error().message;
  ASSERT_EQ(after.value().recordings.size(), 3u);
  EXPECT_EQ(after.value().recordings[2].frames[0].file, folder_.path() / "before.jpg");
  auto json = nlohmann::json::parse(Text(folder_.path() / "joint.json"));
  EXPECT_EQ(json["recordings"][2]["frames"][0]["file"], "before.jpg");
  json["recordings"].erase(2);
  EXPECT_EQ(json, nlohmann::json::parse(before));  // nothing else changed
  // Its stage alone is measured, into a folder of its own.
  EXPECT_EQ(MeasuredFolderOf(after.value(), "fit-up"), folder_.path() / "joint-fit-up-measured");
  const auto failed = MeasureInto(after.value(), folder_.path() / "m", {}, "fit-up");
  ASSERT_FALSE(failed) << failed->message;
  const auto reading = vision::reading::FromJson(Text(folder_.path() / "m" / "reading.json"), "reading.json");
  ASSERT_TRUE(reading.ok());
  EXPECT_EQ(reading.value().stage, "fit-up");
  EXPECT_EQ(reading.value().recordings, std::vector<std::string>{"fit-up"});
}

/// Edge a visible all round at fit-up; after the root it is gone on 200 to 260 (turned by 10 degrees), still there on
/// 260 to 290, not seen on 290 to 300.
TEST_F(JointLife, TheInsertsConsumptionIsToldAgainstTheFitUp) {
  using vision::reading::Fusion;
  auto before = viewer_test::MadeUpReading(2400, 300), after = before;
  before.stage = "Fit-up";
  for (std::size_t i = 0; i < 720; ++i) {
    before.profile.fusion_left[i] = i >= 400 && i < 600 ? Fusion::kUnfused : Fusion::kNotVisible;
    before.profile.fusion_right[i] = Fusion::kNotVisible;
    after.profile.fusion_left[i] = i < 540 ? Fusion::kFused : i < 600 ? Fusion::kUnfused : Fusion::kNotVisible;
  }
  vision::match::RingMatch match;
  match.radius_mm = before.bore_radius_mm, match.roll_deg = 10;
  const auto told = compare::ConsumptionOf(before, after, match);
  ASSERT_TRUE(told);
  EXPECT_NEAR(told->left.seen_before_deg, 100, 1e-9);
  EXPECT_NEAR(told->left.gone_deg, 60, 0.6);
  EXPECT_NEAR(told->left.still_visible_deg, 30, 0.6);
  EXPECT_NEAR(told->left.not_examined_deg, 10, 0.6);
  EXPECT_EQ(told->right.seen_before_deg, 0);
  EXPECT_FALSE(compare::ConsumptionOf(after, after, match));    // a root is no baseline
  EXPECT_FALSE(compare::ConsumptionOf(before, before, match));  // nor does a fit-up consume anything
  EXPECT_TRUE(compare::IsFitUp("fit up") && compare::IsFitUp("before welding") && !compare::IsFitUp("root"));
}

TEST_F(JointLife, ComparingTellsConsumptionAndShowsBothPeoplesNotes) {
  const auto joint = viewer_test::WriteMeasuredDemo(folder_.path());
  // The same look, once called fit-up.
  const fs::path other = folder_.path() / "later";
  fs::create_directories(other);
  for (const char* name : {"from_a.jpg", "from_b.jpg", "push.avi", "joint.json"}) fs::copy(kDemo / name, other / name);
  fs::copy(folder_.path() / "measured", other / "measured", fs::copy_options::recursive);
  auto reading = nlohmann::json::parse(Text(folder_.path() / "measured" / "reading.json"));
  reading["stage"] = "fit-up";
  ASSERT_FALSE(vision::WriteFileWhole(folder_.path() / "measured" / "reading.json", reading.dump()));
  notes::Notes theirs;
  theirs.joint_id = "LX-114";
  notes::Note note;
  note.id = 1, note.shape = notes::Shape::kPoint, note.kind = "surface_pore", note.points = {{123, 3}};
  note.by = {"B. Example", "2026-05-01T10:00:00Z"};
  theirs.notes = {note};
  ASSERT_FALSE(notes::Keeper(other / "joint.json").Save(theirs));
  MainWindow window;
  Open(window, joint);
  QSignalSpy ready(&window.comparison(), &Comparison::ready);
  window.CompareWith(QString::fromStdString(other.string()));
  ASSERT_TRUE(ready.wait(60000));
  const auto& laid = window.comparison().other_notes().notes;
  ASSERT_EQ(laid.size(), 1u);
  EXPECT_NEAR(laid[0].points[0].theta_deg, 123, 0.2);
  EXPECT_NEAR(laid[0].points[0].z_mm, 3, 0.2);
  window.comparison().Nudge(2, 0);  // the later strip lies 2 degrees on: its notes move back with it
  ASSERT_TRUE(ready.wait(20000));
  EXPECT_NEAR(window.comparison().other_notes().notes[0].points[0].theta_deg, 121, 0.2);
  const auto said = window.comparison().Sentence().toStdString();
  EXPECT_THAT(said, HasSubstr("insert edge, spool 7-3 end side: seen at fit-up on "));
  EXPECT_THAT(said, HasSubstr("brightness only"));
  // No heights: the layer is refused, with a sentence.
  window.findChild<QAction*>("compare_heights")->trigger();
  EXPECT_NE(window.page().against(), Against::kHeights);
  EXPECT_THAT(window.statusBar()->currentMessage().toStdString(), HasSubstr("brightness only"));
}

TEST_F(JointLife, AnEntryOfAJointBookOpensAsItLiesOnTheRecord) {
  for (const char* name : {"from_a.jpg", "from_b.jpg", "push.avi", "joint.json"})
    fs::copy(kDemo / name, folder_.path() / name);
  const std::string address = (folder_.path() / "joints.book").string();
  {
    auto book = book::Book::Create(address);
    ASSERT_TRUE(book.ok());
    book::Record record;
    const auto taken = book::TakeIn(
        *book.value(), {folder_.path() / "joint.json", {"root"}, "R0", "W-1", "2026-03-01", false, "", ""}, record);
    ASSERT_FALSE(taken) << taken->message;
    notes::Notes written;
    written.joint_id = "LX-114";
    written.notes.push_back({});
    written.notes[0].id = 1, written.notes[0].kind = "surface_pore", written.notes[0].points = {{200, -1}};
    const auto kept = book.value()->evidence().Keep(notes::ToJson(written), "joint.notes.json");
    ASSERT_TRUE(kept.ok());
    record.cycles.front().notes.push_back(kept.value());
    const auto saved = book.value()->Save({record, 0, "A. Example", "intake", {}});
    ASSERT_TRUE(saved.ok() && saved.value().saved);
    const auto report = book::RunWorker(*book.value(), "w", book::MeasureAndJudge({}));
    ASSERT_TRUE(report.ok()) << report.error().message;
  }
  const auto bytes = book::Sha256(Text(address));
  BookSheet sheet;
  QSignalSpy listed(&sheet, &BookSheet::listed);
  sheet.List("/nowhere/joints.book");
  ASSERT_TRUE(listed.wait(10000));
  EXPECT_FALSE(sheet.entry());
  EXPECT_THAT(sheet.findChild<QLabel*>("book_said")->text().toStdString(), HasSubstr("/nowhere/joints.book"));
  sheet.List(QString::fromStdString(address));
  ASSERT_TRUE(listed.wait(10000));
  EXPECT_EQ(sheet.findChild<QTableWidget*>("book_joints")->item(0, 0)->text(), "LX-114");
  ASSERT_TRUE(sheet.entry());
  EXPECT_THAT(sheet.findChild<QLabel*>("book_said")->text().toStdString(), HasSubstr("never replaces"));
  {
    MainWindow window;
    window.show();
    QSignalSpy opened(&window.desk(), &Desk::opened_joint);
    window.desk().OpenFromBook(*sheet.entry());
    ASSERT_TRUE(opened.wait(20000));
    EXPECT_EQ(window.desk().opened().joint.id, "LX-114");
    EXPECT_FALSE(window.desk().opened().strip.empty());
    EXPECT_THAT(window.findChild<QLabel*>("view")->text().toStdString(),
                HasSubstr("from the joint book: R0 of LX-114, revision 2 of joints.book"));
    window.desk().GoTo(120, 1);
    ASSERT_TRUE(window.lens().marked());  // its frames are at hand as well
    const auto file = FileOfFrame(window.desk().opened(), window.lens().marked()->frame);
    ASSERT_TRUE(file.ok());
    EXPECT_TRUE(LoadFrame(file.value()).ok());
    notes::Note note;
    ASSERT_EQ(window.desk().notes().notes.size(), 1u);  // what people wrote on the record comes along
    EXPECT_EQ(window.desk().notes().notes[0].points.at(0).theta_deg, 200);
    note.shape = notes::Shape::kPoint, note.kind = "surface_pore", note.points = {{40, 1}};
    ASSERT_FALSE(AddNote(window.desk(), note));
    window.desk().SaveNotes();
    EXPECT_THAT(window.statusBar()->currentMessage().toStdString(), HasSubstr("puts them on the record"));
  }
  MainWindow again;
  again.show();
  QSignalSpy opened(&again.desk(), &Desk::opened_joint);
  again.desk().OpenFromBook(*sheet.entry());
  ASSERT_TRUE(opened.wait(20000));
  EXPECT_EQ(again.desk().notes().notes.size(), 2u);  // what was written is found again
  EXPECT_EQ(book::Sha256(Text(address)), bytes);     // and the book is as it was
  QSignalSpy failed(&again.desk(), &Desk::failed);
  again.desk().OpenFromBook({address, "LX-999", ""});
  ASSERT_TRUE(failed.wait(10000));
  EXPECT_THAT(failed[0][0].toString().toStdString(), HasSubstr("LX-999"));
}

}  // namespace
}  // namespace app::viewer
