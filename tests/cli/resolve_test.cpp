#include <gmock/gmock.h>

#include <cmath>
#include <opencv2/imgcodecs.hpp>

#include "tests/cli/program.h"

namespace cli_test {
namespace {

using nlohmann::json;
using testing::HasSubstr;
namespace fs = std::filesystem;

/// The demo's first still alone, with its pose left to be found.
class Resolve : public testing::Test {
 protected:
  void SetUp() override {
    folder_ = DemoCopy("resolve");
    auto joint = DemoJoint();
    joint["recordings"][0]["frames"].erase(1);
    Write(folder_ / "joint.json", joint.dump(1));
  }
  void TearDown() override { fs::remove_all(folder_); }
  Outcome Run(std::vector<std::string> more) const {
    more.insert(more.begin(), {"smallest-line", (folder_ / "joint.json").string(), "--recording", "root", "--out",
                               (folder_ / "out").string()});
    return RunProgram(more);
  }
  fs::path folder_;
};

TEST_F(Resolve, WritesMapPictureAndWhatItWentBy) {
  const auto run = Run({});
  ASSERT_TRUE(run.exit_code == 0 || run.exit_code == 3) << run.err;
  EXPECT_THAT(run.out, HasSubstr("common practice, no source"));
  EXPECT_THAT(run.out, HasSubstr("supports and never replaces"));
  const auto report = json::parse(Bytes(folder_ / "out" / "smallest_line.json"));
  EXPECT_EQ(report["line_mm"], 0.8);
  EXPECT_EQ(report["zone_worst_mm"].size(), 720u);
  const auto map = cv::imread((folder_ / "out" / "smallest_line_um.png").string(), cv::IMREAD_UNCHANGED);
  ASSERT_EQ(map.type(), CV_16UC1);
  EXPECT_EQ(map.cols, report["map"]["columns"].get<int>());
  // NPS 6 from about 60 mm with 345 px/rad: 0.36 mm a pixel along the wall by hand; 1.0 to 1.5 px for half the
  // contrast.
  const int middle = static_cast<int>(
      std::lround(-report["map"]["z_from_mm"].get<double>() / report["map"]["pitch_mm"].get<double>()));
  EXPECT_GT(map.at<unsigned short>(middle, 100), 200);
  EXPECT_LT(map.at<unsigned short>(middle, 100), 800);
  EXPECT_FALSE(cv::imread((folder_ / "out" / "smallest_line.png").string()).empty());
}

TEST_F(Resolve, AFinerLineIsNotShownAndThatIsExitThree) {
  const auto run = Run({"--line-mm", "0.1"});
  EXPECT_EQ(run.exit_code, 3) << run.err;
  EXPECT_THAT(run.out, HasSubstr("not shown on the weld: 0.0 to 360.0 degrees: not examined"));
  EXPECT_EQ(Run({"--contrast", "1"}).exit_code, 2);
}

}  // namespace
}  // namespace cli_test
