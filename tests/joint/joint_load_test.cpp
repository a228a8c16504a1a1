#include <gmock/gmock.h>
#include <unistd.h>

#include <cmath>
#include <fstream>
#include <nlohmann/json.hpp>

#include "app/joint/criteria.h"
#include "app/joint/joint.h"
#include "app/joint/measure_input.h"
#include "app/joint/mount.h"

namespace app::joint {
namespace {

namespace fs = std::filesystem;
using nlohmann::json;
using ::testing::AllOf;
using ::testing::HasSubstr;

const fs::path kData = fs::path(ROOTSCROLL_SOURCE_DIR) / "tests/joint/data";

json Sample() { return json::parse(std::ifstream(kData / "two_sided.json")); }

class JointFile : public ::testing::Test {
 protected:
  void SetUp() override {
    folder_ = fs::temp_directory_path() / ("joint_" + std::to_string(::getpid()));
    fs::create_directories(folder_);
  }
  void TearDown() override { fs::remove_all(folder_); }
  vision::Result<Joint> LoadText(const std::string& text) {
    std::ofstream(folder_ / "j.json") << text;
    return LoadJoint(folder_ / "j.json");
  }
  vision::Result<Joint> Load(const json& value) { return LoadText(value.dump()); }

  /// Sets one place to a value and returns the message, empty when it loaded.
  std::string Message(const char* pointer, const json& value) {
    json file = Sample();
    file[json::json_pointer(pointer)] = value;
    const auto result = Load(file);
    return result.ok() ? "" : result.error().message;
  }
  std::string MessageWithout(const char* parent, const char* key) {
    json file = Sample();
    file[json::json_pointer(parent)].erase(key);
    const auto result = Load(file);
    return result.ok() ? "" : result.error().message;
  }
  fs::path folder_;
};

TEST(LoadJoint, ReadsTheTwoSidedSample) {
  const auto joint = LoadJoint(kData / "two_sided.json");
  ASSERT_TRUE(joint.ok()) << joint.error().message;
  const Recording& root = joint.value().recordings.at(0);
  ASSERT_EQ(root.frames.size(), 2u);
  EXPECT_EQ(root.frames[1].looks, "-z");
  EXPECT_EQ(root.frames[1].file, kData / "frame_001.jpg");
  EXPECT_DOUBLE_EQ(*root.frames[1].up_theta_deg, 272.7846);
  EXPECT_DOUBLE_EQ(joint.value().pipe.inside_diameter.u_mm, 0.05);
  EXPECT_DOUBLE_EQ(joint.value().pipe.outside_diameter->value_mm, 154.05 + 2 * 7.11);
  EXPECT_DOUBLE_EQ(joint.value().ThinnerWall()->value_mm, 7.11);
  EXPECT_EQ(joint.value().b.name, "fitting end");
  EXPECT_DOUBLE_EQ(*joint.value().insert.width_mm, 4.693);
}

TEST(LoadJoint, ReadsTheLightSectionSample) {
  const auto joint = LoadJoint(kData / "light_section.json");
  ASSERT_TRUE(joint.ok()) << joint.error().message;
  EXPECT_DOUBLE_EQ(*joint.value().recordings.at(0).light_section->distance_mm, 54.322);
}

TEST(LoadJoint, ReadsEverySharedScene) {
  const fs::path scenes = fs::path(ROOTSCROLL_SOURCE_DIR) / "../shared/scenes";
  if (!fs::exists(scenes)) GTEST_SKIP() << "../shared/scenes is not here";
  int count = 0;
  for (const auto& entry : fs::recursive_directory_iterator(scenes)) {
    if (entry.path().filename() != "joint.json") continue;
    const auto joint = LoadJoint(entry.path());
    ASSERT_TRUE(joint.ok()) << joint.error().message;
    EXPECT_TRUE(LoadCriteria(joint.value().criterion, entry.path().parent_path()).ok());
    for (const FrameEntry& frame : joint.value().recordings.at(0).frames) EXPECT_TRUE(fs::exists(frame.file));
    ++count;
  }
  EXPECT_GE(count, 10);
}

TEST_F(JointFile, ReadsEverythingTheContractLists) {
  json file = Sample();
  file["joint"]["pipe"] = {{"nps", "6"}, {"schedule", "80"}, {"inside_diameter_mm", 148.0}, {"source", "bore gauge"}};
  file["joint"]["pieces"]["b"] = {
      {"name", "valve"}, {"heat", "H1"}, {"wall_mm", 9.0}, {"wall_u_mm", 0.1}, {"source", "UT"}};
  file["joint"]["flow"] = "a to b";
  file["joint"]["camera_entered_from"] = "b";
  file["joint"]["insert"]["width_u_mm"] = 0.1;
  file["joint"]["datum"]["evidence"] = "photo of the stamped zero";
  file["joint"]["outside_cap_height_mm"] = 1.5;
  file["joint"]["minimum_wall_mm"] = 7.7;
  file["cameras"][0]["mask"] = "mask.png";
  file["cameras"][0]["calibration"] = {{"date", "2026-03-02"},
                                       {"target", "chessboard"},
                                       {"lens_serial", "L7"},
                                       {"scale_before", {{"known_mm", 10.0}, {"measured_mm", 10.02}}}};
  json& frame = file["recordings"][0]["frames"][0];
  frame["travel_mm"] = 12.0;
  frame["pose"] = {{"offset_x_mm", 1.0}, {"offset_y_mm", -2.0}, {"z_mm", -60.0}, {"pitch_deg", 1.0}};
  frame["toe_points"] = {{1, 2}, {3, 4}, {5, 6}, {7, 8}, {9, 10}, {11, 12}};
  frame.erase("up_theta_deg");
  file["recordings"].push_back({{"id", "clip"},
                                {"stage", "after blend 1"},
                                {"operator", "second shift"},
                                {"video", "clip.avi"},
                                {"up_theta_deg", 90.0}});
  file["rig"] = {
      {"cameras", {{{"camera", "head"}, {"x_mm", 0}, {"y_mm", 1}, {"z_mm", 2}, {"rotation_deg", {0, 90, 0}}}}}};
  const auto loaded = Load(file);
  ASSERT_TRUE(loaded.ok()) << loaded.error().message;
  const Joint& joint = loaded.value();
  EXPECT_DOUBLE_EQ(joint.pipe.inside_diameter.value_mm, 148.0);  // Counterbored: larger than the nominal 146.36.
  EXPECT_DOUBLE_EQ(joint.pipe.inside_diameter.u_mm, 0.05);
  EXPECT_DOUBLE_EQ(joint.pipe.wall->value_mm, 10.97);
  EXPECT_DOUBLE_EQ(joint.ThinnerWall()->value_mm, 9.0);
  EXPECT_EQ(*joint.b.heat, "H1");
  EXPECT_DOUBLE_EQ(*joint.outside_cap_height_mm, 1.5);
  EXPECT_EQ(*joint.cameras[0].mask, folder_ / "mask.png");
  EXPECT_DOUBLE_EQ(joint.cameras[0].calibration->scale_before->measured_mm, 10.02);
  EXPECT_EQ(joint.recordings[0].frames[0].toe_points.size(), 6u);
  EXPECT_DOUBLE_EQ(joint.recordings[0].frames[0].pose->z_mm, -60);
  EXPECT_FALSE(joint.recordings[0].frames[0].up_theta_deg);
  EXPECT_EQ(*joint.recordings[1].video, folder_ / "clip.avi");
  EXPECT_EQ(joint.recordings[1].video_defaults.camera, "head");
  EXPECT_DOUBLE_EQ(*joint.recordings[1].video_defaults.up_theta_deg, 90);
  EXPECT_DOUBLE_EQ(joint.rig.at(0).rotation_deg.at(1), 90);
}

TEST_F(JointFile, FramesOfAShotStandOnTheRig) {
  json file = Sample();
  file["rig"] = {
      {"cameras", {{{"camera", "head"}, {"x_mm", 0}, {"y_mm", 1}, {"z_mm", 2}, {"rotation_deg", {0, 90, 0}}}}}};
  file["recordings"][0]["frames"][0]["shot"] = 3;
  const auto joint = Load(file);
  ASSERT_TRUE(joint.ok()) << joint.error().message;
  const auto input = MeasureInputFor(joint.value(), {joint.value().recordings[0].id});
  ASSERT_TRUE(input.ok()) << input.error().message;
  const auto& frame = input.value().recordings[0].frames[0];
  EXPECT_EQ(frame.shot, 3);
  ASSERT_TRUE(frame.head_from_cam);
  EXPECT_NEAR(frame.head_from_cam->translation_mm.z(), 2, 1e-12);
  EXPECT_NEAR(frame.head_from_cam->rotation(0, 2), 1, 1e-12);  // the camera's forward is the head's x
  file.erase("rig");
  EXPECT_THAT(Load(file).error().message, HasSubstr("has no place in rig"));
}

TEST_F(JointFile, NamesAWhiteTargetWhoseBalanceWasFixed) {
  json file = Sample();
  file["recordings"][0]["white"] = {{"file", "white.png"}, {"box_px", {40, 30, 20, 10}}, {"balance", "fixed"}};
  const auto joint = Load(file);
  ASSERT_TRUE(joint.ok()) << joint.error().message;
  ASSERT_TRUE(joint.value().recordings[0].white);
  EXPECT_EQ(joint.value().recordings[0].white->file, folder_ / "white.png");
  EXPECT_EQ(joint.value().recordings[0].white->box_px, (std::vector<int>{40, 30, 20, 10}));
  const auto input = MeasureInputFor(joint.value(), {joint.value().recordings[0].id});
  ASSERT_TRUE(input.ok()) << input.error().message;
  EXPECT_EQ(input.value().recordings[0].white->box_px, cv::Rect(40, 30, 20, 10));
  EXPECT_THAT(Message("/recordings/0/white", {{"file", "white.png"}, {"balance", "automatic"}}), HasSubstr("balance"));
  EXPECT_THAT(Message("/recordings/0/white", {{"file", "white.png"}}), HasSubstr("balance"));
}

TEST_F(JointFile, GivesTheBoreFromOutsideDiameterAndWall) {
  json file = Sample();
  file["joint"]["pipe"] = {
      {"outside_diameter_mm", 168.3}, {"outside_diameter_u_mm", 0.3}, {"wall_mm", 7.11}, {"wall_u_mm", 0.2}};
  const auto joint = Load(file);
  ASSERT_TRUE(joint.ok()) << joint.error().message;
  EXPECT_NEAR(joint.value().pipe.inside_diameter.value_mm, 154.08, 1e-9);
  EXPECT_NEAR(joint.value().pipe.inside_diameter.u_mm, std::sqrt(0.09 + 4 * 0.04), 1e-12);
}

TEST_F(JointFile, NamesFilePathAndWhatIsRightForAValueThatIsWrong) {
  const struct {
    const char* pointer;
    json value;
    const char* says;
  } rows[] = {
      {"/cameras/0/fx", "wide", "/cameras/0/fx is \"wide\"; it must be a number > 0"},
      {"/cameras/0/focal", 3, "/cameras/0/focal is not a known key; known here are calibration, cx"},
      {"/joint/pipe/inside_diameter_mm", 0, "/joint/pipe/inside_diameter_mm is 0; it must be a number > 0"},
      {"/joint/pipe/inside_diameter_mm", 1, "it must be 5 to 10000 mm"},
      {"/joint/pieces/a", 7, "/joint/pieces/a is 7; it must be text or an object"},
      {"/joint/pieces/a", json::object({{"nam", "x"}}), "/joint/pieces/a/nam is not a known key"},
      {"/joint/pipe", json::object({{"nps", "6"}, {"schedule", "81"}}), "schedule \"81\" is not in the pipe table"},
      {"/joint/pipe", json::object({{"nps", "6"}}), "/joint/pipe has nps without schedule"},
      {"/joint/pipe", json::object({{"wall_mm", 6}}), "/joint/pipe does not give the bore"},
      {"/joint/pipe", json::object({{"inside_diameter_mm", 99}}), "without its source"},
      {"/joint/pipe", json::object({{"inside_diameter_mm", 99}, {"source", "hearsay"}}), "add inside_diameter_u_mm"},
      {"/joint/pipe", json::object({{"outside_diameter_mm", 20}, {"wall_mm", 10}}), "less than half"},
      {"/recordings/0/frames", json::array(), "/recordings/0/frames is an empty list; it must be a list of at least 1"},
      {"/recordings/0/frames/0/camera", "tail", "/recordings/0/frames/0/camera is \"tail\"; it must be one of head"},
      {"/recordings/0/frames/0/looks", "up", "/recordings/0/frames/0/looks is \"up\"; it must be \"+z\" or \"-z\""},
      {"/recordings/0/video", "a.avi", "/recordings/0 has frames and video"},
      {"/recordings/0/frames/0/toe_points", json::array({{1, 2}}), "at least 6"},
      {"/format", "rootscroll.joint/2", "/format is \"rootscroll.joint/2\"; it must be \"rootscroll.joint/1\""},
      {"/cameras/0/model", "wide", "\"equidistant\" or \"kannala_brandt\""},
      {"/cameras/0/model", "omni", "without xi"}};
  for (const auto& row : rows)
    EXPECT_THAT(Message(row.pointer, row.value), AllOf(HasSubstr("j.json: "), HasSubstr(row.says))) << row.pointer;
}

TEST_F(JointFile, HasNoDefaultCriterion) {
  EXPECT_THAT(MessageWithout("/joint", "criterion"),
              AllOf(HasSubstr("/joint/criterion is missing"), HasSubstr("no default")));
}

TEST_F(JointFile, RefusesARecordingWithNothingInIt) {
  EXPECT_THAT(MessageWithout("/recordings/0", "frames"), HasSubstr("/recordings/0 is empty; give frames"));
}

TEST_F(JointFile, RefusesDuplicateIds) {
  json cameras = Sample(), recordings = Sample();
  cameras["cameras"].push_back(cameras["cameras"][0]);
  recordings["recordings"].push_back(recordings["recordings"][0]);
  EXPECT_THAT(Load(cameras).error().message, HasSubstr("/cameras/1/id \"head\" is used twice"));
  EXPECT_THAT(Load(recordings).error().message, HasSubstr("/recordings/1/id \"root\" is used twice"));
}

TEST_F(JointFile, RefusesWhatIsNoNumber) {
  std::string text = Sample().dump();
  const std::string good = "\"inside_diameter_u_mm\":0.05";
  ASSERT_NE(text.find(good), std::string::npos);
  for (const char* bad : {"NaN", "Infinity", "-Infinity", "1e999"}) {
    std::string broken = text;
    broken.replace(broken.find(good), good.size(), std::string("\"inside_diameter_u_mm\":") + bad);
    EXPECT_THAT(LoadText(broken).error().message, HasSubstr("must be finite")) << bad;
  }
}

TEST_F(JointFile, RefusesBrokenText) {
  EXPECT_THAT(LoadText("{\n \"format\": \"x\",,}").error().message, HasSubstr("not JSON at line 2, column 16"));
  EXPECT_THAT(LoadText("{\"format\": 1, \"format\": 2}").error().message, HasSubstr("\"format\" is given twice"));
  EXPECT_THAT(LoadText("").error().message, HasSubstr("not JSON at line 1"));
  EXPECT_THAT(LoadText("[]").error().message, HasSubstr("the whole file is an empty list; it must be an object"));
  EXPECT_THAT(LoadJoint(folder_ / "none.json").error().message, HasSubstr("No file"));
  EXPECT_EQ(LoadJoint(folder_ / "none.json").error().code, vision::ErrorCode::kBadInput);
}

TEST_F(JointFile, APinholeCameraNeedsNoMaxAngle) {
  json file = Sample();
  auto& camera = file["cameras"][0];
  camera.erase("max_angle_deg");
  EXPECT_THAT(Load(file).error().message, AllOf(HasSubstr("cameras"), HasSubstr("max_angle_deg")));
  camera["model"] = "pinhole";
  camera["distortion"] = json::array();
  const auto loaded = Load(file);
  ASSERT_TRUE(loaded.ok()) << loaded.error().message;
  const auto& lens = loaded.value().cameras[0].lens;
  const double right_px = std::max(lens.cx_px, lens.width_px - 1 - lens.cx_px),
               below_px = std::max(lens.cy_px, lens.height_px - 1 - lens.cy_px);
  EXPECT_NEAR(lens.max_angle_deg, std::atan(std::hypot(right_px / lens.fx_px, below_px / lens.fy_px)) * 180 / M_PI,
              1e-4);
}

TEST_F(JointFile, TheMountReachesEveryFrameAndNonsenseIsNamed) {
  json file = Sample();
  file["recordings"][0]["mount"] = {{"centred_u_mm", 1.5}, {"distance_mm", 60}, {"distance_u_mm", 4}};
  const auto joint = Load(file);
  ASSERT_TRUE(joint.ok()) << joint.error().message;
  const auto input = MeasureInputFor(joint.value(), {joint.value().recordings[0].id});
  ASSERT_TRUE(input.ok());
  for (const auto& frame : input.value().recordings[0].frames) {
    EXPECT_EQ(frame.mount.centred_u_mm, 1.5);
    EXPECT_EQ(frame.mount.distance_mm, 60);
    EXPECT_EQ(frame.mount.distance_u_mm, 4);
    EXPECT_FALSE(frame.mount.tilt_u_deg.has_value());
  }
  file["recordings"][0]["mount"] = {{"centred_u_mm", 0}};
  EXPECT_THAT(Load(file).error().message, HasSubstr("centred_u_mm"));
  file["recordings"][0]["mount"] = json::object();
  EXPECT_THAT(Load(file).error().message, HasSubstr("mount"));
}

TEST(MountFromText, ReadsItsPartsInAnyOrderAndNamesWhatIsWrong) {
  const auto mount = MountFromText("distance=60,5" + std::string(",tilt=3"));
  EXPECT_FALSE(mount.ok()) << "a comma parts the words";
  const auto right = MountFromText("tilt=3,distance=60.5,distance-u=8");
  ASSERT_TRUE(right.ok()) << right.error().message;
  EXPECT_EQ(right.value().tilt_u_deg, 3);
  EXPECT_EQ(right.value().distance_mm, 60.5);
  EXPECT_EQ(right.value().distance_u_mm, 8);
  EXPECT_FALSE(right.value().centred_u_mm.has_value());
  for (const char* wrong : {"", "lean=3", "tilt", "tilt=x", "tilt=0", "tilt=-2", "distance-u=3"}) {
    const auto refused = MountFromText(wrong);
    ASSERT_FALSE(refused.ok()) << wrong;
    EXPECT_THAT(refused.error().message, HasSubstr("--mount")) << wrong;
  }
}

}  // namespace
}  // namespace app::joint
