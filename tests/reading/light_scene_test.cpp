#include <gmock/gmock.h>

#include <algorithm>
#include <cmath>
#include <opencv2/imgcodecs.hpp>

#include "fixtures/scene/render.h"
#include "fixtures/scene/scenario.h"
#include "tests/recording/temporary_folder.h"
#include "vision/reading/light_look.h"
#include "vision/relief/light.h"
#include "vision/relief/section.h"

namespace vision::reading {
namespace {

/// A made-up weld swept by a plane of light, with the surface it was made of. Rendered once a program.
struct Sweep {
  fixtures::scene::Scenario scenario;
  std::optional<fixtures::scene::Scene> scene;
  std::vector<cv::Mat3b> pictures;
};

const Sweep& TheSweep() {
  static const Sweep sweep = [] {
    Sweep made;
    fixtures::scene::ScenarioOptions options;
    options.kind = "light_section", options.seed = 11, options.frames = 13;
    made.scenario = fixtures::scene::MakeScenario(options).value();
    made.scene = fixtures::scene::Scene::Make(made.scenario.scene).value();
    for (const auto& view : made.scenario.views) made.pictures.push_back(made.scene->Render(view).value().bgr);
    return made;
  }();
  return sweep;
}

bore::Bore BoreOf(const Sweep& sweep) { return {sweep.scenario.scene.radius_mm, 0.02}; }

std::vector<relief::LightFrame> FramesOf(const Sweep& sweep) {
  std::vector<relief::LightFrame> frames;
  for (std::size_t i = 0; i < sweep.pictures.size(); ++i) {
    const auto& view = sweep.scenario.views[i];
    relief::LightFrame frame;
    frame.image = sweep.pictures[i];
    frame.setting.lens = view.lens;
    frame.setting.up_theta_deg = fixtures::scene::UpThetaDeg(view.bore_from_cam);
    frame.name = "frame " + std::to_string(i);
    frames.push_back(frame);
  }
  return frames;
}

/// Four frames that show nothing.
std::vector<relief::LightFrame> GreyFrames() {
  relief::LightFrame frame;
  frame.setting.lens = fixtures::scene::TypicalLens("equidistant", 640, 480).value();
  frame.image = cv::Mat3b(480, 640, cv::Vec3b(90, 90, 90));
  return std::vector<relief::LightFrame>(4, frame);
}

/// Greatest height of the smooth surface over the line between the walls: the maker's own closed form.
double TrueCrown(const fixtures::scene::Relief& relief, double theta_deg) {
  const auto section = relief.At(theta_deg);
  double crown = 0;
  for (double z = section.toe_left; z <= section.toe_right; z += 0.05)
    crown = std::max(crown, relief.SmoothHeight(section, z) - relief.Chord(section, z));
  return crown;
}

/// Share of the lines with a crown, and 95 % of the errors; inside 2u.
struct Against {
  double stated = 0, p95_mm = 0, inside = 0;
};

Against Truth(const std::vector<relief::SectionLine>& lines, const fixtures::scene::Relief& relief) {
  std::vector<double> off;
  double inside = 0;
  for (const auto& line : lines) {
    if (!std::isfinite(line.crown)) continue;
    off.push_back(std::abs(line.crown - TrueCrown(relief, line.theta_deg)));
    inside += off.back() <= 2 * line.crown_u;
  }
  if (off.empty()) return {};
  std::sort(off.begin(), off.end());
  const auto n = static_cast<double>(off.size());
  return {n / static_cast<double>(lines.size()), off[static_cast<std::size_t>(0.95 * (n - 1))], inside / n};
}

TEST(ReliefByLight, ASweepGivesTheCrownItWasMadeWith) {
  relief::LightPlane plane;
  plane.distance_mm = TheSweep().scenario.views.front().light_section->distance_mm;
  const auto section = relief::ReliefByLight(FramesOf(TheSweep()), BoreOf(TheSweep()), plane);
  ASSERT_TRUE(section.ok()) << section.error().message;
  const auto& light = section.value();
  EXPECT_GE(light.used.size(), 10U);
  EXPECT_NEAR(light.plane.distance_mm, TheSweep().scenario.views.front().light_section->distance_mm, 0.3);
  EXPECT_GT(light.drawing_residual_px, 0.01);
  EXPECT_LT(light.drawing_residual_px, 0.6);
  const auto& made = TheSweep().scene->relief();
  const double shift = light.poses.front().translation_mm.z() -
                       TheSweep().scenario.views[light.used.front()].bore_from_cam.translation_mm.z();
  EXPECT_LT(std::abs(shift), 3) << "the rough stretch's middle is not near the weld's";
  relief::ToeHints toes;  // a picture's part in the reading, here the maker's own
  for (int column = 0; column < light.relief.grid.columns; ++column) {
    const auto section_at = made.At(light.relief.grid.ThetaDeg(column));
    toes.left_z_mm.push_back(section_at.toe_left + shift);
    toes.right_z_mm.push_back(section_at.toe_right + shift);
  }
  toes.left_u_mm = toes.right_u_mm = std::vector<double>(toes.left_z_mm.size(), 0.2);
  const auto lines = relief::SectionOf(light.relief, {}, toes);
  ASSERT_TRUE(lines.ok());
  const Against truth = Truth(lines.value(), made);
  EXPECT_GT(truth.stated, 0.8) << EnglishOf(lines.value()[90].why);
  EXPECT_LT(truth.p95_mm, 0.15);
  EXPECT_GT(truth.inside, 0.93);
}

TEST(ReliefByLight, WithoutAPlaneOfLightItSaysWhyThereIsNoHeight) {
  const auto section = relief::ReliefByLight(GreyFrames(), {51, 0.02}, {});
  ASSERT_FALSE(section.ok());
  EXPECT_EQ(section.error().code, ErrorCode::kNotFound);
  EXPECT_THAT(section.error().message, testing::HasSubstr("ring of light"));
}

TEST(ReliefByLight, BadInputIsNamed) {
  relief::LightOptions options;
  options.pitch_mm = 2;
  const auto section = relief::ReliefByLight(GreyFrames(), {51, 0.02}, {}, options);
  ASSERT_FALSE(section.ok());
  EXPECT_THAT(section.error().message, testing::HasSubstr("LightOptions::pitch_mm"));
  const auto no_bore = relief::ReliefByLight(GreyFrames(), {}, {});
  ASSERT_FALSE(no_bore.ok());
  EXPECT_THAT(no_bore.error().message, testing::HasSubstr("radius"));
}

class ALightLook : public recording::TemporaryFolder {
 protected:
  /// The sweep as stills in the test's own folder.
  MeasureInput Input() const;
};

MeasureInput ALightLook::Input() const {
  const Sweep& sweep = TheSweep();
  MeasureInput input;
  input.bore = BoreOf(sweep);
  RecordingInput recording{"light", "root", {}, std::nullopt};
  recording.light_section = true;
  for (std::size_t i = 0; i < sweep.pictures.size(); ++i) {
    FrameInput frame;
    frame.file = folder_ / ("light" + std::to_string(100 + i) + ".png");
    cv::imwrite(frame.file.string(), sweep.pictures[i]);
    frame.lens = sweep.scenario.views[i].lens;
    frame.up_theta_deg = fixtures::scene::UpThetaDeg(sweep.scenario.views[i].bore_from_cam);
    recording.frames.push_back(frame);
  }
  input.recordings.push_back(recording);
  return input;
}

TEST_F(ALightLook, HasThePoseOfEveryFrameAndAPictureWithoutTheStripe) {
  const Sweep& sweep = TheSweep();
  const MeasureInput input = Input();
  RecordingInput recording = input.recordings.front();
  const auto look = TakeLightLook(recording, input, {}, {});
  ASSERT_TRUE(look.ok()) << look.error().message;
  ASSERT_EQ(look.value().poses.size(), look.value().section.used.size());
  double shift = 0;  // the weld's middle against the maker's z = 0, the same in every frame
  for (std::size_t k = 0; k < look.value().poses.size(); ++k) {
    const auto& want = sweep.scenario.views[look.value().section.used[k]].bore_from_cam.translation_mm;
    const auto& got = look.value().section.poses[k].translation_mm;
    if (k == 0) shift = got.z() - want.z();
    EXPECT_NEAR(got.z() - want.z(), shift, 0.2) << k;
    EXPECT_LT((got - want).head<2>().norm(), 0.6) << k;
  }
  EXPECT_LT(std::abs(shift), 0.6);
  recording.video = folder_ / "sweep.avi";
  const auto film = TakeLightLook(recording, input, {}, {});
  ASSERT_FALSE(film.ok());
  EXPECT_THAT(film.error().message, testing::HasSubstr("still frames"));
}

TEST_F(ALightLook, OfACameraThatLeansTooFarGivesToesAndPosesButNoHeight) {
  const auto count = [](const std::vector<double>& values) {
    return std::count_if(values.begin(), values.end(), [](double v) { return std::isfinite(v); });
  };
  MeasureInput input = Input();
  relief::LightPlane plane;
  plane.distance_mm = TheSweep().scenario.views.front().light_section->distance_mm;
  input.recordings.front().light_plane = plane;
  for (const double most_deg : {45.0, 0.01}) {
    MeasureOptions options;
    options.most_lean_for_heights_deg = most_deg;
    const auto measured = Measure(input, options);
    ASSERT_TRUE(measured.ok()) << measured.error().message;
    const Reading& reading = measured.value().reading;
    EXPECT_GT(reading.poses.size(), 9U);
    EXPECT_GT(count(reading.profile.width_mm), 360);
    const bool told = most_deg > 1;
    EXPECT_EQ(reading.height_by.has_value(), told);
    EXPECT_EQ(count(reading.profile.crown_height_mm) > 360, told);
    EXPECT_EQ(count(reading.profile.misalignment_mm) > 360, told);
    if (!told) {
      EXPECT_THAT(EnglishOf(reading.notes), testing::HasSubstr("gave no heights: the camera leans by"));
    }
  }
}

}  // namespace
}  // namespace vision::reading
