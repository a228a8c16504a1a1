#include "vision/base/file.h"

#include <gtest/gtest.h>

#include <algorithm>

namespace vision {
namespace {

namespace fs = std::filesystem;

class FileTest : public ::testing::Test {
 protected:
  FileTest() : folder_(fs::path(testing::TempDir()) / testing::UnitTest::GetInstance()->current_test_info()->name()) {
    fs::remove_all(folder_);
    fs::create_directories(folder_);
  }
  std::ptrdiff_t Count() const { return std::distance(fs::directory_iterator(folder_), fs::directory_iterator()); }

  fs::path folder_;
};

TEST_F(FileTest, TheNewBytesTakeThePlaceOfTheOldAndNothingElseIsLeft) {
  for (const Settle settle : {Settle::kNow, Settle::kLater}) {
    ASSERT_FALSE(WriteFileWhole(folder_ / "a", "older and longer", settle));
    ASSERT_FALSE(WriteFileWhole(folder_ / "a", std::string("ne\0w", 4), settle));
    EXPECT_EQ(ReadFileWhole(folder_ / "a").value(), std::string("ne\0w", 4));
    EXPECT_EQ(Count(), 1);
  }
}

// A folder stands where the file should go: the rename fails after the bytes were written.
TEST_F(FileTest, AFailedRenameNamesThePlaceAndLeavesNoPartBehind) {
  fs::create_directories(folder_ / "taken" / "full");
  const auto failed = WriteFileWhole(folder_ / "taken", "bytes");
  ASSERT_TRUE(failed);
  EXPECT_EQ(failed->code, ErrorCode::kIo);
  EXPECT_NE(failed->message.find((folder_ / "taken").string()), std::string::npos) << failed->message;
  EXPECT_EQ(Count(), 1);
  EXPECT_TRUE(fs::exists(folder_ / "taken" / "full"));
}

TEST_F(FileTest, SettlingSaysWhatCannotBeSettled) {
  ASSERT_FALSE(WriteFileWhole(folder_ / "a", "bytes", Settle::kLater));
  EXPECT_FALSE(SettleOnDisk(folder_ / "a"));
  EXPECT_FALSE(SettleOnDisk(folder_));
  EXPECT_EQ(SettleOnDisk(folder_ / "missing"), std::errc::no_such_file_or_directory);
}

TEST_F(FileTest, PicturesAreGivenByNameWhateverTheCaseOfTheirEnding) {
  for (const char* name : {"b.png", "a.JPG", "c.Tiff", "d.bmp", "film.avi", "notes.txt", "jpg"})
    ASSERT_FALSE(WriteFileWhole(folder_ / name, "x", Settle::kLater));
  EXPECT_EQ(PicturesIn(folder_),
            (std::vector<fs::path>{folder_ / "a.JPG", folder_ / "b.png", folder_ / "c.Tiff", folder_ / "d.bmp"}));
  EXPECT_TRUE(PicturesIn(folder_ / "none").empty());
}

}  // namespace
}  // namespace vision
