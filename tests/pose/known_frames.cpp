#include "tests/pose/known_frames.h"

#include <fstream>
#include <nlohmann/json.hpp>
#include <numeric>
#include <opencv2/imgcodecs.hpp>

#include "fixtures/scene/render.h"
#include "fixtures/scene/scenario.h"

namespace vision::pose {
namespace {

nlohmann::json Json(const std::filesystem::path& file) { return nlohmann::json::parse(std::ifstream(file)); }

camera::Lens LensFrom(const nlohmann::json& camera) {
  camera::Lens lens;
  lens.model = camera::LensModelFromName(camera.at("model")).value();
  lens.width_px = camera.at("width");
  lens.height_px = camera.at("height");
  lens.fx_px = camera.at("fx");
  lens.fy_px = camera.at("fy");
  lens.cx_px = camera.at("cx");
  lens.cy_px = camera.at("cy");
  lens.distortion = camera.at("distortion").get<std::vector<double>>();
  lens.max_angle_deg = camera.at("max_angle_deg");
  return lens;
}

bore::BoreFromCam PoseFrom(const nlohmann::json& frame) {
  bore::BoreFromCam pose;
  for (int i = 0; i < 3; ++i) {
    pose.translation_mm[i] = frame.at("C").at(static_cast<std::size_t>(i));
    for (int j = 0; j < 3; ++j)
      pose.rotation(i, j) = frame.at("Rcw").at(static_cast<std::size_t>(i)).at(static_cast<std::size_t>(j));
  }
  return pose;
}

/// Puts z = 0 at the mean of both edges.
void Centre(KnownFrame* known) {
  const auto mean = [](const std::vector<double>& z) {
    return std::accumulate(z.begin(), z.end(), 0.0) / static_cast<double>(z.size());
  };
  const double middle = 0.5 * (mean(known->left_edge_z) + mean(known->right_edge_z));
  known->truth.translation_mm.z() -= middle;
  for (auto* edge : {&known->left_edge_z, &known->right_edge_z})
    for (double& z : *edge) z -= middle;
}

}  // namespace

std::vector<KnownFrame> FramesOf(const std::filesystem::path& folder) {
  const auto joint = Json(folder / "joint.json"), truth = Json(folder / "truth.json");
  std::vector<KnownFrame> frames;
  for (const auto& entry : joint.at("recordings").at(0).at("frames")) {
    KnownFrame known;
    known.name = folder.filename().string() + "/" + entry.at("file").get<std::string>();
    known.picture = cv::imread((folder / entry.at("file")).string());
    known.setting = {
        LensFrom(joint.at("cameras").at(0)), FacingFromName(entry.at("looks")).value(), entry.at("up_theta_deg"), {}};
    known.bore.radius_mm = 0.5 * joint.at("joint").at("pipe").at("inside_diameter_mm").get<double>();
    known.left_edge_z = truth.at("profile").at("edge_left_z").get<std::vector<double>>();
    known.right_edge_z = truth.at("profile").at("edge_right_z").get<std::vector<double>>();
    known.left_wall_h = truth.at("profile").at("wall_left_h").get<std::vector<double>>();
    known.right_wall_h = truth.at("profile").at("wall_right_h").get<std::vector<double>>();
    for (const auto& frame : truth.at("frames"))
      if (frame.at("file") == entry.at("file")) known.truth = PoseFrom(frame);
    Centre(&known);
    frames.push_back(known);
  }
  return frames;
}

KnownFrame Rendered(const std::string& kind, std::uint64_t seed, const std::string& lens, bool plus_z) {
  fixtures::scene::ScenarioOptions options;
  options.kind = kind;
  options.seed = seed;
  options.lens = lens;
  options.width_px = 720;
  options.height_px = 540;
  options.both_sides = !plus_z;
  const auto scenario = fixtures::scene::MakeScenario(options).value();
  const auto scene = fixtures::scene::Scene::Make(scenario.scene).value();
  const auto& view = scenario.views.back();
  KnownFrame known;
  known.name = kind + " " + std::to_string(seed) + " " + lens;
  known.picture = scene.Render(view).value().bgr;
  known.setting = {
      view.lens, plus_z ? Facing::kPlusZ : Facing::kMinusZ, fixtures::scene::UpThetaDeg(view.bore_from_cam), {}};
  known.bore.radius_mm = scenario.scene.radius_mm;
  known.truth = view.bore_from_cam;
  known.left_edge_z.assign(720, scenario.scene.bead.z_centre_mm - 0.5 * scenario.scene.bead.width_mm);
  known.right_edge_z.assign(720, scenario.scene.bead.z_centre_mm + 0.5 * scenario.scene.bead.width_mm);
  Centre(&known);
  return known;
}

}  // namespace vision::pose
