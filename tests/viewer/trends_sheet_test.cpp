#include "app/viewer/trends_sheet.h"

#include <gmock/gmock.h>

#include <QLabel>
#include <QSignalSpy>
#include <QTest>

#include "app/book/digest.h"
#include "app/joint/verdict.h"
#include "app/viewer/main_window.h"
#include "tests/viewer/support.h"
#include "vision/base/file.h"

namespace app::viewer {
namespace {

using testing::AllOf;
using testing::HasSubstr;

class ABookOfThree : public testing::Test {
 protected:
  void SetUp() override {
    auto made = book::Book::Create(address_);
    ASSERT_TRUE(made.ok()) << made.error().message;
    Put(*made.value(), "LX-1", "W-12", 0, {});
    Put(*made.value(), "LX-2", "W-12", 1, {{350, 20}});  // 12: 350 to 15, 1: 15 to 20
    Put(*made.value(), "LX-3", "W-13", 0, {});
  }

  static void Put(book::Book& book, const std::string& joint, const std::string& welder, int exit_code,
                  const std::vector<std::pair<double, double>>& runs) {
    book::Record record;
    record.joint = joint, record.insert_class = "3";
    book::Cycle cycle;
    cycle.welder = welder;
    for (const auto& [start, end] : runs)
      cycle.findings.push_back({"original edge visible", "", "left", start, end, "open", ""});
    joint::Verdict verdict;
    verdict.criterion = "some";
    verdict.findings.resize(1);
    verdict.findings[0].rule_id = "width";
    verdict.findings[0].outcome = exit_code == 0 ? joint::Outcome::kWithin : joint::Outcome::kBeyond;
    joint::Dispose(&verdict);
    cycle.readings.push_back({{"root"}, "0.1.0", "", true, book.evidence().Keep("{}", "reading.json").value(), {}});
    verdict.reading_sha256 = cycle.readings[0].reading.sha256;
    cycle.verdicts.push_back({verdict.criterion, "", "", verdict.disposition, verdict.decided_by, verdict.exit_code,
                              verdict.reading_sha256,
                              book.evidence().Keep(joint::ToJson(verdict), "verdict.json").value()});
    record.cycles.push_back(cycle);
    const auto saved = book.Save({record, 0, "A. Example", "test", {}});
    ASSERT_TRUE(saved.ok() && saved.value().saved);
  }

  std::string Bytes() const { return book::Sha256(vision::ReadFileWhole(address_).value()); }
  QString Said() const { return sheet_.findChild<QLabel*>("said")->text(); }
  void Show(const std::string& address) {
    QSignalSpy shown(&sheet_, &TrendsSheet::shown), refused(&sheet_, &TrendsSheet::refused);
    sheet_.ShowBook(QString::fromStdString(address));
    ASSERT_TRUE(QTest::qWaitFor([&] { return shown.count() + refused.count() > 0; }, 20000));
  }

  viewer_test::TemporaryFolder folder_;
  const std::string address_ = (folder_.path() / "joints.book").string();
  TrendsSheet sheet_;
};

/// Pixels of `widget` darker than paper.
int Inked(QWidget& widget) {
  const QImage image = widget.grab().toImage();
  int dark = 0;
  for (int y = 0; y < image.height(); ++y)
    for (int x = 0; x < image.width(); ++x) dark += qGray(image.pixel(x, y)) < 110;
  return dark;
}

TEST_F(ABookOfThree, IsCountedAndDrawnAndNotTouched) {
  const std::string before = Bytes();
  Show(address_);
  ASSERT_TRUE(sheet_.found()) << Said().toStdString();
  ASSERT_EQ(sheet_.found()->welders.size(), 2u);
  EXPECT_EQ(sheet_.found()->welders[0].name, "W-12");
  EXPECT_EQ(sheet_.found()->welders[0].judged, 2);
  EXPECT_EQ(sheet_.found()->welders[0].within, 1);
  EXPECT_EQ(sheet_.found()->hours[0].runs, 1);
  EXPECT_DOUBLE_EQ(sheet_.found()->hours[0].degrees, 25);
  EXPECT_EQ(sheet_.found()->inserts.at(0).judged, 3);
  const auto figures = sheet_.findChildren<QWidget*>("figure");
  ASSERT_EQ(figures.size(), 3) << "by welder, by the clock, by class of insert";
  for (QWidget* figure : figures) EXPECT_GT(Inked(*figure), 500) << figure->accessibleName().toStdString();
  EXPECT_EQ(Bytes(), before);
}

TEST_F(ABookOfThree, IsSavedAsCsv) {
  Show(address_);
  sheet_.SaveCsv(QString::fromStdString((folder_.path() / "csv").string()));
  EXPECT_THAT(vision::ReadFileWhole(folder_.path() / "csv" / "welders.csv").value(),
              HasSubstr("\r\nW-12,2,2,1,1,0,0.5,"));
  EXPECT_THAT(vision::ReadFileWhole(folder_.path() / "csv" / "clock.csv").value(),
              AllOf(HasSubstr("clock,runs,degrees,caution\r\n12,1,25,"), HasSubstr("\r\n1,1,5,"),
                    HasSubstr("\r\n2,0,0,"), HasSubstr("supports and never replaces")));
  EXPECT_THAT(vision::ReadFileWhole(folder_.path() / "csv" / "inserts.csv").value(), HasSubstr("\r\n3,3,3,2,1,0,"));
  EXPECT_THAT(Said().toStdString(), HasSubstr("inserts.csv"));
}

TEST_F(ABookOfThree, GivesWayToOneSentenceWhenTheNextIsNoBook) {
  Show(address_);
  Show((folder_.path() / "nowhere.book").string());
  EXPECT_FALSE(sheet_.found());
  EXPECT_THAT(Said().toStdString(), HasSubstr("nowhere.book"));
  EXPECT_TRUE(sheet_.findChildren<QWidget*>("figure").isEmpty());
  EXPECT_FALSE(std::filesystem::exists(folder_.path() / "nowhere.book")) << "looking at a book must not make one";
}

TEST(Trends, AreAskedForInTheFileMenu) {
  MainWindow window;
  auto* action = window.findChild<QAction*>("trends");
  ASSERT_TRUE(action);
  action->trigger();
  EXPECT_TRUE(window.findChild<QDialog*>("trends_sheet"));
}

}  // namespace
}  // namespace app::viewer
