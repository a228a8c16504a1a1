#include "app/joint/starting_file.h"

#include <gmock/gmock.h>

#include <filesystem>
#include <nlohmann/json.hpp>
#include <random>

#include "app/joint/joint.h"
#include "app/joint/measure_input.h"
#include "vision/base/file.h"

namespace app::joint {
namespace {

using ::testing::HasSubstr;

TEST(StartingFile, LoadsAndNeedsAChoiceOfCriterion) {
  StartingFileOptions options;
  options.id = "J-1", options.nps = "6", options.schedule = "80";
  EXPECT_THAT(StartingFile(options).error().message, HasSubstr("no default"));
  options.criterion = "MIL-STD-2035A Class 1";
  const auto text = StartingFile(options);
  ASSERT_TRUE(text.ok());
  const auto file =
      std::filesystem::temp_directory_path() / ("starting_" + std::to_string(std::random_device{}()) + ".json");
  ASSERT_FALSE(vision::WriteFileWhole(file, text.value()));
  const auto joint = LoadJoint(file);
  std::filesystem::remove(file);
  ASSERT_TRUE(joint.ok()) << joint.error().message;
  EXPECT_NEAR(joint.value().pipe.inside_diameter.value_mm, 146.36, 1e-9);
  // Nobody entered these, so none is there.
  EXPECT_TRUE(joint.value().cameras.empty());
  EXPECT_TRUE(joint.value().insert.insert_class.empty());
  EXPECT_FALSE(joint.value().insert.width_mm);
  EXPECT_TRUE(joint.value().datum.zero.empty());
  EXPECT_TRUE(joint.value().datum.positive_z.empty());
  const auto input = MeasureInputFor(joint.value(), {"root"});
  ASSERT_FALSE(input.ok());
  EXPECT_THAT(input.error().message, HasSubstr("no lens is known"));
  options.schedule = "81";
  EXPECT_THAT(StartingFile(options).error().message, HasSubstr("is not in the pipe table"));
}

TEST(StartingFile, FramesThatLookBackAreOfTheSameRecording) {
  StartingFileOptions options;
  options.id = "J-1", options.nps = "6", options.schedule = "80", options.criterion = "MIL-STD-2035A Class 1";
  options.frames = {"from_a.jpg"}, options.frames_back = {"from_b.jpg"};
  const auto text = StartingFile(options);
  ASSERT_TRUE(text.ok());
  const auto frames = nlohmann::json::parse(text.value())["recordings"][0]["frames"];
  ASSERT_EQ(frames.size(), 2u);
  EXPECT_EQ(frames[0]["looks"], "+z");
  EXPECT_EQ(frames[1]["file"], "from_b.jpg");
  EXPECT_EQ(frames[1]["looks"], "-z");
  options.looks = "side";
  EXPECT_THAT(StartingFile(options).error().message, HasSubstr("must be +z or -z"));
}

TEST(StartingFile, ExplainsEveryKeyOfTheSchema) {
  const std::string text = ExplainJointFile();
  for (const char* key : {"joint.pipe.nps", "joint.criterion  (must be given)", "cameras[].max_angle_deg",
                          "recordings[].frames[].up_theta_deg", "recordings[].light_section.distance_mm",
                          "recordings[].white.box_px", "rig.cameras[].x_mm"})
    EXPECT_THAT(text, HasSubstr(key));
}

}  // namespace
}  // namespace app::joint
