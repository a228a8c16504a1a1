// From a measured joint to a signed record in the window, and from joint to joint.
#include "app/viewer/record_sheet.h"

#include <gmock/gmock.h>

#include <QDate>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QSettings>
#include <QSignalSpy>
#include <QTest>
#include <fstream>

#include "app/book/signoff.h"
#include "app/viewer/joints_beside.h"
#include "app/viewer/pages_view.h"
#include "app/viewer/report_sheet.h"
#include "tests/viewer/support.h"
#include "vision/base/file.h"

namespace app::viewer {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::Not;
namespace fs = std::filesystem;

constexpr const char* kSecret = "a secret of three words";

class RecordTest : public testing::Test {
 protected:
  void SetUp() override {
    joint_ = viewer_test::WriteMeasuredDemo(folder_.path());
    QSignalSpy opened(&desk_, &Desk::opened_joint);
    desk_.Open(joint_);
    ASSERT_TRUE(opened.wait(20000));
    sheet_ = std::make_unique<RecordSheet>(desk_);
    sheet_->show();
    const std::pair<const char*, std::string> typed[] = {
        {"book", (folder_.path() / "joints.book").string()},
        {"signer_name", "R. Example"},
        {"signer_role", "Inspector"},
        {"qualification", "VT level 2, certificate 77"},
        {"qualification_expires", "2099-01-31"},
        {"vision_test", QDate::currentDate().addDays(-10).toString(Qt::ISODate).toStdString()},
        {"procedure", "VT-4"},
        {"light", "1100 lx at the root"},
        {"resolution", "0.8 mm line"},
        {"statement", "I looked at every page."},
        {"key", (folder_.path() / "me.pem").string()},
        {"record_folder", (folder_.path() / "record").string()}};
    for (const auto& [name, text] : typed) sheet_->Line(name)->setText(QString::fromStdString(text));
  }

  QPushButton* Button(const char* name) { return sheet_->findChild<QPushButton*>(name); }
  std::string Said() { return sheet_->findChild<QLabel*>("record_said")->text().toStdString(); }
  /// Presses a step and waits for its end. @return Whether the pages came.
  bool Step(const char* name) {
    QSignalSpy shown(sheet_.get(), &RecordSheet::shown), refused(sheet_.get(), &RecordSheet::refused),
        written(sheet_.get(), &RecordSheet::written);
    QTest::mouseClick(Button(name), Qt::LeftButton);
    EXPECT_TRUE(QTest::qWaitFor([&] { return shown.count() + refused.count() + written.count() > 0; }, 60000));
    return refused.count() == 0;
  }
  void MakeKey() {
    sheet_->Line("passphrase")->setText(kSecret), sheet_->Line("passphrase_again")->setText(kSecret);
    QTest::mouseClick(Button("record_make_key"), Qt::LeftButton);
  }
  bool SignWith(const char* secret) {
    sheet_->Line("passphrase")->setText(secret);
    return Step("record_sign");
  }
  std::vector<book::SignOff> SignOffsOnRecord() {
    auto book = book::Book::Open((folder_.path() / "joints.book").string());
    EXPECT_TRUE(book.ok());
    return book::SignOffs(*book.value(), desk_.opened().joint.id).value();
  }

