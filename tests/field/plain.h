#pragma once

#include "fixtures/field/truth.h"
#include "fixtures/scene/options.h"

/// Scenes with nothing drawn by lot, small enough to render at once.
namespace fixtures::field {

inline SceneOptions PlainScene(double radius_mm, bool weld = true) {
  SceneOptions o;
  o.radius_mm = radius_mm;
  auto& w = o.weld;
  w.present = weld;
  w.width_mm = 5, w.insert_width_mm = 4;
  w.width_wander_mm = w.drift_mm = w.toe_noise_mm = w.crown_wander = 0;
  w.form.crown_mm = 1.2, w.form.lump_mm = 0, w.form.ripples = Ripples::kNone;
  for (int i = 0; i < 6; ++i) {
    Lamp lamp;
    lamp.at_mm = {8 * std::cos(i * 1.0472), 8 * std::sin(i * 1.0472), 0};
    o.light.lamps.push_back(lamp);
  }
  o.look.layers.push_back({0.5, 0.5, 0, 0.3F, 0.01F, 0});
  return o;
}

/// Equidistant, 320 x 240 unless told, principal point in the middle, along +z with up at theta = 0.
inline View PlainView(double x_mm, double y_mm, double z_mm, int width_px = 320, double tilt_deg = 0) {
  View v;
  v.lens.width_px = width_px, v.lens.height_px = width_px * 3 / 4;
  v.lens.cx_px = 0.5 * (v.lens.width_px - 1), v.lens.cy_px = 0.5 * (v.lens.height_px - 1);
  v.lens.fx_px = v.lens.fy_px = 0.3 * width_px;
  v.lens.max_angle_deg = 85;
  v.bore_from_cam = v.bore_from_head = scene::PoseLooking(true, x_mm, y_mm, z_mm, tilt_deg, 0, 0);
  return v;
}

}  // namespace fixtures::field
