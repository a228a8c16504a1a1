#include <gmock/gmock.h>

#include <algorithm>
#include <functional>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>

#include "fixtures/scene/render.h"
#include "fixtures/scene/scenario.h"
#include "tests/cli/program.h"

namespace cli_test {
namespace {

using nlohmann::json;
using testing::HasSubstr;
namespace fs = std::filesystem;

/// A joint file made wrong in one way, and what the one sentence about it must name.
struct Wrong {
  std::string name;
  std::function<void(const fs::path& folder, json& joint)> spoil;
  std::string says;
  std::string recording = "root";
};

json& FirstFile(json& joint) { return joint["recordings"][0]["frames"][0]["file"]; }
json& Pipe(json& joint) { return joint["joint"]["pipe"]; }

void SaveFrame(const fs::path& folder, json& joint, const cv::Mat& picture) {
  cv::imwrite((folder / "other.png").string(), picture);
  joint["recordings"][0]["frames"].erase(1);
  FirstFile(joint) = "other.png";
}

const std::vector<Wrong> kWrong{
    {"MissingFile", [](const fs::path&, json& j) { FirstFile(j) = "nowhere.jpg"; }, "nowhere.jpg"},
    {"NotAPicture",
     [](const fs::path& f, json& j) {
       Write(f / "words.jpg", "not a picture\n");
       FirstFile(j) = "words.jpg";
     },
     "words.jpg is not a picture"},
    {"CutShort",
     [](const fs::path& f, json& j) {
       Write(f / "half.jpg", Bytes(f / "from_a.jpg").substr(0, 200000));
       FirstFile(j) = "half.jpg";
     },
     "half.jpg is cut short"},
    {"WrongSize", [](const fs::path& f, json& j) { SaveFrame(f, j, cv::Mat3b(480, 640, cv::Vec3b(90, 90, 90))); },
     "640 x 480 px; the camera in the joint file is 1280 x 960 px"},
    {"VideoCutInItsHeader",
     [](const fs::path& f, json& j) {
       Write(f / "cut.avi", Bytes(f / "push.avi").substr(0, 300));
       j["recordings"][1]["video"] = "cut.avi";
     },
     "cut.avi", "push"},
    {"TextCalledVideo",
     [](const fs::path& f, json& j) {
       Write(f / "text.avi", "only called a video\n");
       j["recordings"][1]["video"] = "text.avi";
     },
     "text.avi is not a video", "push"},
    {"ZeroRadius", [](const fs::path&, json& j) { Pipe(j)["inside_diameter_mm"] = 0; }, "inside_diameter_mm"},
    {"UnknownSchedule",
     [](const fs::path&, json& j) {
       Pipe(j) = {{"nps", "6"}, {"schedule", "41"}};
     },
     "41"},
    {"WrongType", [](const fs::path&, json& j) { Pipe(j)["inside_diameter_mm"] = "154.2"; }, "inside_diameter_mm"},
    {"UnknownKey", [](const fs::path&, json& j) { j["joint"]["colour"] = "grey"; }, "colour"},
    {"EmptyRecording", [](const fs::path&, json& j) { j["recordings"][0]["frames"] = json::array(); }, "frame"},
    {"UnknownRecording", [](const fs::path&, json&) {}, "no recording `cap`", "cap"},
    {"UnknownCriterion", [](const fs::path&, json& j) { j["joint"]["criterion"] = "Class 99"; }, "Class 99"},
};

class Refused : public testing::TestWithParam<std::size_t> {
 protected:
  const Wrong& wrong() const { return kWrong[GetParam()]; }
};

/// One line on standard error: `rootscroll: error: ` and one sentence.
void ExpectOneSentence(const std::string& err, const std::string& says) {
  EXPECT_EQ(std::count(err.begin(), err.end(), '\n'), 1) << err;
  EXPECT_THAT(err, testing::StartsWith("rootscroll: error: "));
  EXPECT_THAT(err, HasSubstr(says));
}

TEST_P(Refused, WithExitTwoOneSentenceAndNothingWritten) {
  const auto folder = DemoCopy(wrong().name);
  auto joint = DemoJoint();
  wrong().spoil(folder, joint);
  Write(folder / "joint.json", joint.dump(1));
  fs::create_directories(folder / "out");
  Write(folder / "out" / "reading.json", "an earlier run's reading");
  const auto outcome = RunProgram(
      {"run", (folder / "joint.json").string(), "--recording", wrong().recording, "--out", (folder / "out").string()});
  EXPECT_EQ(outcome.exit_code, 2) << outcome.out << outcome.err;
  ExpectOneSentence(outcome.err, wrong().says);
  EXPECT_EQ(Bytes(folder / "out" / "reading.json"), "an earlier run's reading");
  EXPECT_EQ(std::distance(fs::directory_iterator(folder / "out"), fs::directory_iterator()), 1);
  fs::remove_all(folder);
}

INSTANTIATE_TEST_SUITE_P(Input, Refused, testing::Range<std::size_t>(0, kWrong.size()),
                         [](const auto& which) { return kWrong[which.param].name; });

TEST(NotAPipe, IsLaidFlatForTheEyeOnlyWithExitThree) {
  const auto folder = DemoCopy("NotAPipe");
  auto joint = DemoJoint();
  SaveFrame(folder, joint, cv::Mat3b(960, 1280, cv::Vec3b(90, 90, 90)));
  Write(folder / "joint.json", joint.dump(1));
  const auto outcome =
      RunProgram({"run", (folder / "joint.json").string(), "--recording", "root", "--out", (folder / "out").string()});
  EXPECT_EQ(outcome.exit_code, 3) << outcome.out << outcome.err;
  const auto reading = json::parse(Bytes(folder / "out" / "reading.json"));
  EXPECT_FALSE(reading["weld_found"].get<bool>());
  EXPECT_THAT(reading["strip"]["eye_only"].get<std::string>(), HasSubstr("other.png"));
  EXPECT_TRUE(fs::exists(folder / "out" / "strip.png"));
  EXPECT_TRUE(fs::exists(folder / "out" / "report.pdf"));
  fs::remove_all(folder);
}

TEST(Wrong, NanIsNotJson) {
  const auto folder = DemoCopy("nan");
  std::string text = DemoJoint().dump(1);
  text.replace(text.find("154.2"), 5, "NaN");
  Write(folder / "joint.json", text);
  const auto outcome = RunProgram(
      {"measure", (folder / "joint.json").string(), "--recording", "root", "--out", (folder / "out").string()});
  EXPECT_EQ(outcome.exit_code, 2);
  ExpectOneSentence(outcome.err, "joint.json");
  EXPECT_FALSE(fs::exists(folder / "out"));
  fs::remove_all(folder);
}

TEST(Wrong, AMissingJointFileAndAReadingThatIsNone) {
  const auto folder = DemoCopy("none");
  auto outcome = RunProgram({"measure", (folder / "no.json").string(), "--recording", "root", "--out", "x"});
  EXPECT_EQ(outcome.exit_code, 2);
  ExpectOneSentence(outcome.err, "no.json");
  Write(folder / "joint.json", DemoJoint().dump(1));
  Write(folder / "reading.json", "{\"format\": \"something else\"}");
  outcome = RunProgram({"judge", folder.string(), "--joint", (folder / "joint.json").string()});
  EXPECT_EQ(outcome.exit_code, 2);
  ExpectOneSentence(outcome.err, "reading.json");
  fs::remove_all(folder);
}

TEST(Wrong, WrongCommandLinesGiveTwo) {
  EXPECT_EQ(RunProgram({}).exit_code, 2);
  EXPECT_EQ(RunProgram({"mesure"}).exit_code, 2);
  EXPECT_EQ(RunProgram({"measure", "joint.json"}).exit_code, 2);
  EXPECT_EQ(RunProgram({"measure", "j.json", "--recording", "r", "--out", "o", "--pitch-mm", "wide"}).exit_code, 2);
  EXPECT_EQ(RunProgram({"--help"}).exit_code, 0);
  EXPECT_EQ(RunProgram({"--version"}).exit_code, 0);
}

TEST(Arc, ARecordingThatIsNoVideoAndOneWithoutAnArc) {
  const auto folder = DemoCopy("arc");
  const auto file = (folder / "joint.json").string();
  Write(file, DemoJoint().dump(1));
  const auto stills = RunProgram({"arc", file, "--recording", "root", "--out", (folder / "out").string()});
  EXPECT_EQ(stills.exit_code, 2);
  ExpectOneSentence(stills.err, "no video recording `root`");
  const auto lamps_only = RunProgram({"arc", file, "--out", (folder / "out").string()});
  EXPECT_EQ(lamps_only.exit_code, 3);
  EXPECT_THAT(lamps_only.err, HasSubstr("no arc found"));  // FFmpeg speaks of the demo's cut JPEG before it
  EXPECT_FALSE(fs::exists(folder / "out"));
  fs::remove_all(folder);
}

TEST(NoWeld, GivesThreeAndNoNumber) {
  fixtures::scene::ScenarioOptions options;
  options.kind = "bare";
  options.seed = 31;
  options.width_px = 720;
  options.height_px = 540;
  const auto scenario = fixtures::scene::MakeScenario(options).value();
  const auto frame = fixtures::scene::Scene::Make(scenario.scene).value().Render(scenario.views[0]).value();
  const auto folder = DemoCopy("bare");
  auto joint = DemoJoint();
  SaveFrame(folder, joint, frame.bgr);
  auto& camera = joint["cameras"][0];
  camera["width"] = 720;
  camera["height"] = 540;
  camera["fx"] = camera["fy"] = scenario.views[0].lens.fx_px;
  camera["cx"] = scenario.views[0].lens.cx_px;
  camera["cy"] = scenario.views[0].lens.cy_px;
  Pipe(joint)["inside_diameter_mm"] = 2 * scenario.scene.radius_mm;
  Write(folder / "joint.json", joint.dump(1));
  const auto outcome = RunProgram(
      {"measure", (folder / "joint.json").string(), "--recording", "root", "--out", (folder / "out").string()});
  EXPECT_EQ(outcome.exit_code, 3) << outcome.out << outcome.err;
  const auto reading = json::parse(Bytes(folder / "out" / "reading.json"));
  EXPECT_FALSE(reading["weld_found"].get<bool>());
  for (const auto& width : reading["profile"]["width_mm"]) ASSERT_TRUE(width.is_null());
  const auto judged = RunProgram({"judge", (folder / "out").string(), "--joint", (folder / "joint.json").string()});
  EXPECT_EQ(judged.exit_code, 3) << judged.out << judged.err;
  fs::remove_all(folder);
}

}  // namespace
}  // namespace cli_test
