#include <signal.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <sstream>

#include "app/book/bundle.h"
#include "app/book/intake.h"
#include "app/book/verify.h"
#include "tests/book/support.h"

extern char** environ;

/// A program killed at every call that changes a file: nothing it acknowledged is lost, nothing is half there.
namespace book_test {
namespace {

using namespace app::book;

class CrashTest : public testing::TestWithParam<std::tuple<const char*, bool>> {
 protected:
  static std::string verb() { return std::get<0>(GetParam()); }
  static bool half() { return std::get<1>(GetParam()); }

  void SetUp() override {
    fs::remove_all(folder_);
    fs::create_directories(folder_ / "first");
    std::string joint = Bytes(ROOTSCROLL_SOURCE_DIR "/fixtures/demo/joint.json");
    joint.replace(joint.find("LX-114"), 6, "B-0");
    Write(folder_ / "joint.json", joint);
    for (const char* name : {"from_a.jpg", "from_b.jpg"})
      fs::copy_file(std::string(ROOTSCROLL_SOURCE_DIR "/fixtures/demo/") + name, folder_ / name);
    auto book = Book::Create((folder_ / "first" / "a.book").string());
    ASSERT_TRUE(book.ok());
    Record record;
    const auto wrong = TakeIn(*book.value(), {folder_ / "joint.json", {"root"}, "R0", "", "", false, "", ""}, record);
    ASSERT_FALSE(wrong) << wrong->message;
    Saved(*book.value(), record, 0);
    const auto key = PrivateKey::FromRaw(std::string(64, '3')).value();
    ASSERT_FALSE(RegisterKey(*book.value(), "C. Examiner", key.PublicHex(), "owner"));
    auto other = Book::Create((folder_ / "other.book").string());
    Record more = SmallRecord("I-1");
    for (int i = 0; i < 3; ++i)
      more.cycles[0].film.push_back(
          other.value()->evidence().Keep(std::string(30000, static_cast<char>('a' + i)), "film.png").value());
    Saved(*other.value(), more, 0);
    ASSERT_FALSE(ExportBundle(*other.value(), "I-1", folder_ / "one.zip"));
    seal_ = book.value()->Seal().value().seal;
  }
  void TearDown() override { fs::remove_all(folder_); }

  /// Runs the verb on a fresh copy of the book. @return Whether it was killed.
  bool Run(long at) {
    fs::remove_all(folder_ / "book");
    fs::copy(folder_ / "first", folder_ / "book", fs::copy_options::recursive);
    const std::string command = "LD_PRELOAD=" CRASH_AT_LIBRARY " CRASH_AT=" + std::to_string(at) +
                                (half() ? " CRASH_HALF=1" : "") + " CRASH_COUNT='" + (folder_ / "count").string() +
                                "' exec " BOOK_STEP " " + verb() + " '" + (folder_ / "book" / "a.book").string() +
                                "' '" + folder_.string() + "' > '" + (folder_ / "said").string() + "'";
    const int status = std::system(command.c_str());
    const bool killed = WIFSIGNALED(status) || (WIFEXITED(status) && WEXITSTATUS(status) == 128 + SIGKILL);
    EXPECT_TRUE(killed || (WIFEXITED(status) && WEXITSTATUS(status) == 0)) << "call " << at << ", status " << status;
    return killed;
  }

  /// What is wrong with the book that a killed run left; "" when nothing.
  std::string Left() {
    std::istringstream said(Bytes(folder_ / "said"));
    auto book = Book::Open((folder_ / "book" / "a.book").string());
    if (!book.ok()) return book.error().message;
    auto report = Verify(*book.value(), {true, seal_, {}});
    if (!report.ok()) return report.error().message;
    for (const auto& fault : report.value().faults) return fault.text;
    std::string word, joint, hash;
    long long number = 0;
    if (!(said >> word >> joint >> number >> hash)) return "";
    ++acknowledged_;
    if (word == "revision") {
      auto revision = book.value()->Load(joint, number);
      return revision.ok() && revision.value().hash == hash ? "" : "an acknowledged revision is lost";
    }
    const auto signoffs = SignOffs(*book.value(), joint);
    return signoffs.ok() && signoffs.value().size() == 1 && signoffs.value()[0].hash == hash ? ""
                                                                                             : "a sign-off is lost";
  }

  const fs::path folder_ = fs::temp_directory_path() / ("rootscroll_crash_" + std::to_string(::getpid()));
  std::string seal_;
  int acknowledged_ = 0;
};
INSTANTIATE_TEST_SUITE_P(At, CrashTest,
                         testing::Combine(testing::Values("add", "put", "note", "sign", "import"), testing::Bool()),
                         [](const auto& which) {
                           return std::string(std::get<0>(which.param)) +
                                  (std::get<1>(which.param) ? "Half" : "Before");
                         });

TEST_P(CrashTest, EveryCallThatChangesAFileLosesNothingAndLeavesNothingHalf) {
  ASSERT_FALSE(Run(0));
  ASSERT_EQ(Left(), "");
  ASSERT_EQ(acknowledged_, 1);
  const long calls = std::stol(Bytes(folder_ / "count"));
  ASSERT_GT(calls, 8);
  acknowledged_ = 0;
  int killed = 0;
  for (long at = 1; at <= calls; ++at) {
    killed += Run(at);
    ASSERT_EQ(Left(), "") << verb() << " killed at call " << at << " of " << calls;
  }
  std::printf("  %s%s: %ld calls, %d kills, %d acknowledged before the kill, 0 lost, 0 faults\n", verb().c_str(),
              half() ? ", half of each write done" : "", calls, killed, acknowledged_);
  EXPECT_GE(killed, calls - 2);  // the count itself is written at the end
}

}  // namespace
}  // namespace book_test
