#include <thread>

#include "app/book/digest.h"
#include "app/book/migrations.h"
#include "tests/book/support.h"

namespace book_test {
namespace {

using namespace app::book;
using testing::HasSubstr;

class BookTest : public OnBoth {};
ON_BOTH_ENGINES(BookTest);

TEST_P(BookTest, GivesBackWhatWasSavedAfterOpeningAgain) {
  Record record = SmallRecord("J-1 / Ø168 \"漢字\" 'x'");
  record.annotations.push_back({"B. Example", "2026-03-02T08:00:00Z", "R0", "line\none \\ two", 48.25, std::nullopt});
  const Revision saved = Saved(*book_, record, 0);
  book_.reset();
  book_ = Connect();
  auto loaded = book_->Load(record.joint);
  ASSERT_TRUE(loaded.ok()) << loaded.error().message;
  EXPECT_EQ(loaded.value().body, ToJson(record));
  EXPECT_EQ(loaded.value().hash, saved.hash);
  EXPECT_EQ(loaded.value().ComputeHash(), saved.hash);
  auto again = book_->LoadRecord(record.joint);
  ASSERT_TRUE(again.ok());
  EXPECT_EQ(again.value().annotations.at(0).text, "line\none \\ two");
  EXPECT_EQ(again.value().annotations.at(0).theta_deg, 48.25);
  EXPECT_FALSE(again.value().annotations.at(0).z_mm);
}

TEST_P(BookTest, EveryRevisionStaysAndNamesItsParent) {
  Record record = SmallRecord("J-2");
  const auto first = Saved(*book_, record, 0);
  record.cycles[0].welder = "W-13";
  const auto second = Saved(*book_, record, 1, "the welder was another one");
  EXPECT_EQ(second.number, 2);
  EXPECT_EQ(second.parent, first.hash);
  auto history = book_->History("J-2");
  ASSERT_TRUE(history.ok());
  ASSERT_EQ(history.value().size(), 2u);
  EXPECT_EQ(history.value()[1].reason, "the welder was another one");
  EXPECT_EQ(book_->LoadRecord("J-2", 1).value().cycles[0].welder, "W-12");
  EXPECT_EQ(book_->LoadRecord("J-2").value().cycles[0].welder, "W-13");
}

TEST_P(BookTest, TheDatabaseItselfRefusesToChangeOrDeleteARevision) {
  Saved(*book_, SmallRecord("J-3"), 0);
  for (const char* sql : {"UPDATE revision SET author = 'somebody else'", "DELETE FROM revision",
                          "UPDATE journal SET item = 'x'", "DELETE FROM journal"}) {
    const auto failed = book_->database().Do(sql);
    ASSERT_TRUE(failed) << sql;
    EXPECT_THAT(failed->message, HasSubstr("never")) << sql;
  }
}

TEST_P(BookTest, TwoPeopleAtOneJointAreShownBothVersions) {
  Saved(*book_, SmallRecord("J-4"), 0);
  auto other = Connect();
  Record mine = book_->LoadRecord("J-4").value(), theirs = mine;
  theirs.cycles[0].welder = "W-77";
  auto first = other->Save({theirs, 1, "B. Other", "read the stamp again", {}});
  ASSERT_TRUE(first.ok() && first.value().saved);
  mine.cycles[0].findings[0].end_deg = 61;
  auto second = book_->Save({mine, 1, "A. Example", "measured again", {}});
  ASSERT_TRUE(second.ok()) << second.error().message;
  ASSERT_FALSE(second.value().saved);
  const std::string text = second.value().conflict->Text();
  EXPECT_THAT(text, HasSubstr("you began from revision 1, the book now holds revision 2 by B. Other"));
  EXPECT_THAT(text, HasSubstr("reason: read the stamp again"));
  EXPECT_THAT(text, HasSubstr("/cycles/0/welder: \"W-12\" -> \"W-77\""));
  EXPECT_THAT(text, HasSubstr("/cycles/0/findings/0/end_deg: 56.0 -> 61.0"));
  EXPECT_EQ(book_->History("J-4").value().size(), 2u);
  EXPECT_EQ(book_->LoadRecord("J-4").value().cycles[0].welder, "W-77");  // nothing lost
}

TEST_P(BookTest, ManyWritersAtOnceLoseNoUpdate) {
  Saved(*book_, SmallRecord("J-5"), 0);
  constexpr int kWriters = 4, kEach = 5;
  std::vector<std::thread> writers;
  for (int w = 0; w < kWriters; ++w)
    writers.emplace_back([&, w] {
      auto opened = Book::Open(address_);
      ASSERT_TRUE(opened.ok()) << opened.error().message;
      Book& book = *opened.value();
      for (int done = 0; done < kEach;) {
        auto base = book.Load("J-5");
        ASSERT_TRUE(base.ok());
        Record record = FromJson(base.value().body, "base").value();
        record.annotations.push_back({"w" + std::to_string(w), NowUtc(), "R0", std::to_string(done), {}, {}});
        auto outcome = book.Save({record, base.value().number, "w" + std::to_string(w), "one more", {}});
        ASSERT_TRUE(outcome.ok()) << outcome.error().message;
        if (outcome.value().saved) ++done;
      }
    });
  for (auto& writer : writers) writer.join();
  EXPECT_EQ(book_->Load("J-5").value().number, 1 + kWriters * kEach);
  EXPECT_EQ(book_->LoadRecord("J-5").value().annotations.size(), static_cast<std::size_t>(kWriters * kEach));
}

TEST_P(BookTest, ANewJointMadeTwiceIsAConflictToo) {
  Saved(*book_, SmallRecord("J-6"), 0);
  auto outcome = book_->Save({SmallRecord("J-6"), 0, "B. Other", "did not know", {}});
  ASSERT_TRUE(outcome.ok());
  ASSERT_TRUE(outcome.value().conflict);
  EXPECT_EQ(outcome.value().conflict->theirs.number, 1);
}

TEST_P(BookTest, SaysWhatIsWrongWithARequest) {
  const auto message = [&](const SaveRequest& request) {
    auto outcome = book_->Save(request);
    return outcome.ok() ? std::string("saved") : outcome.error().message;
  };
  EXPECT_THAT(message({SmallRecord(""), 0, "A", "r", {}}), HasSubstr("no joint id"));
  EXPECT_THAT(message({SmallRecord("J"), 0, "", "r", {}}), HasSubstr("author"));
  EXPECT_THAT(message({SmallRecord("J"), 0, "A", "", {}}), HasSubstr("reason"));
  EXPECT_THAT(message({SmallRecord("J"), 3, "A", "r", {}}), HasSubstr("has no revision 3"));
  Record record = SmallRecord("J");
  record.cycles.push_back(Cycle{});
  EXPECT_THAT(message({record, 0, "A", "r", {}}), HasSubstr("cycle 2 is called R0; it must be R1"));
  record = SmallRecord("J");
  FileRef absent;
  absent.sha256 = Sha256("nowhere");
  absent.name = "film.png";
  record.cycles[0].film.push_back(absent);
  EXPECT_THAT(message({record, 0, "A", "r", {}}), HasSubstr("film.png"));
  absent.kind = "derived";
  record.cycles[0].film[0] = absent;
  EXPECT_THAT(message({record, 0, "A", "r", {}}), HasSubstr("must name what it was made from"));
  EXPECT_FALSE(book_->Load("J").ok());
}

TEST_P(BookTest, AnUnknownKeyInARecordIsNamed) {
  auto record = FromJson(R"({"format": "rootscroll.record/1", "joint": "J", "weldr": "W"})", "mine.json");
  ASSERT_FALSE(record.ok());
  EXPECT_THAT(record.error().message, HasSubstr("/weldr is not a key that may stand there"));
}

TEST_P(BookTest, AnOlderBookIsBroughtUpToDateAndANewerOneRefused) {
  const std::string address = postgres() ? address_ : (folder_ / "old.book").string();
  if (postgres()) {
    book_.reset();
    Tamper("DROP SCHEMA rootscroll CASCADE");
  }
  {
    auto database = Database::Open(Address::Parse(address), true, false);
    ASSERT_TRUE(database.ok());
    ASSERT_FALSE(Migrate(*database.value(), 1));
    ASSERT_EQ(SchemaOf(*database.value()).value(), 1);
    ASSERT_FALSE(
        database.value()->Do("INSERT INTO book_info VALUES (?, ?)", {std::string("kept"), std::string("yes")}));
  }
  {
    auto book = Book::Open(address);
    ASSERT_TRUE(book.ok()) << book.error().message;
    EXPECT_EQ(SchemaOf(book.value()->database()).value(), NewestSchema());
    EXPECT_EQ(book.value()->database().Run("SELECT value FROM book_info WHERE key = 'kept'").value().at(0).Text(0),
              "yes");
    ASSERT_FALSE(book.value()->database().Do("INSERT INTO migration VALUES (?, ?, ?)",
                                             {std::int64_t{99}, std::string("later"), std::string("2099")}));
  }
  auto newer = Book::Open(address);
  ASSERT_FALSE(newer.ok());
  EXPECT_THAT(newer.error().message, HasSubstr("has schema 99"));
}

TEST_P(BookTest, ABookIsNeverMadeOverAnother) {
  auto again = Book::Create(address_, {(folder_ / "e").string()});
  ASSERT_FALSE(again.ok());
  EXPECT_THAT(again.error().message, HasSubstr("already"));
}

TEST(SqliteBook, RefusesADamagedFileAndOneThatIsMissing) {
  const fs::path folder = fs::temp_directory_path() / ("rootscroll_damaged_" + std::to_string(::getpid()));
  fs::create_directories(folder);
  const std::string file = (folder / "a.book").string();
  {
    auto book = Book::Create(file);
    ASSERT_TRUE(book.ok());
    for (int i = 0; i < 20; ++i) Saved(*book.value(), SmallRecord("J-" + std::to_string(i)), 0);
  }
  std::string bytes = Bytes(file);
  for (std::size_t i = 8192; i < bytes.size(); i += 7) bytes[i] = static_cast<char>(bytes[i] ^ 0x55);
  Write(file, bytes);
  auto damaged = Book::Open(file);
  ASSERT_FALSE(damaged.ok());
  EXPECT_THAT(damaged.error().message, HasSubstr("damaged"));
  auto missing = Book::Open((folder / "nowhere.book").string());
  ASSERT_FALSE(missing.ok());
  EXPECT_THAT(missing.error().message, HasSubstr("No joint book at"));
  fs::remove_all(folder);
}

}  // namespace
}  // namespace book_test
