#include <unistd.h>

#include <map>
#include <random>

#include "app/book/bundle.h"
#include "app/book/find.h"
#include "app/book/verify.h"
#include "app/book/witness.h"
#include "tests/book/support.h"

/// One bit turned anywhere: named, or harmless since everything the book says is as before. Nothing is missed with a
/// seal that was noted outside; without one it is counted.
namespace book_test {
namespace {

using namespace app::book;

struct Counts {
  int flips = 0, named = 0, harmless = 0, missed = 0, missed_without_seal = 0;
};

class FlipTest : public testing::Test {
 protected:
  void SetUp() override {
    fs::remove_all(folder_);
    fs::create_directories(folder_);
    auto book = Book::Create(file_);
    ASSERT_TRUE(book.ok());
    const auto key = PrivateKey::FromRaw(std::string(64, '3')).value(),
               other = PrivateKey::FromRaw(std::string(64, '4')).value();
    ASSERT_FALSE(RegisterKey(*book.value(), "C. Examiner", key.PublicHex(), "owner"));
    ASSERT_FALSE(RegisterKey(*book.value(), "D. Former", other.PublicHex(), "owner"));
    for (const std::string id : {"J-1", "J-2", "J-3"}) {
      Record record = SmallRecord(id);
      for (const char* name : {"root", "cap"})
        record.cycles[0].recordings.push_back(
            {name, "root", book.value()->evidence().Keep("{}" + id + name, "joint.json").value(), {}});
      AddJudged(*book.value(), record.cycles[0], id == "J-2" ? 1 : 0);
      record.cycles[0].film = {book.value()->evidence().Keep(std::string(3000, 'f') + id, "film.png").value()};
      record.annotations.push_back({"A. Example", "2026-03-01", "R0", "seen twice", 10.0, 0.123456789012345});
      Saved(*book.value(), record, 0);
      record.cycles[0].welder = "W-13";
      record.cycles[0].reports = {
          {1, "2026-03-02", {book.value()->evidence().Keep("%PDF-1.7 the record of " + id, "report.pdf").value()}}};
      Saved(*book.value(), record, 1, "report attached");
      ASSERT_TRUE(Sign(*book.value(), GoodStatement(id, 2), key).ok());
    }
    ASSERT_TRUE(
        Revoke(*book.value(), {Fingerprint(other.PublicHex()), "2026-01-01", "left the firm", "owner", "", "", ""})
            .ok());
    seal_ = book.value()->Seal().value();
    ASSERT_FALSE(ExportBundle(*book.value(), "J-1", folder_ / "one.zip"));
    // A copy whose last changes lie in the -wal file.
    fs::create_directories(folder_ / "wal");
    for (const char* end : {"", "-wal"}) fs::copy_file(file_ + end, folder_ / "wal" / (std::string("a.book") + end));
    book = vision::Error{};
  }
  void TearDown() override { fs::remove_all(folder_); }

  /// Everything the book says, in words. How often and by whom a recording that is not measured yet was tried is the
  /// queue's own and on no record.
  static std::string Says(Book& book) {
    std::string text;
    for (const char* sql :
         {"SELECT * FROM book_info ORDER BY key", "SELECT * FROM migration ORDER BY version",
          "SELECT * FROM joint ORDER BY id", "SELECT * FROM revision ORDER BY joint, number",
          "SELECT * FROM signoff ORDER BY hash", "SELECT * FROM inspector_key ORDER BY fingerprint",
          "SELECT * FROM key_revocation ORDER BY hash", "SELECT * FROM journal ORDER BY seq", "SELECT * FROM book_head",
          "SELECT * FROM cycle ORDER BY joint, position", "SELECT * FROM finding ORDER BY joint, place",
          "SELECT * FROM evidence ORDER BY joint, sha256",
          "SELECT joint, cycle, id, state, reading FROM recording ORDER BY joint, cycle, id"}) {
      auto rows = book.database().Run(sql);
      if (!rows.ok()) return rows.error().message;
      for (const auto& row : rows.value())
        for (std::size_t i = 0; i < row.size(); ++i) text += row.Text(i) + "/" + std::to_string(row.Real(i)) + "|";
    }
    return text;
  }

