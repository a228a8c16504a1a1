#pragma once

#include <Eigen/Core>
#include <optional>
#include <string>
#include <vector>

#include "vision/base/result.h"

/// Lens models. `cam` frame as OpenCV's (x right, y down, z forward); pixel centres at integers.
namespace vision::camera {

/// How a sight's angle from the axis becomes a distance on the picture.
enum class LensModel {
  kEquidistant,    ///< r = f * angle; no distortion coefficients.
  kKannalaBrandt,  ///< OpenCV fisheye: k1..k4 on angle^3, ^5, ^7, ^9.
  kPinhole,        ///< Perspective with OpenCV's k1 k2 p1 p2 k3 [k4 k5 k6].
  kOmni,           ///< Unified omnidirectional (Mei): xi, then k1 k2 p1 p2 as cv::omnidir.
};

/// @return The model's name in the joint file: equidistant | kannala_brandt | pinhole | omni.
std::string NameOf(LensModel model);
std::optional<LensModel> LensModelFromName(const std::string& name);

/// One calibrated lens and its picture size. A plain value.
struct Lens {
  LensModel model = LensModel::kEquidistant;
  int width_px = 0, height_px = 0;
  double fx_px = 0, fy_px = 0;  ///< > 0; px per rad (fisheye) or px per unit tangent (pinhole).
  double cx_px = 0, cy_px = 0;
  double xi = 0;                   ///< Mirror parameter, kOmni only, >= 0.
  std::vector<double> distortion;  ///< OpenCV's order for the model; empty = none.
  double max_angle_deg = 90;       ///< Edge of the usable image circle, from the optical axis; in (0, 180).

  /// First broken constraint, naming the field.
  [[nodiscard]] Status Check() const;

  /// Picture of a point in the camera's frame (any distance).
  /// @return nullopt beyond max_angle_deg, or where the model has no picture (pinhole: z <= 0).
  std::optional<Eigen::Vector2d> Project(const Eigen::Vector3d& x_cam) const;

  /// Unit direction in the camera's frame seen at `pixel`.
  /// @return nullopt beyond max_angle_deg or where the model cannot be inverted.
  std::optional<Eigen::Vector3d> Ray(const Eigen::Vector2d& pixel) const;

  /// Is the pixel inside the picture and inside the image circle?
  bool Sees(const Eigen::Vector2d& pixel) const;
};

constexpr double kWidestPinhole_deg = 89.9;  ///< A perspective picture never reaches 90.

/// Largest angle from the optical axis that the picture's border shows, degrees.
/// @param lens Its max_angle_deg bounds the answer.
double PictureEdgeDeg(const Lens& lens);

}  // namespace vision::camera
