#include <QFile>

#include "app/book/bundle.h"
#include "app/book/csv.h"
#include "app/book/find.h"
#include "app/book/text_gate.h"
#include "app/book/verify.h"
#include "tests/book/support.h"

/// Text that comes in: what is stored is what was hashed, and reads the same to everybody.
namespace book_test {
namespace {

using namespace app::book;
using testing::HasSubstr;

/// Each with the words that must name it. Code points as Unicode 15 lists them (chapter 23; UAX 9 table 1).
const std::vector<std::pair<std::string, std::string>> kUnfit{{"\xef\xbb\xbfJ", "byte-order mark"},
                                                              {"J\xef\xbb\xbf", "byte-order mark"},
                                                              {"\xef\xbf\xbeJ", "U+FFFE"},
                                                              {"J\xef\xbf\xbf", "U+FFFF"},
                                                              {"\xef\xb7\x90J", "U+FDD0"},
                                                              {"J\xf0\x9f\xbf\xbe", "U+1FFFE"},
                                                              {"J\xf4\x8f\xbf\xbf", "U+10FFFF"},
                                                              {"J\x1b[2K", "U+001B"},
                                                              {"J\x7f", "U+007F"},
                                                              {"J\xc2\x9b", "U+009B"},
                                                              {"J\n2  forged", "U+000A"},
                                                              {"J\r2  forged", "U+000D"},
                                                              {"J\xe2\x80\xa8K", "U+2028"},
                                                              {"J\xe2\x80\xae", "U+202E"},
                                                              {"J\xe2\x81\xa7", "U+2067"},
                                                              {"J\xd8\x9c", "U+061C"},
                                                              {"J\xe2\x80\x8b", "U+200B"},
                                                              {"J\xf3\xa0\x80\xa1", "U+E0021"},
                                                              {"J\xc0\xaf", "not UTF-8"},
                                                              {"J\xed\xa0\x80", "not UTF-8"},
                                                              {"J\xf4\x90\x80\x80", "not UTF-8"},
                                                              {"J\xff", "not UTF-8"},
                                                              {std::string("J\0K", 3), "U+0000"},
                                                              {std::string(5000, 'x'), "bytes long"}};

class GateTest : public OnBoth {
 protected:
  std::string Save(const Record& record, const std::string& author, const std::string& reason) {
    auto outcome = book_->Save({record, 0, author, reason, {}});
    return outcome.ok() ? "saved" : outcome.error().message;
  }
  std::vector<std::string> Faults() {
    auto report = Verify(*Connect());
    EXPECT_TRUE(report.ok());
    std::vector<std::string> texts;
    for (const auto& fault : report.value().faults) texts.push_back(fault.text);
    return texts;
  }
};
ON_BOTH_ENGINES(GateTest);

TEST_P(GateTest, NoTextThatIsUnfitComesIn) {
  for (const auto& [text, says] : kUnfit) {
    EXPECT_THAT(Save(SmallRecord("J-1"), text, "first entry"), HasSubstr(says));
    EXPECT_THAT(Save(SmallRecord("J-1"), "A. Example", text), HasSubstr(says));
    EXPECT_THAT(Save(SmallRecord(text), "A. Example", "first entry"), HasSubstr(says));
    Record welder = SmallRecord("J-1"), file = SmallRecord("J-1");
    welder.cycles[0].welder = text;
    EXPECT_THAT(Save(welder, "A. Example", "first entry"), HasSubstr(says));
    file.cycles[0].film = {book_->evidence().Keep("bytes", text).value()};
    EXPECT_NE(Save(file, "A. Example", "first entry"), "saved");
    const auto key = PrivateKey::FromRaw(std::string(64, '7')).value().PublicHex();
    EXPECT_THAT(RegisterKey(*book_, text, key, "owner")->message, HasSubstr(says));
    EXPECT_THAT(RegisterKey(*book_, "C. Examiner", key, text)->message, HasSubstr(says));
  }
  EXPECT_TRUE(Find(*book_, {}).value().empty());
  EXPECT_EQ(book_->Seal().value().seq, 0);
  EXPECT_THAT(Faults(), testing::IsEmpty());
}

TEST_P(GateTest, LinesMayStandInANoteAlone) {
  Record record = SmallRecord("J-1");
  record.annotations.push_back({"A. Example", "2026-03-01", "R0", "seen twice:\n\tat 40 and at 80 degrees", {}, {}});
  EXPECT_EQ(Save(record, "A. Example", "first entry"), "saved");
  record.annotations[0].author = "A.\nExample";
  record.joint = "J-2";
  EXPECT_THAT(Save(record, "A. Example", "first entry"), HasSubstr("U+000A"));
  EXPECT_THAT(Faults(), testing::IsEmpty());
}

TEST_P(GateTest, WhatIsTypedInTwoWaysIsStoredInOne) {
  // UAX 15: e and combining acute accent compose to U+00E9.
  const std::string apart = "Ren\x65\xcc\x81", composed = "Ren\xc3\xa9";
  ASSERT_EQ(Save(SmallRecord("J-1"), apart, "by " + apart), "saved");
  EXPECT_EQ(book_->Load("J-1").value().author, composed);
  Record record = SmallRecord("J-" + apart);
  EXPECT_THAT(Save(record, "A. Example", "first entry"), HasSubstr("Unicode NFC"));
  EXPECT_EQ(Save(SmallRecord("J-" + composed), "\xd7\xa9 \xe6\xa4\x9c\xe6\x9f\xbb \xf0\x9f\x94\xa7", "first entry"),
            "saved");
  EXPECT_THAT(Faults(), testing::IsEmpty());
}

TEST_P(GateTest, NothingBlankStandsForAName) {
  for (const std::string blank : {"", " ", "\t", "  \xc2\xa0", "\xe3\x80\x80"}) {
    EXPECT_NE(Save(SmallRecord("J-1"), blank, "first entry"), "saved") << blank;
    EXPECT_NE(Save(SmallRecord("J-1"), "A. Example", blank), "saved") << blank;
    EXPECT_NE(Save(SmallRecord(blank), "A. Example", "first entry"), "saved") << blank;
    const auto key = PrivateKey::FromRaw(std::string(64, '7')).value().PublicHex();
    EXPECT_TRUE(RegisterKey(*book_, blank, key, "owner")) << blank;
    EXPECT_TRUE(RegisterKey(*book_, "C. Examiner", key, blank)) << blank;
  }
}

TEST_P(GateTest, AFileOfTheRecordHasAPlainName) {
  const std::vector<std::string> names{"../planted", "../../../planted",   "/etc/planted", "a/b", "..", ".", "",
                                       "a\\b",       std::string(300, 'y')};
  for (const auto& name : names) {
    Record record = SmallRecord("J-1");
    record.cycles[0].film = {book_->evidence().Keep("bytes", name).value()};
    EXPECT_THAT(Save(record, "A. Example", "first entry"), HasSubstr("name must be a file's name")) << name;
  }
}

TEST_P(GateTest, ABookThatHoldsOtherTextAlreadyIsReadNamedAndMended) {
  Saved(*book_, SmallRecord("J-1"), 0);
  // As a version without the gate saved it: the hash is of what is stored.
  Revision old = book_->Load("J-1").value();
  const std::string first = old.hash;
  old.reason = "read\n99  2026-01-01  forged";
  old.hash = old.ComputeHash();
  Tamper("UPDATE revision SET reason = '" + old.reason + "', hash = '" + old.hash + "'");
  Tamper("UPDATE joint SET head_hash = '" + old.hash + "'");
  const std::string seal = ComputeSeal("", 1, "revision", old.hash);
  Tamper("UPDATE journal SET item = '" + old.hash + "', seal = '" + seal + "'");
  Tamper("UPDATE book_head SET seal = '" + seal + "'");
  auto report = Verify(*Connect());
  ASSERT_TRUE(report.ok());
  EXPECT_TRUE(report.value().clean());
  ASSERT_EQ(report.value().remarks.size(), 1u);
  EXPECT_THAT(report.value().remarks[0].text, HasSubstr("Joint J-1, revision 1: Its reason holds U+000A"));
  Saved(*book_, SmallRecord("J-1"), 1, "said in one line");
  report = Verify(*Connect());
  EXPECT_TRUE(report.value().clean());
  EXPECT_TRUE(report.value().remarks.empty());
}

TEST(Shown, NothingATerminalObeysAndNoLineOfItsOwn) {
  for (const auto& [text, says] : kUnfit) {
    const std::string shown = vision::Printable(text);
    EXPECT_FALSE(vision::TextFault(shown, vision::Lines::kOne, 100000)) << says;
  }
  EXPECT_EQ(vision::Printable("a\x1b[2Kb\nc\xe2\x80\xae\xff"), "a\\x1b[2Kb\\nc\\u202e\\xff");
  EXPECT_EQ(vision::Printable("Ren\xc3\xa9 \xf0\x9f\x94\xa7"), "Ren\xc3\xa9 \xf0\x9f\x94\xa7");
  EXPECT_EQ(vision::PrintableLines("a\nb\rc"), "a\nb\\rc");
}

TEST(CsvCells, AreNoFormulas) {
  // What spreadsheets take for a formula: = + - @ at the start, also after a tabulator or a space.
  for (const std::string cell : {"=1+1", "+SUM(A1)", "-2+3", "@A1", "\t=1", " =1", "=cmd|' /C calc'!A0", "-", "+",
                                 "\xef\xbc\x9d"
                                 "1+1",
                                 "--5", "-1e"})
    EXPECT_EQ(FromCsv(ToCsv({{"x", cell}}), "t").value()[0][1], "'" + cell);
  for (const std::string cell : {"-52", "1e-3", "-0.25", "W-12", "316L", "", "2026-03-01", "a=b"})
    EXPECT_EQ(ToCsv({{"x", cell}}), "x," + cell + "\r\n");
}

}  // namespace
}  // namespace book_test