  /// Turns one bit, looks, turns it back.
  void Flip(const fs::path& flipped, const std::string& book_file, std::size_t bit, const std::string& right,
            Counts& counts) {
    std::string bytes = Bytes(flipped);
    const std::string good = bytes;
    bytes[bit / 8] = static_cast<char>(bytes[bit / 8] ^ (1 << bit % 8));
    fs::permissions(flipped, fs::perms::owner_write, fs::perm_options::add);
    Write(flipped, bytes);
    ++counts.flips;
    bool named = true, named_without = true, same = false;
    if (auto book = Book::Open(book_file, {true, file_ + ".evidence"}); book.ok()) {
      if (auto report = Verify(*book.value(), {true, seal_.seal, {seal_}}); report.ok()) {
        named = !report.value().clean();
        named_without = std::any_of(report.value().faults.begin(), report.value().faults.end(),
                                    [](const Fault& fault) { return fault.text.find("seal") == std::string::npos; });
        same = !named && Says(*book.value()) == right;
      }
    }
    counts.named += named;
    counts.harmless += !named && same;
    counts.missed += !named && !same;
    counts.missed_without_seal += !named_without && !same;
    if (!named && !same) std::printf("  missed: %s, bit %zu\n", flipped.c_str(), bit);
    Write(flipped, good);
    for (const char* end : {"-shm"}) fs::remove(book_file + end);
    if (flipped == book_file) fs::remove(book_file + "-wal");
  }

  static int Asked() {
    const char* asked = std::getenv("ROOTSCROLL_FLIPS");  // the proof asks for more
    return asked != nullptr ? std::atoi(asked) : 60;
  }
  static void Say(const char* what, const Counts& counts) {
    std::printf("  flips in %s: %d turned, %d named, %d harmless, %d missed; without a seal %d missed\n", what,
                counts.flips, counts.named, counts.harmless, counts.missed, counts.missed_without_seal);
  }

  const fs::path folder_ = fs::temp_directory_path() / ("rootscroll_flip_" + std::to_string(::getpid()));
  const std::string file_ = (folder_ / "a.book").string();
  JournalLine seal_;
};

TEST_F(FlipTest, NoBitOfTheBookFileIsMissed) {
  const std::string right = Says(*Book::Open(file_, {true, ""}).value());
  std::mt19937 random(1);
  std::uniform_int_distribution<std::size_t> any(0, 8 * fs::file_size(file_) - 1);
  Counts counts;
  for (int i = 0; i < Asked(); ++i) Flip(file_, file_, any(random), right, counts);
  Say("the book file", counts);
  EXPECT_EQ(counts.missed, 0);
}

TEST_F(FlipTest, NoBitOfChangesThatWaitIsMissed) {
  const std::string file = (folder_ / "wal" / "a.book").string(), wal = file + "-wal";
  const std::string first = Bytes(file), waiting = Bytes(wal);
  ASSERT_FALSE(waiting.empty());
  const std::string right = Says(*Book::Open(file, {true, file_ + ".evidence"}).value());
  std::mt19937 random(2);
  std::uniform_int_distribution<std::size_t> any(0, 8 * waiting.size() - 1);
  Counts counts;
  for (int i = 0; i < Asked() / 2; ++i) {
    Write(file, first), Write(wal, waiting);
    Flip(wal, file, any(random), right, counts);
  }
  Say("changes that wait (WAL)", counts);
  EXPECT_EQ(counts.missed, 0);
}

TEST_F(FlipTest, NoBitOfTheEvidenceIsMissed) {
  const std::string right = Says(*Book::Open(file_, {true, ""}).value());
  const auto files = Book::Open(file_, {true, ""}).value()->evidence().Everything();
  std::mt19937 random(3);
  Counts counts;
  for (int i = 0; i < Asked() / 2; ++i) {
    const auto& file = files[random() % files.size()];
    Flip(file, file_, random() % (8 * fs::file_size(file)), right, counts);
  }
  Say("evidence, attached records among it", counts);
  EXPECT_EQ(counts.missed, 0);
  EXPECT_EQ(counts.named, counts.flips);
}

TEST_F(FlipTest, NoBitOfABundleIsMissed) {
  const std::string good = Bytes(folder_ / "one.zip");
  std::mt19937 random(4);
  Counts counts;
  auto other = Book::Create((folder_ / "other.book").string());
  for (int i = 0; i < Asked(); ++i) {
    std::string bad = good;
    const std::size_t bit = random() % (8 * good.size());
    bad[bit / 8] = static_cast<char>(bad[bit / 8] ^ (1 << bit % 8));
    Write(folder_ / "bad.zip", bad);
    ++counts.flips;
    const bool refused = !ImportBundle(*other.value(), folder_ / "bad.zip", {true}).ok();
    counts.named += refused, counts.missed += !refused, counts.missed_without_seal += !refused;
    ASSERT_TRUE(refused) << "bit " << bit;
  }
  Say("a bundle, the exported record in it", counts);
  EXPECT_TRUE(Find(*other.value(), {}).value().empty());
}

}  // namespace
}  // namespace book_test
