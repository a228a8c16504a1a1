#include "vision/reading/bore_rings.h"

#include <gmock/gmock.h>

#include "fixtures/field/draw.h"
#include "fixtures/field/render.h"
#include "fixtures/scene/options.h"

namespace vision::reading {
namespace {

namespace field = fixtures::field;

/// Rings told on a drawn scene from its true place, and where its bored steps begin and end (z, signed).
struct Told {
  std::vector<BoreRing> rings;
  std::vector<std::pair<double, double>> steps;
  std::vector<double> turned;                            ///< z of turned circles: rings too.
  double nearest_mm = 0, farthest_mm = 0, clear_mm = 0;  ///< Looked at.
  bool InReach(double z_mm) const {
    return std::abs(z_mm) > clear_mm && z_mm > nearest_mm + 2 && z_mm < farthest_mm - 2;
  }
  bool Hit(std::size_t step) const {
    return std::any_of(rings.begin(), rings.end(), [&](const BoreRing& r) { return At(r, step); });
  }
  bool At(const BoreRing& ring, std::size_t step) const {
    const auto [a, b] = std::minmax(steps[step].first, steps[step].second);
    return ring.z_mm > a - 1.5 && ring.z_mm < b + 1.5;
  }
  /// Rings that are none: neither a step nor a turned circle.
  int False() const {
    return static_cast<int>(std::count_if(rings.begin(), rings.end(), [&](const BoreRing& ring) {
      bool any = std::any_of(turned.begin(), turned.end(), [&](double z) { return std::abs(z - ring.z_mm) < 1.5; });
      for (std::size_t i = 0; i < steps.size(); ++i) any = any || At(ring, i);
      return !any;
    }));
  }
};

Told Draw(std::uint64_t seed, bool bored) {
  field::Wishes wishes{.recording = "look", .plain = true, .wild = false, .width_px = 800};
  if (bored) wishes.only = {"bored"};
  const auto draw = field::DrawField(seed, wishes);
  const auto scene = field::Scene::Make(draw.scene).value();
  const auto& view = draw.views.front();
  const auto frame = scene.Render(view, {.threads = 2, .supersample = 1}).value();
  Look look;
  look.facing = view.bore_from_cam.rotation(2, 2) > 0 ? pose::Facing::kPlusZ : pose::Facing::kMinusZ;
  look.pose.bore_from_cam = view.bore_from_cam;
  const bore::Bore bore{draw.scene.radius_mm, 0};
  Told told;
  told.rings = RingsBeside(frame.bgr, {view.lens, look.facing, 0, {}}, look, bore).value();
  const RingOptions o;
  const double near = look.distance_mm() - o.nearest_radii * bore.radius_mm, far = o.to_radii * bore.radius_mm;
  told.nearest_mm = look.near_is_left() ? -near : -far, told.farthest_mm = look.near_is_left() ? far : near;
  told.clear_mm = o.usual_half_mm + o.beside_toe_mm;
  for (const auto& s : draw.scene.wall.steps) {
    const double side = s.right ? 1 : -1;
    told.steps.emplace_back(side * s.from_mm, side * (s.from_mm + s.length_mm));
  }
  for (const auto& turned : draw.scene.look.turned) told.turned.push_back(turned.z_mm);
  return told;
}

TEST(BoreRings, MostBoredStepsInReachAreFoundAndFewOtherThingsAreSaid) {
  int steps = 0, hits = 0, other = 0, bare_false = 0;
  constexpr int kScenes = 8;
  for (std::uint64_t seed = 851001; seed < 851001 + kScenes; ++seed) {
    const Told told = Draw(seed, true);
    for (std::size_t i = 0; i < told.steps.size(); ++i)
      if (told.InReach(told.steps[i].first)) ++steps, hits += told.Hit(i);
    other += told.False();
    bare_false += Draw(seed + 100, false).False();
  }
  std::printf("steps in reach %d, found %d, other rings %d on bored scenes, %d on %d scenes without\n", steps, hits,
              other, bare_false, kScenes);
  EXPECT_GT(steps, 5);
  EXPECT_GE(hits, steps / 2);
  EXPECT_LE(bare_false, kScenes / 2);
}

TEST(BoreRings, TogetherTheyAreWhatHalfOfTheLooksSee) {
  std::vector<Look> looks(3);
  looks[0].rings = {{-12, 0.2, 300}, {20, 0.2, 300}};
  looks[1].rings = {{-12.5, 0.2, 300}};
  looks[2].rings = {{30, 0.2, 300}};
  const auto rings = RingsOf(looks, 0.4);
  ASSERT_EQ(rings.size(), 1U);
  EXPECT_NEAR(rings[0].z_mm, -11.6, 1e-9);
}

TEST(BoreRings, OptionsAreChecked) {
  RingOptions options;
  EXPECT_FALSE(options.Check());
  options.pitch_mm = 0;
  EXPECT_THAT(options.Check()->message, testing::HasSubstr("pitch_mm"));
}

}  // namespace
}  // namespace vision::reading
