#include "app/cameras/library.h"

#include <gmock/gmock.h>

#include <filesystem>
#include <fstream>

namespace cameras_test {
namespace {

namespace fs = std::filesystem;
using testing::HasSubstr;

std::string Block(const std::string& id, const std::string& date) {
  return R"({"id": ")" + id + R"(", "model": "pinhole", "width": 640, "height": 480, "fx": 500, "fy": 500, "cx": 320,
 "cy": 240, "distortion": [], "calibration": {"date": ")" +
         date + R"(", "target": "a board"}})";
}

class Library : public testing::Test {
 protected:
  void SetUp() override { fs::remove_all(folder_); }
  void TearDown() override { fs::remove_all(folder_); }
  fs::path folder_ = fs::path(testing::TempDir()) / ("rootscroll_cameras_" + std::to_string(::getpid()));
};

TEST_F(Library, KeepsCamerasAndListsTheNewestCalibrationFirst) {
  EXPECT_TRUE(app::cameras::CamerasIn(folder_).empty());
  ASSERT_TRUE(app::cameras::Keep(Block("head", "2026-01-31"), folder_).ok());
  ASSERT_TRUE(app::cameras::Keep(Block("head", "2026-03-01"), folder_).ok());
  ASSERT_TRUE(app::cameras::Keep(Block("boom", "2026-02-01"), folder_).ok());
  const auto cameras = app::cameras::CamerasIn(folder_);
  ASSERT_EQ(cameras.size(), 3u);
  EXPECT_EQ(cameras[0].id, "boom");
  EXPECT_EQ(cameras[1].date, "2026-03-01");
  EXPECT_EQ(cameras[2].date, "2026-01-31");
  EXPECT_EQ(cameras[1].width_px, 640);
}

TEST_F(Library, NeverReplacesACameraAndRefusesWhatIsNone) {
  ASSERT_TRUE(app::cameras::Keep(Block("head", "2026-01-31"), folder_).ok());
  const auto again = app::cameras::Keep(Block("head", "2026-01-31"), folder_);
  ASSERT_FALSE(again.ok());
  EXPECT_THAT(again.error().message, HasSubstr("exists already"));
  EXPECT_FALSE(app::cameras::Keep("{}", folder_).ok());
  EXPECT_FALSE(app::cameras::Keep("no json", folder_).ok());
  std::ofstream(folder_ / "junk.json") << "{";
  EXPECT_EQ(app::cameras::CamerasIn(folder_).size(), 1u) << "what cannot be read is passed over";
}

}  // namespace
}  // namespace cameras_test