  viewer_test::TemporaryFolder folder_;
  fs::path joint_;
  Desk desk_;
  std::unique_ptr<RecordSheet> sheet_;
};

TEST_F(RecordTest, GoesFromTheJointToASignedRecord) {
  EXPECT_FALSE(Button("record_sign")->isEnabled()) << "nobody signs what was not shown";
  ASSERT_TRUE(Step("record_put")) << Said();
  EXPECT_EQ(sheet_->on_record()->revision, 2);  // taken in, then measured
  EXPECT_GE(sheet_->findChild<PagesView*>()->pages(), 3);
  EXPECT_THAT(Said(), HasSubstr("Look through all pages before you sign"));
  MakeKey();
  EXPECT_FALSE(SignWith(kSecret)) << "nobody answers for the key yet";
  EXPECT_THAT(Said(), HasSubstr("say who registers it"));
  sheet_->Line("registered_by")->setText("Q. Approver");
  EXPECT_FALSE(SignWith("another secret"));
  EXPECT_TRUE(SignOffsOnRecord().empty());
  ASSERT_TRUE(SignWith(kSecret)) << Said();
  EXPECT_TRUE(sheet_->Line("passphrase")->text().isEmpty());
  const auto signoffs = SignOffsOnRecord();
  ASSERT_EQ(signoffs.size(), 1u);
  EXPECT_EQ(signoffs[0].statement.name, "R. Example");
  EXPECT_EQ(signoffs[0].statement.revision, 2);
  ASSERT_TRUE(Step("record_write")) << Said();
  const auto html = vision::ReadFileWhole(folder_.path() / "record" / "report.html");
  ASSERT_TRUE(html.ok());
  EXPECT_THAT(html.value(), HasSubstr("I looked at every page."));
  EXPECT_THAT(html.value(), HasSubstr("supports and never replaces"));
  EXPECT_TRUE(fs::exists(folder_.path() / "record" / "report.pdf"));
  for (const QString& key : QSettings().allKeys())
    EXPECT_FALSE(QSettings().value(key).toString().contains(kSecret)) << key.toStdString();
  const auto pem = vision::ReadFileWhole(folder_.path() / "me.pem");
  ASSERT_TRUE(pem.ok());
  EXPECT_THAT(pem.value(), HasSubstr("ENCRYPTED"));  // RFC 5958: PKCS #8, encrypted
}

TEST_F(RecordTest, WhatIsThereAlreadyIsLeftAndOtherFactsAreRefused) {
  ASSERT_TRUE(Step("record_put")) << Said();
  ASSERT_TRUE(Step("record_put")) << Said();
  EXPECT_EQ(sheet_->on_record()->revision, 2) << "nothing new: no revision";
  auto text = vision::ReadFileWhole(joint_).value();
  const auto at = text.find("154.2");
  ASSERT_NE(at, std::string::npos);
  ASSERT_FALSE(vision::WriteFileWhole(joint_, text.replace(at, 5, "150.0")).has_value());
  EXPECT_FALSE(Step("record_put"));
  EXPECT_THAT(Said(), HasSubstr("other facts"));
  EXPECT_FALSE(Button("record_sign")->isEnabled());
}

TEST_F(RecordTest, ARevisionThatIsNotTheOneShownIsNotSigned) {
  ASSERT_TRUE(Step("record_put")) << Said();
  {  // somebody else adds to the record meanwhile
    auto book = book::Book::Open((folder_.path() / "joints.book").string());
    ASSERT_TRUE(book.ok());
    auto record = book.value()->LoadRecord(desk_.opened().joint.id).value();
    record.line = "another line";
    ASSERT_TRUE(book.value()->Save({record, 2, "Q. Approver", "line", {}}).value().saved);
  }
  MakeKey();
  sheet_->Line("registered_by")->setText("Q. Approver");
  EXPECT_FALSE(SignWith(kSecret));
  EXPECT_THAT(Said(), HasSubstr("look at its pages before you sign"));
  EXPECT_TRUE(SignOffsOnRecord().empty());
}

TEST_F(RecordTest, AKeyIsMadeOnlyWithAPassphraseTypedTwiceAlike) {
  QTest::mouseClick(Button("record_make_key"), Qt::LeftButton);
  EXPECT_THAT(Said(), HasSubstr("A key without a passphrase"));
  sheet_->Line("passphrase")->setText(kSecret), sheet_->Line("passphrase_again")->setText("a secret of four words");
  QTest::mouseClick(Button("record_make_key"), Qt::LeftButton);
  EXPECT_THAT(Said(), HasSubstr("differ"));
  EXPECT_FALSE(fs::exists(folder_.path() / "me.pem"));
}

TEST_F(RecordTest, TheReportIsShownBeforeItGoesWhereThePersonSays) {
  ReportSheet sheet(desk_);
  sheet.show();
  QSignalSpy shown(&sheet, &ReportSheet::shown), written(&sheet, &ReportSheet::written);
  ASSERT_TRUE(shown.wait(60000));
  EXPECT_GE(sheet.pages().pages(), 3);
  const fs::path out = folder_.path() / "elsewhere";
  EXPECT_FALSE(fs::exists(out / "report.pdf"));
  sheet.findChild<QLineEdit*>("report_folder")->setText(QString::fromStdString(out.string()));
  const fs::path paper = fs::path(ROOTSCROLL_SOURCE_DIR) / "fixtures" / "paper" / "paper_de.json";
  sheet.findChild<QLineEdit*>("report_paper")->setText(QString::fromStdString(paper.string()));
  ASSERT_TRUE(shown.wait(60000));
  QTest::mouseClick(sheet.findChild<QPushButton*>("report_write"), Qt::LeftButton);
  ASSERT_TRUE(written.wait(60000)) << sheet.findChild<QLabel*>("report_said")->text().toStdString();
  EXPECT_TRUE(fs::exists(out / "report.pdf"));
  EXPECT_THAT(vision::ReadFileWhole(out / "report.html").value(), HasSubstr("Geprüfter Umfang"));  // paper_de.json
}

TEST(JointsBeside, AreThoseOfTheSameFolderAndOfTheFoldersBesideIt) {
  const viewer_test::TemporaryFolder folder;
  for (const char* name : {"c", "a", "b"}) {
    fs::create_directories(folder.path() / name);
    viewer_test::WriteMadeUpJoint(folder.path() / name);
  }
  fs::copy(folder.path() / "b" / "joint.json", folder.path() / "b" / "second.json");
  std::ofstream(folder.path() / "b" / "none.json") << "{}";
  const fs::path root = fs::weakly_canonical(folder.path());
  EXPECT_THAT(JointsBeside(folder.path() / "b" / "joint.json"),
              ElementsAre(root / "a" / "joint.json", root / "b" / "joint.json", root / "b" / "second.json",
                          root / "c" / "joint.json"));
}

}  // namespace
}  // namespace app::viewer
