#include <algorithm>
#include <cmath>

#include "app/book/bundle.h"
#include "app/book/csv.h"
#include "app/book/digest.h"
#include "app/book/find.h"
#include "app/book/profile_csv.h"
#include "app/book/purge_csv.h"
#include "app/book/signoff.h"
#include "app/book/verify.h"
#include "app/book/zip.h"
#include "tests/book/support.h"

namespace book_test {
namespace {

using namespace app::book;
using testing::HasSubstr;

/// A signed joint with an original, a derived and a referenced file, in two cycles.
class BundleTest : public OnBoth {
 protected:
  void SetUp() override {
    OnBoth::SetUp();
    if (IsSkipped() || HasFatalFailure()) return;
    Record record = SmallRecord("J-1 Ø/..");
    FileRef original = book_->evidence().Keep(std::string(100000, 'o'), "a.avi").value();
    FileRef derived = book_->evidence().Keep("strip", "strip.png").value();
    derived.kind = "derived";
    derived.from = {original.sha256};
    derived.settings = "some";
    Write(folder_ / "outside.avi", "stays outside");
    record.cycles[0].film = {original, derived, book_->evidence().Refer(folder_ / "outside.avi").value()};
    Saved(*book_, record, 0);
    record.cycles.emplace_back();
    record.cycles[1].id = "R1";
    const auto made = [&](const char* name) {
      FileRef ref = book_->evidence().Keep(std::string("made: ") + name, name).value();
      ref.kind = "derived", ref.from = {original.sha256}, ref.settings = "some";
      return ref;
    };
    record.cycles[1].repairs.push_back({book_->evidence().Keep("{\"a\": 1}", "repair.json").value(),
                                        made("repair_plan.json"),
                                        {made("card.pdf")},
                                        "spot on the film",
                                        "no-go"});
    record.cycles[1].changes.push_back({"R0", made("change.json"), {made("change_after.png")}});
    record.cycles[1].notes.push_back(book_->evidence().Keep("{\"n\": 1}", "joint.notes.json").value());
    Saved(*book_, record, 1, "first repair");
    key_ = std::make_unique<PrivateKey>(PrivateKey::Make(folder_ / "key.pem", "").value());
    ASSERT_FALSE(RegisterKey(*book_, "C. Examiner", key_->PublicHex(), "owner"));
    const Statement statement = GoodStatement(record.joint, 2);
    ASSERT_TRUE(Sign(*book_, statement, *key_).ok());
    const auto failed = ExportBundle(*book_, record.joint, folder_ / "one.zip");
    ASSERT_FALSE(failed) << failed->message;
    auto empty = Book::Create((folder_ / "other.book").string());
    ASSERT_TRUE(empty.ok());
    other_ = std::move(empty).value();
  }

  std::string ImportError(const fs::path& file, bool trust = true) {
    auto report = ImportBundle(*other_, file, {trust});
    return report.ok() ? std::string("taken in") : report.error().message;
  }

  /// The bundle again with the bytes of one entry changed.
  fs::path Spoiled(const std::string& entry, const std::string& from, const std::string& to) {
    auto zip = ZipReader::Open(folder_ / "one.zip").value();
    std::vector<ZipEntry> entries;
    auto manifest = zip.Read("manifest.json").value();
    std::vector<std::string> names{"manifest.json", "record.json", "history.json"};
    for (auto at = manifest.find("files/"); at != std::string::npos; at = manifest.find("files/", at + 1))
      names.push_back(manifest.substr(at, 70));
    for (const auto& name : names) {
      std::string bytes = zip.Read(name).value();
      if (name.starts_with(entry) && bytes.find(from) != std::string::npos)
        bytes.replace(bytes.find(from), from.size(), to);
      entries.push_back({name, bytes, {}});
    }
    EXPECT_FALSE(WriteZip(folder_ / "spoiled.zip", entries));
    return folder_ / "spoiled.zip";
  }

