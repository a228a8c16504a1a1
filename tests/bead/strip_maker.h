#pragma once

#include <algorithm>
#include <cmath>
#include <numbers>
#include <opencv2/imgproc.hpp>

#include "vision/unroll/strip.h"

/// A made-up strip, drawn cell by cell from a few rules, with toes that are known because they were drawn.
/// It shares nothing with the finder: no wall model, no path, no thresholds.
namespace tests {

struct MadeStrip {
  double radius_mm = 60, pitch_mm = 0.1, reach_mm = 16;
  bool bead = true;
  double width_mm = 5, wander_mm = 0.5;
  bool tint = false;  ///< Bands of heat tint parallel to the bead, 2 and 3.5 mm outside the toes.
  double concave_from_deg = 0, concave_to_deg = 0;  ///< Near side dark, far side bright.
  double concave_narrower_mm = 0;                   ///< How far the far toe lies further in there.
  double ring_from_deg = 0, ring_to_deg = 0;        ///< Insert as laid: straight, flat, a gap line and a chamfer.
  bool tight = false;  ///< The ring without gap and chamfer, and as its height shows it: 0.8 mm further in.
  double patch_from_deg = 0, patch_to_deg = 0;  ///< Dark patch of the wall right beside both toes, 3 mm wide.
  double light = 1;
  double far_shade = 0.65;  ///< Luminance of the bead before its far toe, over the wall's.
  double drawing = 0.05;    ///< Relative luminance of the wall's own lines.
  double dirt = 0;          ///< Relative luminance of blotches about 1 mm wide, on wall and bead alike.
  double pale_from_deg = 0, pale_to_deg = 0;  ///< The near wall's lines and brightness go over into the bead in 2 mm.

  double Left(double theta_deg) const {
    if (Ring(theta_deg)) return tight ? -1.7 : -2.2;
    const double t = theta_deg * std::numbers::pi / 180;
    return -0.5 * width_mm + wander_mm * std::sin(t + 0.4) + 0.15 * std::sin(9 * t);
  }
  double Right(double theta_deg) const {
    if (Ring(theta_deg)) return 2.0;
    const double t = theta_deg * std::numbers::pi / 180;
    return 0.5 * width_mm - (Concave(theta_deg) ? concave_narrower_mm : 0) + wander_mm * std::sin(t + 0.4) +
           0.15 * std::cos(7 * t);
  }
  bool Ring(double theta) const { return theta >= ring_from_deg && theta < ring_to_deg; }
  bool Pale(double theta) const { return theta >= pale_from_deg && theta < pale_to_deg; }
  bool Concave(double theta) const { return theta >= concave_from_deg && theta < concave_to_deg; }

  // Luminance over the wall's.
  double Bead(double theta, double z) const {
    const double l = Left(theta), r = Right(theta), x = (z - l) / (r - l);
    if (Ring(theta) && tight) return z < l ? (z > l - 0.4 ? 0.9 : 1.0) : z < r ? 1.2 : 1.0;
    if (Ring(theta)) {
      if (z < l) return z > l - 0.3 ? 0.6 : 1.0;
      return z < l + 0.4 ? 1.6 : z < r ? 1.1 : 1.0;
    }
    if (x < 0 || x > 1) return 1;
    if (Pale(theta)) return x < 0.7 ? 1 + 0.12 * std::min(1.0, (z - l) / 2.0) : 0.8;
    const double arc = theta * std::numbers::pi / 180 * radius_mm;
    const double ripple = 1 + 0.3 * std::sin(2 * std::numbers::pi * (arc + 0.3 * z) / 1.1);
    const double side = Concave(theta) ? 1 - x : x;
    return (side < 0.7 ? 1.9 : far_shade) * ripple;
  }
  double Tint(double theta, double z) const {
    const double out = std::max(Left(theta) - z, z - Right(theta));
    return tint && out > 0
               ? 1 - 0.12 * std::exp(-std::pow((out - 2) / 0.6, 2)) + 0.08 * std::exp(-std::pow((out - 3.5) / 0.6, 2))
               : 1;
  }

  double Patch(double theta, double z) const {
    const double out = std::max(Left(theta) - z, z - Right(theta));
    return theta >= patch_from_deg && theta < patch_to_deg && out > 0 && out < 3 ? 0.75 : 1;
  }

  vision::unroll::Strip Make() const {
    vision::unroll::Strip s;
    s.grid.radius_mm = radius_mm, s.grid.pitch_mm = pitch_mm, s.grid.z_from_mm = -reach_mm;
    s.grid.rows = static_cast<int>(std::lround(2 * reach_mm / pitch_mm)) + 1;
    s.grid.columns = static_cast<int>(std::lround(2 * std::numbers::pi * radius_mm / pitch_mm));
    cv::Mat1f grey(s.grid.rows, s.grid.columns), noise(grey.size()), lines(1, s.grid.columns);
    cv::RNG rng(7);
    rng.fill(noise, cv::RNG::NORMAL, 0, 0.03);
    rng.fill(lines, cv::RNG::NORMAL, 0, drawing);
    cv::Mat1f blotch(grey.size(), 0.0f);
    if (dirt > 0) {
      constexpr double kCells = 4;  // of 0.1 mm; a blur of s leaves 1 / (2 s sqrt(pi)) of white noise
      rng.fill(blotch, cv::RNG::NORMAL, 0, dirt * 2 * kCells * std::sqrt(std::numbers::pi));
      cv::GaussianBlur(blotch, blotch, cv::Size(0, 0), kCells);
    }
    for (int c = 0; c < s.grid.columns; ++c)
      for (int r = 0; r < s.grid.rows; ++r) {
        const double theta = s.grid.ThetaDeg(c), z = s.grid.ZMm(r);
        const bool in = bead && z > Left(theta) && z < Right(theta);
        const double kept = !in ? 1.0 : Pale(theta) ? std::clamp(1 - (z - Left(theta)) / 2.0, 0.0, 1.0) : 0.0;
        const double wall = 1.0 + kept * static_cast<double>(lines(0, c));
        grey(r, c) = static_cast<float>(80 * light * wall *
                                        (1 + static_cast<double>(noise(r, c)) + static_cast<double>(blotch(r, c))) *
                                        (bead ? Bead(theta, z) : 1) * Tint(theta, z) * Patch(theta, z));
      }
    cv::GaussianBlur(grey, grey, cv::Size(0, 0), 1.5);
    cv::Mat1b bytes;
    grey.convertTo(bytes, CV_8U);
    cv::cvtColor(bytes, s.image, cv::COLOR_GRAY2BGR);
    s.clipped = bytes > 250;
    s.valid = 255 - s.clipped;
    s.source_frame = cv::Mat1s(grey.size(), static_cast<short>(0));
    s.resolution_z_mm = s.resolution_arc_mm = cv::Mat1f(grey.size(), 0.2f);
    return s;
  }
};

}  // namespace tests
