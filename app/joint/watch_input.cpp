#include "app/joint/watch_input.h"

#include "vision/recording/frame_source.h"

namespace app::joint {

using vision::BadInput;

vision::Result<vision::live::WatchOptions> WatchOptionsFor(const WatchRequest& request,
                                                           vision::live::WatchOptions options) {
  const auto joint = LoadJoint(request.joint_file);
  if (!joint.ok()) return joint.error();
  const auto* camera = joint.value().FindCamera(request.camera);
  if (camera == nullptr) {
    std::string names;
    for (const auto& each : joint.value().cameras) names += (names.empty() ? "" : ", ") + each.id;
    return BadInput(request.joint_file.string() + ": there is no camera '" + request.camera + "'; it has " + names +
                    ".");
  }
  options.camera = request.camera;
  const auto& bore = joint.value().pipe.inside_diameter;
  options.bore = {0.5 * bore.value_mm, 0.5 * bore.u_mm};
  options.setting.lens = camera->lens;
  const auto looks = vision::pose::FacingFromName(request.looks);
  if (!looks || *looks == vision::pose::Facing::kSide)
    return BadInput("--looks is '" + request.looks + "'; it must be +z or -z.");
  options.setting.facing = *looks;
  options.setting.up_theta_deg = request.up_theta_deg;
  options.reader.size = {camera->lens.width_px, camera->lens.height_px};
  if (camera->mask) {
    auto mask = vision::recording::ReadMask(*camera->mask, options.reader.size);
    if (!mask.ok()) return mask.error();
    options.setting.mask = std::move(mask).value();
  }
  return options;
}

}  // namespace app::joint