  std::unique_ptr<PrivateKey> key_;
  std::unique_ptr<Book> other_;
};
ON_BOTH_ENGINES(BundleTest);

TEST_P(BundleTest, ComesOutOfAnotherBookAsTheSameBytes) {
  auto report = ImportBundle(*other_, folder_ / "one.zip", {true});
  ASSERT_TRUE(report.ok()) << report.error().message;
  EXPECT_EQ(report.value().revisions, 2);
  EXPECT_EQ(report.value().files, 9);
  fs::remove(folder_ / "outside.avi");  // the other book has its own copy
  ASSERT_FALSE(ExportBundle(*other_, "J-1 Ø/..", folder_ / "two.zip"));
  EXPECT_TRUE(Bytes(folder_ / "one.zip") == Bytes(folder_ / "two.zip"));
  auto verified = Verify(*other_);
  ASSERT_TRUE(verified.ok());
  for (const auto& fault : verified.value().faults) ADD_FAILURE() << fault.text;
  EXPECT_EQ(verified.value().signoffs, 1);
  EXPECT_THAT(ImportError(folder_ / "one.zip"), HasSubstr("already"));
}

TEST_P(BundleTest, OneByteAboveWhatIsTakenIsRefused) {
  std::uint64_t all = 0, longest = 0;
  const auto zip = ZipReader::Open(folder_ / "one.zip").value();
  const auto entries = zip.List();
  for (const auto& entry : entries.value()) {
    if (!entry.name.starts_with("files/")) longest = std::max<std::uint64_t>(longest, entry.bytes);
    if (entry.name != "manifest.json") all += entry.bytes;
  }
  const auto answer = [&](std::uint64_t most_bytes, std::uint64_t most_text) {
    auto report = ImportBundle(*other_, folder_ / "one.zip", {true, most_bytes, most_text});
    return report.ok() ? std::string("taken in") : report.error().message;
  };
  EXPECT_THAT(answer(all - 1, longest),
              HasSubstr(std::to_string(all) + " bytes of files; at most " + std::to_string(all - 1) + " are taken"));
  EXPECT_THAT(answer(all, longest - 1), HasSubstr("at most " + std::to_string(longest - 1)));
  EXPECT_EQ(answer(all, longest), "taken in");
}

TEST_P(BundleTest, AnythingChangedInItIsRefusedAndNothingIsTakenIn) {
  EXPECT_THAT(ImportError(Spoiled("history.json", "W-12", "W-13")),
              HasSubstr("history.json is not what its SHA-256 says"));
  EXPECT_THAT(ImportError(Spoiled("files/", "ooo", "oxo")), HasSubstr("not what its SHA-256 says"));
  EXPECT_THAT(ImportError(Spoiled("files/", "strip", "strap")), HasSubstr("not what its SHA-256 says"));
  EXPECT_THAT(ImportError(Spoiled("manifest.json", "bundle/2", "bundle/9")), HasSubstr("format"));
  Write(folder_ / "no.zip", "not a zip");
  EXPECT_THAT(ImportError(folder_ / "no.zip"), HasSubstr("not a zip archive"));
  EXPECT_TRUE(Find(*other_, {}).value().empty());
  EXPECT_EQ(other_->Seal().value().seq, 0);
}

TEST_P(BundleTest, AForgedHistoryWithARightManifestStillBreaksOnItsRevisions) {
  auto zip = ZipReader::Open(folder_ / "one.zip").value();
  const std::string history = zip.Read("history.json").value();
  std::string forged = history;
  forged.replace(forged.find("W-12"), 4, "W-13");
  std::string manifest = zip.Read("manifest.json").value();
  manifest.replace(manifest.find(Sha256(history)), 64, Sha256(forged));
  std::vector<ZipEntry> entries{{"manifest.json", manifest, {}}, {"history.json", forged, {}}};
  const auto all = zip.List().value();
  for (const auto& listed : all)
    if (listed.name != "manifest.json" && listed.name != "history.json")
      entries.push_back({listed.name, zip.Read(listed.name).value(), {}});
  ASSERT_FALSE(WriteZip(folder_ / "forged.zip", entries));
  EXPECT_THAT(ImportError(folder_ / "forged.zip"), HasSubstr("revision 1 is no longer what was saved"));
}

TEST_P(BundleTest, AKeyTheBookDoesNotKnowIsNotTrustedBySilence) {
  EXPECT_THAT(ImportError(folder_ / "one.zip", false), HasSubstr("a key this book does not know"));
  EXPECT_TRUE(Find(*other_, {}).value().empty());
  ASSERT_FALSE(RegisterKey(*other_, "D. Somebody Else", key_->PublicHex(), "owner"));
  EXPECT_THAT(ImportError(folder_ / "one.zip"), HasSubstr("D. Somebody Else's in this book"));
}

TEST_P(BundleTest, NothingBrokenIsExported) {
  FlipByte(book_->evidence().PathOf(Sha256("strip")), 2);
  const auto failed = ExportBundle(*book_, "J-1 Ø/..", folder_ / "three.zip");
  ASSERT_TRUE(failed);
  EXPECT_THAT(failed->message, HasSubstr("strip.png"));
  EXPECT_FALSE(fs::exists(folder_ / "three.zip"));
}

class FindTest : public OnBoth {
 protected:
  void SetUp() override {
    OnBoth::SetUp();
    if (IsSkipped() || HasFatalFailure()) return;
    // Four joints; worked out by hand: W-12 welded three of them first time, two within; W-13 one, beyond.
    Put("A-1", "line 1", "W-12", "2026-03-01", 0, {});
    Put("A-2", "line 1", "W-12", "2026-03-05", 1, {{350, 20}});  // 12: 350..15 = 25, 1: 15..20 = 5
    Put("B_1", "line 2", "W-12", "2026-04-01", 0, {});
    Put("BX1", "line 2", "W-13", "2026-04-02", 1, {{80, 100}, {170, 190}});  // 3: 20, 6: 20
  }

