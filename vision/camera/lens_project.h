#pragma once

#include <cmath>

#include "vision/camera/lens.h"

namespace vision::camera {

/// The projection itself for any scalar (double or a solver's dual number); no check of max_angle_deg.
/// Formulas: OpenCV documentation of calib3d (pinhole), calib3d fisheye, ccalib omnidir (Mei & Rives 2007).
/// @param p Point in the camera's frame, not the origin.   @param uv Pixel.
/// @return false where the model has no picture.
template <class T>
bool ProjectTo(const Lens& lens, const T* p, T* uv) {
  using std::atan2;
  using std::sqrt;
  const auto k = [&lens](std::size_t i) { return i < lens.distortion.size() ? lens.distortion[i] : 0.0; };
  T x, y;  // on the unit-focal plane, after distortion
  if (lens.model == LensModel::kEquidistant || lens.model == LensModel::kKannalaBrandt) {
    const T q2 = p[0] * p[0] + p[1] * p[1];
    if (q2 < T(1e-24)) {
      if (p[2] <= T(0)) return false;
      x = p[0] / p[2];
      y = p[1] / p[2];
    } else {
      const T q = sqrt(q2);
      const T a = atan2(q, p[2]), a2 = a * a;
      const T bent = a * (1.0 + a2 * (k(0) + a2 * (k(1) + a2 * (k(2) + a2 * k(3)))));
      x = bent * p[0] / q;
      y = bent * p[1] / q;
    }
  } else {
    T depth = p[2];
    if (lens.model == LensModel::kOmni) depth += lens.xi * sqrt(p[0] * p[0] + p[1] * p[1] + p[2] * p[2]);
    if (depth <= T(0)) return false;
    const T a = p[0] / depth, b = p[1] / depth, r2 = a * a + b * b;
    const bool omni = lens.model == LensModel::kOmni;
    const double k3 = omni ? 0.0 : k(4), k4 = omni ? 0.0 : k(5), k5 = omni ? 0.0 : k(6), k6 = omni ? 0.0 : k(7);
    const T radial = (1.0 + r2 * (k(0) + r2 * (k(1) + r2 * k3))) / (1.0 + r2 * (k4 + r2 * (k5 + r2 * k6)));
    x = a * radial + 2.0 * k(2) * a * b + k(3) * (r2 + 2.0 * a * a);
    y = b * radial + k(2) * (r2 + 2.0 * b * b) + 2.0 * k(3) * a * b;
  }
  uv[0] = lens.fx_px * x + lens.cx_px;
  uv[1] = lens.fy_px * y + lens.cy_px;
  return true;
}

}  // namespace vision::camera
