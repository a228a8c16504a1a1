#include <gmock/gmock.h>

#include <algorithm>
#include <cmath>
#include <stop_token>

#include "fixtures/scene/render.h"
#include "fixtures/scene/scenario.h"
#include "fixtures/scene/truth.h"
#include "vision/base/says.h"
#include "vision/relief/travel.h"

namespace vision::relief {
namespace {

/// A made-up push past a weld with hollow arcs: places and toes as they are, lamps and gloss to be found. Another
/// renderer than the likelihood's: two dimensions, grain, ripples, noise, blur, a display curve.
struct MadePush {
  fixtures::scene::Scenario scenario;
  std::optional<fixtures::scene::Scene> scene;
  std::vector<cv::Mat3b> pictures;
  std::vector<pose::FrameSetting> settings;
  std::vector<TravelLine> lines;
};

const MadePush& ThePush() {
  static const MadePush push = [] {
    MadePush made;
    fixtures::scene::ScenarioOptions options;
    options.kind = "concave", options.seed = 42, options.frames = 6, options.width_px = 960, options.height_px = 720;
    made.scenario = fixtures::scene::MakeScenario(options).value();
    made.scene = fixtures::scene::Scene::Make(made.scenario.scene).value();
    for (const auto& view : made.scenario.views) {
      made.pictures.push_back(made.scene->Render(view).value().bgr);
      made.settings.push_back({view.lens, pose::Facing::kPlusZ, 0, {}, {}});
    }
    for (double theta = 0; theta < 360; theta += 4) {
      const auto section = made.scene->relief().At(theta);
      TravelLine line{theta, section.edge_left(), section.edge_right(), 0.1,
                      0.1,   section.wall_left,   section.wall_right};
      made.lines.push_back(line);
    }
    return made;
  }();
  return push;
}

std::vector<TravelFrame> FramesOf(const MadePush& push) {
  std::vector<TravelFrame> frames;
  for (std::size_t i = 0; i < push.pictures.size(); ++i)
    frames.push_back({&push.pictures[i], &push.settings[i], push.scenario.views[i].bore_from_cam});
  return frames;
}

TravelOptions EveryFourDegrees() {
  TravelOptions options;
  options.line_step_deg = 4;
  return options;
}

/// Height over the chord where the bead is highest, or less than nothing where it is deepest: the maker's closed form.
double TrueMiddle(double theta_deg) {
  const auto& relief = ThePush().scene->relief();
  return fixtures::scene::RiseAcross(relief, relief.At(theta_deg), theta_deg).Middle();
}

double P95(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  return values.empty() ? NAN : values[static_cast<std::size_t>(0.95 * static_cast<double>(values.size() - 1))];
}

TEST(HeightsByTravel, CrownsAndHollowsComeOutAsTheyWereMade) {
  const double radius_mm = ThePush().scenario.scene.radius_mm;
  const auto heights = HeightsByTravel(FramesOf(ThePush()), {radius_mm, 0.02}, ThePush().lines, EveryFourDegrees());
  ASSERT_TRUE(heights.ok()) << heights.error().message;
  std::vector<double> crowned, hollow;
  double inside = 0;
  for (std::size_t i = 0; i < heights.value().lines.size(); ++i) {
    const auto& line = heights.value().lines[i];
    const double truth = TrueMiddle(line.theta_deg);
    const auto& kind = heights.value().classes[i];
    if (std::abs(truth) > 0.45) {
      EXPECT_GT(truth > 0 ? kind.convex : kind.concave, 0.5) << line.theta_deg << " degrees, truly " << truth;
    }
    if (!line.why.empty()) continue;
    EXPECT_TRUE(line.crown == 0 || line.concavity == 0);
    const double off = std::abs(line.crown - line.concavity - truth);
    (truth < -0.2 ? hollow : crowned).push_back(off);
    inside += off <= 2 * line.crown_u;
  }
  const auto stated = static_cast<double>(crowned.size() + hollow.size());
  EXPECT_GT(stated, 0.8 * static_cast<double>(ThePush().lines.size()));
  EXPECT_GE(hollow.size(), 5U) << "no hollow: this tests half";
  EXPECT_LT(P95(crowned), 0.30);
  EXPECT_LT(P95(hollow), 0.30);
  EXPECT_GT(inside / stated, 0.93);
}

TEST(HeightsByTravel, ALineWhoseToesAreNotKnownHasNoneAndSaysSo) {
  auto lines = ThePush().lines;
  for (std::size_t i = 0; i < lines.size(); ++i)
    if (i % 5 != 0) lines[i].toe_right_z = kNotMeasured;
  lines[10].toe_left_u = 2;
  const double radius_mm = ThePush().scenario.scene.radius_mm;
  const auto heights = HeightsByTravel(FramesOf(ThePush()), {radius_mm, 0.02}, lines, EveryFourDegrees());
  ASSERT_TRUE(heights.ok()) << heights.error().message;
  const auto& out = heights.value();
  EXPECT_TRUE(std::isnan(out.lines[1].crown) && std::isnan(out.lines[1].concavity));
  EXPECT_EQ(out.lines[1].why.code, Says::kToeUnknown);
  EXPECT_TRUE(std::isnan(out.classes[1].convex));
  EXPECT_TRUE(std::isnan(out.lines[10].crown));
  EXPECT_EQ(out.lines[10].why.code, Says::kToeTooUnsureForTravel);
  EXPECT_TRUE(std::isnan(out.classes[10].convex)) << "a kind of section needs its toes too";
  EXPECT_TRUE(std::isfinite(out.lines[20].crown) && std::isfinite(out.classes[20].convex));
}

// Each second frame half a millimetre further on than it was: what is predicted lies elsewhere in it.
TEST(HeightsByTravel, FramesThatDoNotLieOnEachOtherTellNothing) {
  auto frames = FramesOf(ThePush());
  for (std::size_t i = 0; i < frames.size(); i += 2) frames[i].pose.translation_mm.z() += 0.5;
  const double radius_mm = ThePush().scenario.scene.radius_mm;
  const auto heights = HeightsByTravel(frames, {radius_mm, 0.02}, ThePush().lines, EveryFourDegrees());
  ASSERT_FALSE(heights.ok());
  EXPECT_THAT(heights.error().message, testing::HasSubstr("do not lie on each other"));
}

TEST(HeightsByTravel, StopsWhenAsked) {
  std::stop_source stop;
  stop.request_stop();
  const bore::Bore bore{ThePush().scenario.scene.radius_mm, 0.02};
  const JobContext job(stop.get_token(), {});
  EXPECT_TRUE(HeightsByTravel(FramesOf(ThePush()), bore, ThePush().lines, EveryFourDegrees(), job).cancelled());
}

}  // namespace
}  // namespace vision::relief
