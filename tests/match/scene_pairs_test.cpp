// The independent scenes before and after a blend, laid on each other by their measured strips, and compared with their
// true poses. Skipped where ../shared is not there.
#include <gmock/gmock.h>

#include <cmath>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>
#include <opencv2/core.hpp>

#include "vision/bore/angle.h"
#include "vision/match/ring.h"
#include "vision/reading/measure.h"
#include "vision/reading/source_map.h"

namespace vision::match {
namespace {

namespace fs = std::filesystem;
using nlohmann::json;

const fs::path kScenes = fs::path(ROOTSCROLL_SOURCE_DIR) / ".." / "shared" / "scenes";

json Json(const fs::path& file) { return json::parse(std::ifstream(file)); }

/// A measured scene and the truth about its first frame.
struct Scene {
  reading::Reading reading;
  FlatPicture picture;
  cv::Mat map;
  camera::Lens lens;
  bore::BoreFromCam truth;
  double radius_mm = 0;

  /// True place on the wall of what the strip shows at theta, z.
  std::optional<bore::BorePoint> True(double theta_deg, double z_mm) const {
    const auto at = reading::LookUp(map, reading.strip, theta_deg, z_mm);
    if (!at) return std::nullopt;
    const auto ray = lens.Ray({at->u_px, at->v_px});
    if (!ray) return std::nullopt;
    return bore::WallFromRay(truth.translation_mm, truth.rotation * *ray, radius_mm);
  }
};

Scene Take(const fs::path& folder) {
  const json joint = Json(folder / "joint.json"), truth = Json(folder / "truth.json");
  const json& camera = joint["cameras"][0];
  const json& frame = joint["recordings"][0]["frames"][0];
  Scene scene;
  scene.lens.model = *camera::LensModelFromName(camera["model"]);
  scene.lens.width_px = camera["width"], scene.lens.height_px = camera["height"];
  scene.lens.fx_px = camera["fx"], scene.lens.fy_px = camera["fy"];
  scene.lens.cx_px = camera["cx"], scene.lens.cy_px = camera["cy"];
  scene.lens.max_angle_deg = camera["max_angle_deg"];
  reading::MeasureInput input;
  input.joint_id = "pair";
  const json& pipe = joint["joint"]["pipe"];
  input.bore = {pipe["inside_diameter_mm"].get<double>() / 2, pipe["inside_diameter_u_mm"].get<double>() / 2};
  input.insert_width_mm = joint["joint"]["insert"]["width_mm"];
  reading::FrameInput still;
  still.file = folder / frame["file"].get<std::string>();
  still.lens = scene.lens;
  still.facing = *pose::FacingFromName(frame["looks"]);
  still.up_theta_deg = frame["up_theta_deg"].get<double>();
  input.recordings.push_back({"root", "root", {still}, {}, false});
  const auto measured = reading::Measure(input);
  EXPECT_TRUE(measured.ok());
  scene.reading = measured.value().reading;
  const auto& strip = scene.reading.strip;
  scene.picture.grid = {input.bore.radius_mm, strip.pitch_mm, strip.z_from_mm, strip.rows, strip.columns};
  for (const auto& picture : measured.value().pictures) {
    if (picture.name == "strip.png") scene.picture.image = picture.image;
    if (picture.name == "strip_seen.png") scene.picture.seen = picture.image;
    if (picture.name == "source_1.png") scene.map = picture.image;
  }
  const json& shot = truth["frames"][0];
  scene.radius_mm = truth["R"];
  for (int i = 0; i < 3; ++i) {
    scene.truth.translation_mm[i] = shot["C"][static_cast<std::size_t>(i)];
    for (int j = 0; j < 3; ++j)
      scene.truth.rotation(i, j) = shot["Rcw"][static_cast<std::size_t>(i)][static_cast<std::size_t>(j)];
  }
  return scene;
}

const Scene& Of(const std::string& pair, const std::string& when) {
  static std::map<std::string, Scene> kept;
  const std::string key = pair + "/" + when;
  if (!kept.contains(key)) kept[key] = Take(kScenes / pair / when);
  return kept[key];
}

/// The picture as a camera of unknown roll gives it: columns moved round.
FlatPicture Turned(const FlatPicture& picture, int columns) {
  FlatPicture turned{picture.grid, {}, {}};
  for (int column = 0; column < picture.grid.columns; ++column) {
    const int to = (column + columns) % picture.grid.columns;
    if (column == 0) turned.image.create(picture.image.size()), turned.seen.create(picture.seen.size());
    picture.image.col(column).copyTo(turned.image.col(to));
    picture.seen.col(column).copyTo(turned.seen.col(to));
  }
  return turned;
}

class ScenePairs : public testing::TestWithParam<std::string> {
 protected:
  void SetUp() override {
    if (!fs::exists(kScenes / GetParam())) GTEST_SKIP() << "../shared/scenes is not here";
  }
};

TEST_P(ScenePairs, AreLaidOnEachOtherWithinHalfAMillimetreForAnyRoll) {
  const Scene &before = Of(GetParam(), "before"), &after = Of(GetParam(), "after");
  for (const double roll_deg : {0.0, 83.0, 201.5, 340.0}) {
    const int columns = static_cast<int>(std::lround(roll_deg / 360 * after.picture.grid.columns));
    const double turned_deg = 360.0 * columns / after.picture.grid.columns;
    const auto match = MatchRing(before.picture, Turned(after.picture, columns));
    ASSERT_TRUE(match.ok()) << match.error().message;
    std::vector<double> errors;
    for (double theta = 0; theta < 360; theta += 3)
      for (double z : {-13.0, -10.0, -7.5, 7.5, 10.0, 13.0}) {
        double moving_theta = 0, moving_z = 0;
        match.value().MovingFromFixed(theta, z, &moving_theta, &moving_z);
        const auto a = before.True(theta, z), b = after.True(moving_theta - turned_deg, moving_z);
        if (!a || !b) continue;
        errors.push_back(
            std::hypot(bore::ArcMm(bore::Wrap180(a->theta_deg - b->theta_deg), before.radius_mm), a->z_mm - b->z_mm));
      }
    ASSERT_GT(errors.size(), 500u);
    std::sort(errors.begin(), errors.end());
    const double median = errors[errors.size() / 2], p95 = errors[errors.size() * 95 / 100];
    std::printf(
        "pair: %s roll %.1f: median %.3f mm, p95 %.3f mm, worst %.3f mm; residual %.3f mm, agreeing %.2f, lead %.2f, "
        "%s\n",
        GetParam().c_str(), roll_deg, median, p95, errors.back(), match.value().residual_mm, match.value().agreeing,
        match.value().lead, match.value().trusted ? "trusted" : EnglishOf(match.value().doubt).c_str());
    EXPECT_LT(errors.back(), 0.5);
    EXPECT_TRUE(match.value().trusted) << EnglishOf(match.value().doubt);
  }
}
INSTANTIATE_TEST_SUITE_P(Shared, ScenePairs, testing::Values("pair_00_undercut", "pair_01_pores", "pair_02_untouched"));

TEST(ScenePairsWrong, AnotherJointIsRefusedOrNotTrusted) {
  if (!fs::exists(kScenes / "pair_00_undercut")) GTEST_SKIP() << "../shared/scenes is not here";
  const char* names[] = {"pair_00_undercut", "pair_01_pores", "pair_02_untouched"};
  for (const char* one : names)
    for (const char* other : names) {
      // The bores differ, which alone is refused; here the second is given the first one's, as if they did not.
      auto second = Of(other, "after").picture;
      if (one == std::string(other)) {
        const auto source = second;
        second.image.release(), second.seen.release();
        cv::flip(source.image, second.image, 1);  // a wall of the same kind that is another one
        cv::flip(source.seen, second.seen, 1);
      } else {
        const auto refused = MatchRing(Of(one, "before").picture, second);
        EXPECT_FALSE(refused.ok());
        second.grid.radius_mm = Of(one, "before").picture.grid.radius_mm;
      }
      const auto match = MatchRing(Of(one, "before").picture, second);
      const bool refused = !match.ok() || !match.value().trusted;
      std::printf("wrong: %s with %s%s: %s\n", one, other, one == std::string(other) ? " mirrored" : "",
                  refused ? "refused" : "TAKEN");
      if (match.ok())
        std::printf("  agreeing %.2f, lead %.2f, residual %.3f\n", match.value().agreeing, match.value().lead,
                    match.value().residual_mm);
      EXPECT_TRUE(refused) << one << " with " << other;
    }
}

}  // namespace
}  // namespace vision::match
