#include <random>

#include "app/book/bundle.h"
#include "app/book/queue.h"
#include "app/book/roles.h"
#include "app/book/verify.h"
#include "app/book/witness.h"
#include "tests/book/support.h"

/// Whatever anybody does with the book's own verbs, in any order: verify finds nothing.
namespace book_test {
namespace {

using namespace app::book;

class SequenceTest : public OnBoth {
 protected:
  void SetUp() override {
    OnBoth::SetUp();
    if (IsSkipped() || HasFatalFailure()) return;
    people_.push_back(Connect());
    for (std::size_t which = 0; which < 3; ++which)
      ASSERT_FALSE(RegisterKey(*book_, "Person " + std::to_string(which), Key(which).PublicHex(), "owner"));
    if (!postgres()) return;
    ASSERT_FALSE(GrantRoles(*book_));
    for (const std::string role : {"reader", "inspector", "approver"}) {
      (void)book_->database().Do("CREATE ROLE test_" + role + " LOGIN");
      ASSERT_FALSE(book_->database().Do("GRANT rootscroll_" + role + " TO test_" + role));
      people_.push_back(Connect("test_" + role));
    }
  }

  void TearDown() override {
    people_.clear();  // before the database goes
    OnBoth::TearDown();
  }

  std::size_t Any(std::size_t count) { return random_() % count; }
  Book& Somebody() { return *people_[Any(people_.size())]; }
  std::string Joint() { return "J-" + std::to_string(Any(4)); }
  PrivateKey Key(std::size_t which) {
    return PrivateKey::FromRaw(std::string(64, static_cast<char>('1' + which))).value();
  }

  void SaveSomething(Book& book) {
    const std::string joint = Joint();
    auto newest = book.Load(joint);
    Record record = newest.ok() ? FromJson(newest.value().body, joint).value() : SmallRecord(joint);
    const std::int64_t on = newest.ok() ? newest.value().number - static_cast<std::int64_t>(Any(5) == 0) : 0;
    Cycle& cycle = record.cycles.back();
    switch (Any(6)) {
      case 0:
        cycle.recordings.push_back({"r" + std::to_string(cycle.recordings.size()),
                                    "root",
                                    book.evidence().Keep("{}", "joint.json").value(),
                                    {}});
        break;
      case 1:
        AddJudged(book, cycle, static_cast<int>(Any(2)), "r" + std::to_string(Any(3)));
        break;
      case 2:
        cycle.readings.clear(), cycle.verdicts.clear();
        break;
      case 3:
        record.cycles.emplace_back();
        record.cycles.back().id = "R" + std::to_string(record.cycles.size() - 1);
        break;
      case 4:
        cycle.film.push_back(book.evidence().Keep("film " + std::to_string(Any(9)), "film.png").value());
        break;
      default:
        cycle.welder = Any(3) == 0 ? "\xef\xbb\xbfW" : "W-" + std::to_string(Any(9));
    }
    saved_ += Went(book.Save({record, on, Any(9) == 0 ? " " : "A. Example", "any", {}}));
  }
  template <class T>
  static bool Went(const vision::Result<T>& result) {
    return result.ok();
  }

  void SignSomething(Book& book) {
    const std::size_t which = Any(3);
    if (Any(4) == 0) (void)RegisterKey(book, "Person " + std::to_string(which), Key(which).PublicHex(), "somebody");
    Statement statement = GoodStatement(Joint(), static_cast<std::int64_t>(Any(8)));
    statement.name = "Person " + std::to_string(which);
    statement.kind = Any(2) == 0 ? "examined" : "approved";
    signed_ += Went(Sign(book, statement, Key(which)));
    if (Any(25) == 0)
      (void)Revoke(book, {Fingerprint(Key(which).PublicHex()), NowUtc(), "any", "somebody", "", "", ""});
  }

  void Queue(Book& book) {
    auto claim = ClaimNext(book, "w" + std::to_string(Any(2)), {0.001, 2});
    if (!claim.ok() || !claim.value()) return;
    const auto& c = *claim.value();
    if (Any(3) == 0) return (void)SetAside(book, c, "cannot be measured");
    if (Any(3) == 0) return (void)GiveBack(book, c.worker);
    if (Any(4) == 0) return (void)TryFailedAgain(book);
    auto newest = book.Load(c.joint);
    if (!newest.ok()) return;
    Record record = FromJson(newest.value().body, c.joint).value();
    Cycle* cycle = record.FindCycle(c.cycle);
    if (cycle == nullptr) return;
    AddJudged(book, *cycle, 0, c.recording);
    (void)book.Save({record, newest.value().number, "w", "measured",
                     [&](Database& d) { return Finish(d, c, cycle->readings.back().reading.sha256); }});
  }

  void Exchange(Book& book) {
    const std::string joint = Joint();
    if (ExportBundle(book, joint, folder_ / "one.zip")) return;
    (void)ImportBundle(book, folder_ / "one.zip", {true});
    std::error_code ignored;
    for (const auto& entry : fs::directory_iterator(folder_, ignored))
      if (entry.path().string().find("other") != std::string::npos) fs::remove_all(entry.path(), ignored);
    auto other = Book::Create((folder_ / "other.book").string());
    ASSERT_TRUE(other.ok());
    auto report = ImportBundle(*other.value(), folder_ / "one.zip", {true});
    ASSERT_TRUE(report.ok()) << report.error().message;
    ExpectClean(*other.value());
  }

  void ExpectClean(Book& book) {
    VerifyOptions options;
    if (&book != people_[0].get() && book.database().address().text != address_)
      options.witness = {};
    else
      options.witness = seals_;
    auto report = Verify(book, options);
    ASSERT_TRUE(report.ok()) << report.error().message;
    for (const auto& fault : report.value().faults) ADD_FAILURE() << fault.what << ": " << fault.text;
  }

  std::vector<std::unique_ptr<Book>> people_;
  std::vector<JournalLine> seals_;
  std::mt19937 random_;
  int saved_ = 0, signed_ = 0;
};
ON_BOTH_ENGINES(SequenceTest);

TEST_P(SequenceTest, OfAnyVerbsByAnyRolesLeavesNothingToFind) {
  const char* asked = std::getenv("ROOTSCROLL_STEPS");
  const int steps = asked != nullptr ? std::atoi(asked) : 150;
  random_.seed(7);
  for (int step = 0; step < steps; ++step) {
    Book& book = Somebody();
    switch (Any(8)) {
      case 0:
        SignSomething(book);
        break;
      case 1:
        Queue(book);
        break;
      case 2:
        if (Any(4) == 0) Exchange(*people_[0]);
        break;
      default:
        SaveSomething(book);
    }
    if (step % 10 == 9) {
      if (auto seal = people_[0]->Seal(); seal.ok() && seal.value().seq > 0) seals_.push_back(seal.value());
      ExpectClean(*people_[0]);
      if (HasFailure()) FAIL() << "after step " << step;
    }
  }
  std::printf("  %d steps by %zu people: %d revisions, %d sign-offs, 0 faults\n", steps, people_.size(), saved_,
              signed_);
  EXPECT_GT(saved_, steps / 8);
  EXPECT_GT(signed_, 0);
}

}  // namespace
}  // namespace book_test
