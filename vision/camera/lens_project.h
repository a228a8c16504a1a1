#pragma once

#include <array>
#include <cmath>

#include "vision/camera/lens.h"

namespace vision::camera {

/// A lens's numbers for any scalar, so that a solver may carry derivatives through them (`Lens` holds the doubles).
template <class C>
struct Intrinsics {
  C fx, fy, cx, cy, xi;
  std::array<C, 8> distortion;  ///< OpenCV's order for the model; unused entries 0.
};

inline Intrinsics<double> IntrinsicsOf(const Lens& lens) {
  Intrinsics<double> numbers{lens.fx_px, lens.fy_px, lens.cx_px, lens.cy_px, lens.xi, {}};
  for (std::size_t i = 0; i < numbers.distortion.size() && i < lens.distortion.size(); ++i)
    numbers.distortion[i] = lens.distortion[i];
  return numbers;
}

/// The projection itself; no check of max_angle_deg. C: scalar of the lens's numbers, T: scalar of the point.
/// Formulas: OpenCV documentation of calib3d (pinhole), calib3d fisheye, ccalib omnidir (Mei & Rives 2007).
/// @param p Point in the camera's frame, not the origin.   @param uv Pixel.
/// @return false where the model has no picture.
template <class C, class T>
bool ProjectThrough(LensModel model, const Intrinsics<C>& lens, const T* p, T* uv) {
  using std::atan2;
  using std::sqrt;
  const auto& k = lens.distortion;
  T x, y;  // on the unit-focal plane, after distortion
  if (model == LensModel::kEquidistant || model == LensModel::kKannalaBrandt) {
    const T q2 = p[0] * p[0] + p[1] * p[1];
    if (q2 < T(1e-24)) {
      if (p[2] <= T(0)) return false;
      x = p[0] / p[2];
      y = p[1] / p[2];
    } else {
      const T q = sqrt(q2);
      const T a = atan2(q, p[2]), a2 = a * a;
      const T bent = a * (1.0 + a2 * (k[0] + a2 * (k[1] + a2 * (k[2] + a2 * k[3]))));
      x = bent * p[0] / q;
      y = bent * p[1] / q;
    }
  } else {
    const bool omni = model == LensModel::kOmni;
    T depth = p[2];
    if (omni) depth += lens.xi * sqrt(p[0] * p[0] + p[1] * p[1] + p[2] * p[2]);
    if (depth <= T(0)) return false;
    const T a = p[0] / depth, b = p[1] / depth, r2 = a * a + b * b;
    T radial = 1.0 + r2 * (k[0] + r2 * k[1]);
    if (!omni) radial = (radial + r2 * r2 * r2 * k[4]) / (1.0 + r2 * (k[5] + r2 * (k[6] + r2 * k[7])));
    x = a * radial + 2.0 * k[2] * a * b + k[3] * (r2 + 2.0 * a * a);
    y = b * radial + k[2] * (r2 + 2.0 * b * b) + 2.0 * k[3] * a * b;
  }
  uv[0] = lens.fx * x + lens.cx;
  uv[1] = lens.fy * y + lens.cy;
  return true;
}

/// The same for a known lens.
template <class T>
bool ProjectTo(const Lens& lens, const T* p, T* uv) {
  return ProjectThrough(lens.model, IntrinsicsOf(lens), p, uv);
}

}  // namespace vision::camera
