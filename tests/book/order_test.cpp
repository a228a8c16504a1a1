#include <fcntl.h>
#include <sys/syscall.h>
#include <unistd.h>

#include <algorithm>
#include <cstdio>
#include <mutex>

#include "app/book/bundle.h"
#include "app/book/intake.h"
#include "app/book/zip.h"
#include "tests/book/support.h"

/// The order in which names and bytes reach the disk. This program has its own fsync, fdatasync and rename, which write
/// down what they are called for and then do it; the libraries it loads use them too.
namespace {

namespace fs = std::filesystem;
std::mutex guard;
bool recording = false;
std::vector<std::string> events;  // guarded

void Note(const std::string& event) {
  const std::lock_guard lock(guard);
  if (recording) events.push_back(event);
}

std::string NameOf(int file) {
  std::error_code gone;
  return fs::read_symlink("/proc/self/fd/" + std::to_string(file), gone).string();
}
}  // namespace

extern "C" int fsync(int file) {
  Note("settle " + NameOf(file));
  return static_cast<int>(::syscall(SYS_fsync, file));
}
extern "C" int fdatasync(int file) {
  Note("settle " + NameOf(file));
  return static_cast<int>(::syscall(SYS_fdatasync, file));
}
extern "C" int rename(const char* from, const char* to) noexcept {
  Note(std::string("rename ") + from + " " + to);
  return static_cast<int>(::syscall(SYS_renameat, AT_FDCWD, from, AT_FDCWD, to));
}

namespace book_test {
namespace {

using namespace app::book;
using testing::HasSubstr;
using testing::StartsWith;

class OrderTest : public OnBoth {
 protected:
  void SetUp() override {
    OnBoth::SetUp();
    Record(true);
  }
  void TearDown() override {
    Record(false);
    OnBoth::TearDown();
  }
  static void Record(bool on) {
    const std::lock_guard lock(guard);
    recording = on;
    events.clear();
  }
  static std::vector<std::string> Events() {
    const std::lock_guard lock(guard);
    return events;
  }
};
ON_BOTH_ENGINES(OrderTest);

TEST_P(OrderTest, AFileOfEvidenceIsOnTheDiskUnderItsNameBeforeItIsNamed) {
  const auto ref = book_->evidence().Keep("the camera's own bytes", "VID0031.avi").value();
  const std::string name = book_->evidence().PathOf(ref).string(), folder = fs::path(name).parent_path().string();
  auto seen = Events();
  ASSERT_GE(seen.size(), 4u) << testing::PrintToString(seen);
  seen.erase(seen.begin(), seen.end() - 4);
  EXPECT_THAT(seen[0], testing::AllOf(StartsWith("settle "), HasSubstr(".part-")));
  EXPECT_THAT(seen[1], testing::AllOf(StartsWith("rename "), testing::EndsWith(" " + name)));
  EXPECT_EQ(seen[2], "settle " + folder);
  EXPECT_EQ(seen[3], "settle " + book_->evidence().folder().string());
}

/// A server settles its own files.
class FileOrderTest : public OrderTest {};
INSTANTIATE_TEST_SUITE_P(On, FileOrderTest, testing::Values(Engine::kSqlite),
                         [](const auto&) { return std::string("Sqlite"); });

TEST_P(FileOrderTest, WhatSaveGivesBackAsSavedIsOnTheDisk) {
  Saved(*book_, SmallRecord("J-1"), 0);
  ASSERT_FALSE(Events().empty());  // the WAL's own file and its folder are settled once more when it is new
  EXPECT_EQ(Events().back(), "settle " + address_ + "-wal");
  Record(true);
  Saved(*book_, SmallRecord("J-2"), 0);
  EXPECT_THAT(Events(), testing::ElementsAre("settle " + address_ + "-wal"));
}

TEST_P(OrderTest, NoRowNamesAFileThatIsNotThere) {
  const auto ref = book_->evidence().Keep("bytes", "film.png").value();
  fs::remove(book_->evidence().PathOf(ref));
  auto record = SmallRecord("J-1");
  record.cycles[0].film.push_back(ref);
  auto refused = book_->Save({record, 0, "A. Example", "film", {}});
  ASSERT_FALSE(refused.ok());
  EXPECT_THAT(refused.error().message, HasSubstr("film.png"));
  Write(book_->evidence().PathOf(ref), "byt");
  EXPECT_FALSE(book_->Save({record, 0, "A. Example", "film", {}}).ok());
  EXPECT_FALSE(book_->Load("J-1").ok());
}

TEST_P(OrderTest, ABundleIsOnTheDiskUnderItsName) {
  const fs::path file = folder_ / "bundle.zip";
  ASSERT_FALSE(WriteZip(file, {{"a.txt", "text", {}}}));
  const auto seen = Events();
  ASSERT_GE(seen.size(), 3u) << testing::PrintToString(seen);
  const std::size_t n = seen.size();
  EXPECT_THAT(seen[n - 3], testing::AllOf(StartsWith("settle "), HasSubstr("bundle.zip.part")));
  EXPECT_THAT(seen[n - 2], testing::EndsWith(" " + file.string()));
  EXPECT_EQ(seen[n - 1], "settle " + folder_.string());
}

}  // namespace
}  // namespace book_test
