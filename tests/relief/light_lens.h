#pragma once

#include "vision/camera/lens.h"

namespace vision::relief {

/// Of the bores and planes of light that the tests of the light section make.
constexpr double kRadius_mm = 60, kDistance_mm = 45;

inline camera::Lens SmallLens() {
  camera::Lens lens;
  lens.width_px = 640;
  lens.height_px = 640;
  lens.fx_px = lens.fy_px = 230;
  lens.cx_px = lens.cy_px = 319.5;
  lens.max_angle_deg = 78;
  return lens;
}

}  // namespace vision::relief
