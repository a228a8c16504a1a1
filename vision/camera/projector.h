#pragma once

#include <cmath>
#include <optional>

#include "vision/bore/angle.h"
#include "vision/camera/lens_project.h"

namespace vision::camera {

/// Lens::Project for very many points: the same answers without the second arc tangent where a point is surely within
/// max_angle_deg. Keeps a reference to the lens.
class Projector {
 public:
  explicit Projector(const Lens& lens)
      : lens_(lens),
        intrinsics_(IntrinsicsOf(lens)),
        safe_cos_(std::cos(lens.max_angle_deg * bore::kRadPerDeg) + 1e-9) {}

  std::optional<Eigen::Vector2d> Project(const Eigen::Vector3d& x_cam) const {
    if (!(x_cam.z() >= safe_cos_ * x_cam.norm())) return lens_.Project(x_cam);
    Eigen::Vector2d uv;
    if (!ProjectThrough(lens_.model, intrinsics_, x_cam.data(), uv.data())) return std::nullopt;
    return uv;
  }

 private:
  const Lens& lens_;
  Intrinsics<double> intrinsics_;
  double safe_cos_;
};

}  // namespace vision::camera
