#include "vision/reading/resolving.h"

#include <gmock/gmock.h>

#include <cmath>
#include <opencv2/imgcodecs.hpp>

#include "fixtures/scene/render.h"
#include "fixtures/scene/scenario.h"
#include "vision/reading/combine.h"
#include "vision/reading/explain.h"
#include "vision/reading/state.h"

namespace vision::reading {
namespace {

using testing::HasSubstr;

unroll::Strip SeenStrip() {
  unroll::Strip strip;
  strip.grid = unroll::StripGrid::Over(77, -20, 20, 0.2);
  const cv::Size size(strip.grid.columns, strip.grid.rows);
  strip.image = cv::Mat3b(size, cv::Vec3b(90, 90, 90));
  strip.valid = cv::Mat1b(size, uchar{255});
  strip.source_frame = cv::Mat1s(size, short{0});
  return strip;
}

/// Two looks, one from each side, that saw both edges fused but for the left one from 95 to 105 degrees.
std::vector<Look> Fused() {
  std::vector<Look> looks(2);
  looks[1].facing = pose::Facing::kMinusZ;
  for (Look& look : looks)
    look.edge = {std::vector<double>(720, 1e-4), std::vector<char>(720, 1), std::vector<double>(720, 1)};
  std::fill_n(looks[0].edge.unfused.begin() + 190, 20, 0.99);
  return looks;
}

Told AllTold() {
  Told told;
  told.lines.resize(720);
  for (ToldLine& line : told.lines) line.toe_z_mm = {Stated<double>::Of(-2.5, 0.1), Stated<double>::Of(2.5, 0.1)};
  return told;
}

Reading ExaminedBy(unroll::Strip& strip, const cv::Mat1f& smallest_mm) {
  Reading reading;
  reading.bore_radius_mm = 77;
  const Unresolved unresolved = UnresolvedIn(strip.grid, smallest_mm, {});
  strip.valid.setTo(0, unresolved.fails);
  State(AllTold(), TellEdges(Fused(), 77, AllTold(), unresolved), {}, reading);
  Explain("zone", unresolved.Zone(12.7), unresolved.why, reading);
  reading.coverage_deg = CoverageOf(strip, reading.profile, 12.7);
  return reading;
}

// A quarter of the circle cannot show the line: there "fused" is never said and the zone is not examined; an edge that
// was seen unfused stays seen.
TEST(Unresolved, WhatCouldNotBeShownIsNotExamined) {
  auto strip = SeenStrip();
  cv::Mat1f line(strip.grid.rows, strip.grid.columns, 0.5F);
  line.colRange(strip.grid.NearestColumn(90), strip.grid.NearestColumn(180)).setTo(0.9F);
  const auto reading = ExaminedBy(strip, line);
  EXPECT_NEAR(reading.coverage_deg.zone, 270, 1);
  EXPECT_NEAR(reading.coverage_deg.right, 270, 1);
  EXPECT_EQ(reading.profile.fusion_left[200], Fusion::kUnfused);
  EXPECT_EQ(reading.profile.fusion_left[222], Fusion::kNotVisible);
  EXPECT_EQ(reading.profile.fusion_left[400], Fusion::kFused);
  std::vector<std::string> whats;
  for (const auto& why : reading.why) {
    if (!why.what.starts_with("fusion") && why.what != "zone") continue;
    whats.push_back(why.what);
    EXPECT_THAT(EnglishOf(why.reason), HasSubstr("could not show a line of 0.80 mm"));
  }
  EXPECT_THAT(whats, testing::Contains("zone"));
  EXPECT_THAT(whats, testing::Contains("fusion_left"));
  EXPECT_NEAR(MedianAtBead(strip.grid, line, 3, 8), 0.5, 1e-6);
}

TEST(MedianAtBead, IsOfTheBeadsRowsAloneAndOfWhatIsKnownThere) {
  const auto strip = SeenStrip();
  cv::Mat1f values(strip.grid.rows, strip.grid.columns, 9.0F);
  values.rowRange(static_cast<int>(strip.grid.Row(-3)), static_cast<int>(strip.grid.Row(3)) + 1).setTo(0.5F);
  values.colRange(0, strip.grid.columns / 2).setTo(std::nanf(""));
  EXPECT_EQ(MedianAtBead(strip.grid, values, 3, 8), 0.5);
  EXPECT_EQ(MedianAtBead(strip.grid, values, 1000, 8), 9.0) << "no farther than the strip";
  values.setTo(std::nanf(""));
  EXPECT_TRUE(std::isnan(MedianAtBead(strip.grid, values, 3, 8)));
}

TEST(Unresolved, NothingIsWithheldWhereAllIsShown) {
  auto strip = SeenStrip();
  const auto reading = ExaminedBy(strip, cv::Mat1f(strip.grid.rows, strip.grid.columns, 0.79F));
  EXPECT_NEAR(reading.coverage_deg.zone, 360, 1e-9);
  EXPECT_NEAR(reading.coverage_deg.left, 360, 1e-9);
  EXPECT_THAT(reading.why, testing::Not(testing::Contains(testing::Field(&Why::what, "zone"))));
}

/// A line 0.8 mm wide along the bore is 0.8 mm * f * R / (R^2 + d^2) pixels for an equidistant lens on the axis
/// (MEASURING: da/dz = R / (R^2 + d^2)), and around it 0.8 mm * f * sin-free: f * a / R a millimetre. By hand for R 77,
/// d 60 and 345 px/rad: 2.788 px and 4.07 px a millimetre: the coarser is along, 0.359 mm a pixel.
TEST(Resolve, FromTheGeometryAloneGivesTheNumberByHand) {
  fixtures::scene::ScenarioOptions bare;
  bare.kind = "bare";
  bare.width_px = 640;
  bare.height_px = 640;
  auto scenario = fixtures::scene::MakeScenario(bare).value();
  scenario.scene.radius_mm = 77;
  auto& view = scenario.views.front();
  view.lens.fx_px = view.lens.fy_px = 345;
  view.bore_from_cam = fixtures::scene::PoseLooking(true, 0, 0, -60, 0, 0, 0);
  const auto file = std::string(ROOTSCROLL_BINARY_DIR) + "/tests/reading/resolve_bare.png";
  const auto frame = fixtures::scene::Scene::Make(scenario.scene).value().Render(view);
  ASSERT_TRUE(frame.ok());
  ASSERT_TRUE(cv::imwrite(file, frame.value().bgr));
  MeasureInput input;
  input.bore = {77, 0.05};
  FrameInput still;
  still.file = file;
  still.lens = view.lens;
  still.up_theta_deg = 0;
  still.known_pose = view.bore_from_cam;
  input.recordings.push_back({"target", "root", {still}, std::nullopt, false});
  const auto resolved = Resolve(input, {}, {});
  ASSERT_TRUE(resolved.ok()) << resolved.error().message;
  const auto& grid = resolved.value().strip.grid;
  const double line = resolved.value().smallest_line_mm(static_cast<int>(std::lround(grid.Row(0))), 100);
  const double blur = resolved.value().sharpness[0].At(320, 320);
  EXPECT_NEAR(line, 0.3587 * resolve::SmallestLinePx(blur), 0.06);
  EXPECT_EQ(resolved.value().how[0], "given in the joint file");
}

TEST(Resolve, WithoutAPoseAndAWeldSaysSo) {
  fixtures::scene::ScenarioOptions bare;
  bare.kind = "bare";
  bare.width_px = 640;
  bare.height_px = 480;
  const auto scenario = fixtures::scene::MakeScenario(bare).value();
  const auto file = std::string(ROOTSCROLL_BINARY_DIR) + "/tests/reading/resolve_none.png";
  const auto frame = fixtures::scene::Scene::Make(scenario.scene).value().Render(scenario.views[0]);
  ASSERT_TRUE(cv::imwrite(file, frame.value().bgr));
  MeasureInput input;
  input.bore = {scenario.scene.radius_mm, 0.05};
  FrameInput still;
  still.file = file;
  still.lens = scenario.views[0].lens;
  still.up_theta_deg = 0;
  input.recordings.push_back({"target", "root", {still}, std::nullopt, false});
  const auto resolved = Resolve(input, {}, {});
  ASSERT_FALSE(resolved.ok());
  EXPECT_THAT(resolved.error().message, HasSubstr("give the frame's pose in the joint file"));
}

}  // namespace
}  // namespace vision::reading