  void Put(const std::string& joint, const std::string& line, const std::string& welder, const std::string& day,
           int exit, const std::vector<std::pair<double, double>>& runs) {
    Record record = SmallRecord(joint);
    record.line = line;
    Cycle& cycle = record.cycles[0];
    cycle.welder = welder;
    cycle.welded_on = day;
    cycle.findings.clear();
    for (const auto& [start, end] : runs)
      cycle.findings.push_back({"original edge visible", "", "left", start, end, "open", ""});
    AddJudged(*book_, cycle, exit);
    Saved(*book_, record, 0);
  }

  std::vector<std::string> Found(const FindFilter& filter) {
    auto lines = Find(*book_, filter);
    EXPECT_TRUE(lines.ok()) << lines.error().message;
    std::vector<std::string> names;
    for (const auto& line : lines.value()) names.push_back(line.joint);
    return names;
  }
};
ON_BOTH_ENGINES(FindTest);

TEST_P(FindTest, FindsByEachFieldAndByAllTogether) {
  const auto with = [](auto change) {
    FindFilter filter;
    change(filter);
    return filter;
  };
  using testing::ElementsAre;
  EXPECT_THAT(Found({}), ElementsAre("A-1", "A-2", "BX1", "B_1"));
  EXPECT_THAT(Found(with([](FindFilter& f) { f.joint = "B_"; })), ElementsAre("B_1"));  // _ means itself
  EXPECT_THAT(Found(with([](FindFilter& f) { f.line = "line 2"; })), ElementsAre("BX1", "B_1"));
  EXPECT_THAT(Found(with([](FindFilter& f) { f.welder = "W-13"; })), ElementsAre("BX1"));
  EXPECT_THAT(Found(with([](FindFilter& f) { f.from = "2026-03-05", f.to = "2026-04-01"; })),
              ElementsAre("A-2", "B_1"));
  EXPECT_THAT(Found(with([](FindFilter& f) { f.disposition = "proposed: within"; })), ElementsAre("A-1", "B_1"));
  EXPECT_THAT(Found(with([](FindFilter& f) { f.open_findings = true; })), ElementsAre("A-2", "BX1"));
  EXPECT_THAT(Found(with([](FindFilter& f) { f.sha256 = Sha256("{\"reading\": 1}"), f.most = 2; })),
              ElementsAre("A-2", "BX1"));
  EXPECT_THAT(Found(with([](FindFilter& f) { f.line = "line 1", f.open_findings = true; })), ElementsAre("A-2"));
  EXPECT_THAT(Found(with([](FindFilter& f) { f.line = "' OR 1 = 1 --"; })), ElementsAre());
  FindFilter wrong;
  wrong.from = "March";
  EXPECT_THAT(Find(*book_, wrong).error().message, HasSubstr("FindFilter::from is March"));
}

TEST_P(FindTest, TrendsAreWhatAHandCountsThemToBe) {
  using Rows = std::vector<CsvRow>;
  // Exact 95 % intervals: 2 of 3 is 0.0943 to 0.9916 (tables of Clopper and Pearson's limits; by hand, the lower one
  // solves p^2 (3 - 2 p) = 0.025, the upper one 1 - p^3 = 0.025); 0 of 1 is 0 to 0.975.
  EXPECT_EQ(
      ToRows(FirstPassByWelder(*book_).value(), "welder"),
      (Rows{{"welder", "judged", "decided", "within", "beyond", "not_decided", "share_of_decided", "low_95", "high_95"},
            {"W-12", "3", "3", "2", "1", "0", "0.6667", "0.0943", "0.9916"},
            {"W-13", "1", "1", "0", "1", "0", "0", "0", "0.975"}}));
  const auto clock = ToRows(UnfusedByClock(*book_).value());
  ASSERT_EQ(clock.size(), 13u);
  EXPECT_EQ(clock[1], (CsvRow{"12", "1", "25"}));
  EXPECT_EQ(clock[2], (CsvRow{"1", "1", "5"}));
  EXPECT_EQ(clock[3], (CsvRow{"2", "0", "0"}));
  EXPECT_EQ(clock[4], (CsvRow{"3", "1", "20"}));
  EXPECT_EQ(clock[7], (CsvRow{"6", "1", "20"}));
  // 2 of 4: 0.0676 to 0.9324, the lower one solves 6 p^2 - 8 p^3 + 3 p^4 = 0.025.
  EXPECT_EQ(ToRows(OutcomeByInsertClass(*book_).value(), "insert_class"),
            (Rows{{"insert_class", "judged", "decided", "within", "beyond", "not_decided", "share_of_decided", "low_95",
                   "high_95"},
                  {"3", "4", "4", "2", "2", "0", "0.5", "0.0676", "0.9324"}}));
}

TEST(Trends, WhatIsNotDecidedIsInNoDenominator) {
  // One within, three not decided: 1 of 1, not 25 % of four. None decided: no share at all.
  const Outcomes one{"W-12", 4, 1, 0, 0.025, 1}, none{"W-13", 2, 0, 0, 0, 1};
  EXPECT_EQ(one.Decided(), 1);
  EXPECT_DOUBLE_EQ(one.Share(), 1);
  EXPECT_EQ(ToRows(std::vector<Outcomes>{none}, "welder")[1], (CsvRow{"W-13", "2", "0", "0", "0", "2", "", "0", "1"}));
}

TEST(Csv, QuotesAsRfc4180SaysAndReadsItBack) {
  // RFC 4180, section 2, rules 5 to 7.
  const std::vector<CsvRow> rows{{"aaa", "b\r\nbb", "ccc"}, {"zzz", "y\"yy", "x,x"}};
  const std::string text = ToCsv(rows);
  EXPECT_EQ(text, "aaa,\"b\r\nbb\",ccc\r\nzzz,\"y\"\"yy\",\"x,x\"\r\n");
  EXPECT_EQ(FromCsv(text, "t").value(), rows);
  EXPECT_THAT(FromCsv("a,b\n1\n", "t.csv").error().message, HasSubstr("line 2 has 1 values"));
  EXPECT_THAT(FromCsv("a,\"b\n1\n", "t.csv").error().message, HasSubstr("never closed"));
  EXPECT_EQ(std::stod(CsvNumber(0.1 + 0.2)), 0.1 + 0.2);
  EXPECT_EQ(CsvNumber(std::nan("")), "");
}

TEST(PurgeCsv, ReadsALogAndNamesWhatIsWrongInIt) {
  auto log = PurgeFromCsv("time,gas,oxygen_ppm,dew_point_c\n07:00,argon,35,-52\n07:05,argon,18.5,\n", "purge.csv");
  ASSERT_TRUE(log.ok()) << log.error().message;
  ASSERT_EQ(log.value().size(), 2u);
  EXPECT_EQ(log.value()[1].oxygen_ppm, 18.5);
  EXPECT_FALSE(log.value()[1].dew_point_c);
  EXPECT_EQ(log.value()[0].dew_point_c, -52.0);
  EXPECT_THAT(PurgeFromCsv("when,o2\n1,2\n", "p.csv").error().message, HasSubstr("columns time and oxygen_ppm"));
  EXPECT_THAT(PurgeFromCsv("time,oxygen_ppm\n1,low\n", "p.csv").error().message,
              HasSubstr("line 2: oxygen_ppm is low"));
  EXPECT_THAT(PurgeFromCsv("time,oxygen_ppm\n1,-3\n", "p.csv").error().message, HasSubstr("from 0 to 1000000"));
}

TEST(ProfileCsv, HoldsEveryStationLineAndNothingForWhatWasNotMeasured) {
  vision::reading::Reading reading;
  reading.profile.Resize(720);
  reading.profile.width_mm[3] = 4.25;
  const auto rows = ProfileRows(app::known::Know(reading, {}));
  ASSERT_EQ(rows.size(), 721u);
  const auto width = std::find(rows[0].begin(), rows[0].end(), "width_mm") - rows[0].begin();
  EXPECT_EQ(rows[4][static_cast<std::size_t>(width)], "4.25");
  EXPECT_EQ(rows[5][static_cast<std::size_t>(width)], "");
  EXPECT_EQ(rows[4][0], "1.5");
}

TEST(ProfileCsv, TellsTheKindOfSectionOnItsOwnLinesAlone) {
  vision::reading::Reading reading;
  reading.profile.Resize(720);
  reading.sections = {{359, 1, "concave", 0.9, 0.1}};
  const auto rows = ProfileRows(app::known::Know(reading, {}));
  const auto at = static_cast<std::size_t>(std::find(rows[0].begin(), rows[0].end(), "section") - rows[0].begin());
  ASSERT_LT(at + 2, rows[0].size());
  EXPECT_EQ(rows[2][at], "concave");
  EXPECT_EQ(rows[2][at + 1], "0.9");
  EXPECT_EQ(rows[2][at + 2], "0.1");
  EXPECT_EQ(rows[10][at], "");
  EXPECT_EQ(rows[10][at + 2], "");
}

}  // namespace
}  // namespace book_test
