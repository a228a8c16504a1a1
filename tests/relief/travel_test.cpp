#include "vision/relief/travel.h"

#include <gmock/gmock.h>

#include <Eigen/Geometry>
#include <cmath>
#include <numbers>
#include <random>

#include "vision/bore/angle.h"
#include "vision/relief/travel_fit.h"
#include "vision/relief/travel_posterior.h"
#include "vision/relief/travel_wall.h"

namespace vision::relief {
namespace {

constexpr double kPi = std::numbers::pi;

bore::BoreFromCam CameraAt(double z_mm, bool forward = true) {
  bore::BoreFromCam pose;
  if (!forward) pose.rotation = Eigen::AngleAxisd(kPi, Eigen::Vector3d::UnitY()).toRotationMatrix();
  pose.translation_mm << 1, -2, z_mm;
  return pose;
}

/// Lamps in the lens itself, that shine alike everywhere.
Stand InTheLens(double z_mm) { return StandOf(CameraAt(z_mm), {1e-6, 0, 0, 0}, 0.5, 1); }

// Lambert: a matt place turned by 60 degrees, 50 mm away, under eight lamps: 8 cos 60 / (pi 50^2).
TEST(ShadeAt, MattGoesWithTheCosineAndTheSquareOfTheDistance) {
  const Stand stand = InTheLens(0);
  const Eigen::Vector3d out(0.6, 0, 0.8), at = stand.eye + 50 * out;
  const Eigen::Vector3d normal = Eigen::AngleAxisd(kPi / 3, Eigen::Vector3d::UnitY()) * -out;
  EXPECT_NEAR(ShadeAt(at, normal, stand, {0, 0.2}, 0, 0) / (8 * 0.5 / (kPi * 2500)), 1, 1e-6);
}

// Walter et al., EGSR 2007, eq. 20, 33, 34: with light, view and normal together f = D G / 4, D = 1 / (pi a^2), G = 1.
TEST(ShadeAt, GlossSeenHeadOnIsThePeakOfGgx) {
  const Stand stand = InTheLens(0);
  for (const double a : {0.1, 0.3, 0.8}) {
    const double shine = ShadeAt(stand.eye + Eigen::Vector3d(0, 0, 40), {0, 0, -1}, stand, {1, a}, 0, 0);
    EXPECT_NEAR(shine / (8 / (4 * kPi * a * a) / 1600), 1, 1e-6) << a;
  }
}

/// A camera that looks the other way at a mirrored place sees the same.
TEST(StandOf, ACameraThatLooksAlongMinusZIsMirrored) {
  const LampRing ring{9, -1.5, 35, 2};
  const Stand plus = StandOf(CameraAt(-40), ring, 0.5, 1), minus = StandOf(CameraAt(40, false), ring, 0.5, -1);
  EXPECT_NEAR((plus.eye - minus.eye).norm(), 0, 1e-9);
  const Eigen::Vector3d at(20, 45, 3), normal = Eigen::Vector3d(-0.4, -0.9, -0.2).normalized();
  EXPECT_NEAR(ShadeAt(at, normal, plus, {0.5, 0.2}, 2, 0.03) / ShadeAt(at, normal, minus, {0.5, 0.2}, 2, 0.03), 1,
              1e-6);
}

constexpr double kRadius_mm = 51;

/// One line of a made-up push: five frames, a matt wall, a glossy bead of the given shape whose light is the model's
/// own, so that only the noise differs.
struct MadeLine {
  Samples samples;
  Scenery scenery;
  TravelOptions options;
};

MadeLine Prepared() {
  MadeLine made;
  made.options.temper = 1;  // the noise below is every sample's own
  made.options.noise_share = 0.25, made.options.noise_floor = 0.08;
  made.samples.radius_mm = kRadius_mm;
  LineSamples line;
  line.theta_deg = 30, line.toe_near = -2.5, line.toe_far = 2.5;
  for (double s = -5.7; s < 6.7; s += made.options.sample_mm) line.along_mm.push_back(s);
  for (const double z : {-75.0, -60.0, -45.0, -32.0, -22.0}) {
    made.samples.poses.push_back(CameraAt(z));
    made.samples.distance_mm.push_back(-z);
    made.samples.px_per_mm.push_back(4);
    made.scenery.stands.push_back(StandOf(CameraAt(z), {9, -1.5, 35, 2}, 0.5, 1));
    made.scenery.blur_mm.push_back(0.2);
    line.light.emplace_back(line.along_mm.size(), 1.F);
    line.clipped.emplace_back(line.along_mm.size(), static_cast<unsigned char>(0));
  }
  made.scenery.wall = {0.3, 0.3}, made.scenery.bead = {0.5, 0.2};
  made.scenery.ambient = 0.03;
  made.scenery.albedo = 4000;  // the light is then about 1
  made.scenery.gain.assign(1, std::vector<double>(5, 1));
  made.samples.lines.push_back(line);
  made.samples.asked.push_back(0);
  return made;
}

/// Light as the model has it at the usual albedo, times a drawing that every place keeps through all frames.
void Paint(const Shape& shape, MadeLine& made) {
  auto& line = made.samples.lines.front();
  for (auto& light : line.light) std::fill(light.begin(), light.end(), std::numeric_limits<float>::quiet_NaN());
  for (auto& light : line.light) std::fill(light.begin(), light.end(), 1e-3F);
  LineTask task = MakeTask(made.samples, 0, made.scenery, made.options);
  for (auto& weight : task.weight) std::fill(weight.begin(), weight.end(), 1e-9F);  // the prior alone: usual albedo
  std::vector<std::vector<float>> shown(5, std::vector<float>(line.along_mm.size(), 0.F));
  CostOf(task, HeightsOf(task, shape), &shown);
  line.light = shown;
}

void AddNoise(unsigned seed, MadeLine& made) {
  std::mt19937 random(seed);
  std::normal_distribution<double> normal;
  for (auto& light : made.samples.lines.front().light)
    for (float& v : light)
      v += static_cast<float>(std::hypot(made.options.noise_share * static_cast<double>(v), made.options.noise_floor) *
                              normal(random));
}

class MadeShape : public testing::TestWithParam<double> {};

// JCGM 101: the spread of what is found on made-up lines against what the posterior says of each.
TEST_P(MadeShape, IsFoundAndItsPosteriorAgreesWithMonteCarlo) {
  MadeLine clean = Prepared();
  Paint({GetParam(), 1.25, 0}, clean);
  double squares = 0, said = 0, sum = 0;
  constexpr int kTrials = 24;
  for (unsigned seed = 1; seed <= kTrials; ++seed) {
    MadeLine made = clean;
    AddNoise(seed, made);
    const LineCurve curve = CurveOf(made.samples, 0, made.scenery, made.options);
    const Height height = HeightAt({curve}, made.samples, 0, made.options);
    squares += std::pow(height.middle_mm - GetParam(), 2) / kTrials;
    said += height.u_mm * height.u_mm / kTrials;
    sum += (height.middle_mm - GetParam()) / kTrials;
  }
  EXPECT_NEAR(sum, 0, 0.08);  // 24 trials of about 0.15
  EXPECT_LT(std::sqrt(squares), 0.2);
  EXPECT_LT(std::sqrt(squares), 1.5 * std::sqrt(said));
  EXPECT_GT(std::sqrt(squares), 0.5 * std::sqrt(said));
}

INSTANTIATE_TEST_SUITE_P(Shapes, MadeShape, testing::Values(-0.8, -0.35, 0.0, 0.45, 1.3));

/// All of the posterior on one height.
Height SureOf(double middle_mm, const TravelOptions& o) {
  Height height{
      middle_mm, 0.01,
      std::vector<double>(1 + static_cast<std::size_t>(std::lround((o.highest_mm - o.lowest_mm) / o.step_mm)), 0)};
  height.chance[static_cast<std::size_t>(std::lround((middle_mm - o.lowest_mm) / o.step_mm))] = 1;
  return height;
}

// Student's t of three degrees of freedom: 95 % lie below 2.353 (Student 1908 and any printed table, from memory), half
// below 0.
TEST(ClassOf, IsAsSureAsHeightsAreKnown) {
  TravelOptions o;
  o.class_mm = 0.3;
  o.class_u_mm = 0.6 / 2.353, o.astray_chance = 0;
  const SectionClass crowned = ClassOf(SureOf(0.9, o), o), hollow = ClassOf(SureOf(-0.9, o), o),
                     edge = ClassOf(SureOf(0.3, o), o);
  EXPECT_NEAR(crowned.convex, 0.95, 1e-3);
  EXPECT_NEAR(hollow.concave, 0.95, 1e-3);
  EXPECT_NEAR(edge.convex, 0.5, 1e-3);
  EXPECT_NEAR(edge.concave, 1 - 0.95, 1e-3);
  o.astray_chance = 0.1;
  const SectionClass held = ClassOf(SureOf(3, o), o);
  EXPECT_LT(held.convex, 0.9 + 0.1 / 3 + 1e-9) << "nothing is surer than that the push is not astray";
  for (const auto& c : {crowned, hollow, edge, held}) EXPECT_NEAR(c.convex + c.flush + c.concave, 1, 1e-9);
}

TEST(ClassOf, APosteriorThatHoldsBothIsNeither) {
  const TravelOptions o;
  Height torn = SureOf(1, o);
  const Height other = SureOf(-1, o);
  for (std::size_t i = 0; i < torn.chance.size(); ++i) torn.chance[i] = 0.5 * (torn.chance[i] + other.chance[i]);
  const SectionClass kind = ClassOf(torn, o);
  EXPECT_NEAR(kind.convex, kind.concave, 1e-6);
  EXPECT_LT(kind.convex, o.told_chance);
}

TEST(ReadBothWays, AsksOfNeighboursRoundTheRingAlone) {
  std::vector<TravelLine> lines(180);
  std::vector<double> middle(180, 1.4);
  for (std::size_t i = 0; i < lines.size(); ++i) lines[i].theta_deg = 2 * static_cast<double>(i);
  EXPECT_FALSE(ReadBothWays(lines, middle, {}));
  for (std::size_t i = 40; i < 80; ++i) middle[i] = -1.4;
  EXPECT_TRUE(ReadBothWays(lines, middle, {}));
  for (const std::size_t i : {38U, 39U, 80U, 81U}) middle[i] = kNotMeasured;  // what lies between is not known
  EXPECT_FALSE(ReadBothWays(lines, middle, {}));
  middle[0] = -1.4;  // beside 358 degrees
  EXPECT_TRUE(ReadBothWays({lines[0], lines[179]}, {middle[0], middle[179]}, {}));
}

TEST(CostOf, ClippedLightIsAtLeastSoMuch) {
  MadeLine made = Prepared();
  Paint({1, 1.25, 0}, made);
  auto& line = made.samples.lines.front();
  const LineTask plain = MakeTask(made.samples, 0, made.scenery, made.options);
  const auto heights = HeightsOf(plain, {1, 1.25, 0});
  const double whole = CostOf(plain, heights).misfit;
  for (std::size_t f = 0; f < 5; ++f)
    for (std::size_t i = 0; i < line.light[f].size(); ++i)
      if (line.light[f][i] > 1.5F) line.light[f][i] = 1.5F, line.clipped[f][i] = 1;
  const double clipped = CostOf(MakeTask(made.samples, 0, made.scenery, made.options), heights).misfit;
  for (auto& flags : line.clipped) std::fill(flags.begin(), flags.end(), static_cast<unsigned char>(0));
  const double as_if_seen = CostOf(MakeTask(made.samples, 0, made.scenery, made.options), heights).misfit;
  EXPECT_LT(clipped, whole + 0.02);
  EXPECT_GT(as_if_seen, whole + 0.1) << "nothing was clipped: this tests nothing";
}

TEST(HeightsByTravel, SaysWhyThereIsNone) {
  const cv::Mat3b grey(480, 640, cv::Vec3b(90, 90, 90));
  pose::FrameSetting setting;
  setting.lens.width_px = 640, setting.lens.height_px = 480, setting.lens.fx_px = setting.lens.fy_px = 200;
  setting.lens.cx_px = 319.5, setting.lens.cy_px = 239.5, setting.lens.max_angle_deg = 80;
  std::vector<TravelFrame> frames = {{&grey, &setting, CameraAt(-60)}, {&grey, &setting, CameraAt(-40)}};
  std::vector<TravelLine> lines(180);
  for (std::size_t i = 0; i < lines.size(); ++i) lines[i].theta_deg = 2 * static_cast<double>(i);
  const auto two = HeightsByTravel(frames, {kRadius_mm, 0.02}, lines);
  ASSERT_FALSE(two.ok());
  EXPECT_THAT(two.error().message, testing::HasSubstr("fewer than three frames"));
  frames.push_back({&grey, &setting, CameraAt(-50)});
  const auto no_toes = HeightsByTravel(frames, {kRadius_mm, 0.02}, lines);
  ASSERT_FALSE(no_toes.ok());
  EXPECT_THAT(no_toes.error().message, testing::HasSubstr("both its toes"));
  frames[0].pose = CameraAt(-38), frames[1].pose = CameraAt(-42), frames[2].pose = CameraAt(-40);
  EXPECT_THAT(HeightsByTravel(frames, {kRadius_mm, 0.02}, lines).error().message, testing::HasSubstr("travel far"));
  for (auto& frame : frames) frame.pose.translation_mm.z() -= 40;
  EXPECT_THAT(HeightsByTravel(frames, {kRadius_mm, 0.02}, lines).error().message, testing::HasSubstr("too far before"));
  TravelOptions options;
  options.tail = 0;
  EXPECT_THAT(HeightsByTravel(frames, {kRadius_mm, 0.02}, lines, options).error().message,
              testing::HasSubstr("TravelOptions::tail"));
}

}  // namespace
}  // namespace vision::relief
