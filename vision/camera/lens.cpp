#include "vision/camera/lens.h"

#include <Eigen/Geometry>
#include <Eigen/LU>
#include <array>

#include "vision/bore/angle.h"
#include "vision/camera/lens_project.h"

namespace vision::camera {
namespace {

struct NamedModel {
  LensModel model;
  const char* name;
};
constexpr std::array<NamedModel, 4> kModels{{{LensModel::kEquidistant, "equidistant"},
                                             {LensModel::kKannalaBrandt, "kannala_brandt"},
                                             {LensModel::kPinhole, "pinhole"},
                                             {LensModel::kOmni, "omni"}}};  ///< Format: names in files.

double AngleFromAxis(const Eigen::Vector3d& p) { return std::atan2(p.head<2>().norm(), p.z()); }

constexpr double kRoundingRad = 1e-9;  ///< A point projected from max_angle_deg itself comes back.

/// Inverse of the fisheye polynomial in [0, max angle]: Newton's method that falls back to halving its bracket.
/// The radius on the picture must grow with the angle up to the edge.
std::optional<double> AngleFromBent(const Lens& lens, double bent) {
  const auto k = [&lens](std::size_t i) { return i < lens.distortion.size() ? lens.distortion[i] : 0.0; };
  const double k0 = k(0), k1 = k(1), k2 = k(2), k3 = k(3);
  double low = 0, high = lens.max_angle_deg * bore::kRadPerDeg + kRoundingRad;
  double a = std::min(bent, high);
  if (!(bent >= 0)) return std::nullopt;
  for (int i = 0; i < 60; ++i) {
    const double a2 = a * a;
    const double f = a * (1 + a2 * (k0 + a2 * (k1 + a2 * (k2 + a2 * k3)))) - bent;
    if (std::abs(f) < 1e-13) return a;
    (f > 0 ? high : low) = a;
    const double slope = 1 + a2 * (3 * k0 + a2 * (5 * k1 + a2 * (7 * k2 + a2 * 9 * k3)));
    const double next = a - f / slope;
    a = next >= low && next <= high ? next : 0.5 * (low + high);
  }
  return high - low < 1e-9 && low < lens.max_angle_deg * bore::kRadPerDeg ? std::optional(a) : std::nullopt;
}

/// The sphere or half-space direction for undistorted plane coordinates.
std::optional<Eigen::Vector3d> DirectionFromPlane(const Lens& lens, double a, double b) {
  if (lens.model == LensModel::kPinhole) return Eigen::Vector3d(a, b, 1).normalized();
  const double r2 = a * a + b * b;
  const double inside = 1 + (1 - lens.xi * lens.xi) * r2;
  if (!(inside >= 0)) return std::nullopt;  // outside the picture of the sphere
  const double s = (lens.xi + std::sqrt(inside)) / (1 + r2);
  return Eigen::Vector3d(s * a, s * b, s - lens.xi).normalized();
}

/// Solves for the direction whose picture is `pixel` (pinhole and omni): Newton on the distorted plane.
std::optional<Eigen::Vector3d> RayByNewton(const Lens& lens, const Eigen::Vector2d& pixel) {
  Lens unit = lens;  // on the plane: undistorted -> distorted, in pixels
  unit.model = LensModel::kPinhole;
  if (lens.model == LensModel::kOmni && unit.distortion.size() > 4) unit.distortion.resize(4);
  Eigen::Vector2d m((pixel.x() - lens.cx_px) / lens.fx_px, (pixel.y() - lens.cy_px) / lens.fy_px);
  for (int i = 0; i < 50; ++i) {
    const auto at = [&unit](const Eigen::Vector2d& q) {
      const double p[3] = {q.x(), q.y(), 1};
      double uv[2];
      ProjectTo(unit, p, uv);
      return Eigen::Vector2d(uv[0], uv[1]);
    };
    const Eigen::Vector2d error = at(m) - pixel;
    if (!error.allFinite()) return std::nullopt;
    if (error.norm() < 1e-10) return DirectionFromPlane(lens, m.x(), m.y());
    constexpr double kStep = 1e-6;
    Eigen::Matrix2d jacobian;
    jacobian.col(0) = (at(m + Eigen::Vector2d(kStep, 0)) - at(m - Eigen::Vector2d(kStep, 0))) / (2 * kStep);
    jacobian.col(1) = (at(m + Eigen::Vector2d(0, kStep)) - at(m - Eigen::Vector2d(0, kStep))) / (2 * kStep);
    m -= jacobian.inverse() * error;
  }
  return std::nullopt;
}

}  // namespace

std::string NameOf(LensModel model) {
  for (const auto& named : kModels)
    if (named.model == model) return named.name;
  return "";
}

std::optional<LensModel> LensModelFromName(const std::string& name) {
  for (const auto& named : kModels)
    if (name == named.name) return named.model;
  return std::nullopt;
}

Status Lens::Check() const {
  const auto broken = [](const std::string& field, const std::string& rule) {
    return BadInput("camera: " + field + "; it must be " + rule + ".");
  };
  if (width_px < 16 || width_px > 16384) return broken("width is " + std::to_string(width_px), "16 to 16384 px");
  if (height_px < 16 || height_px > 16384) return broken("height is " + std::to_string(height_px), "16 to 16384 px");
  if (!(fx_px > 0 && fx_px < 1e6)) return broken("fx is " + std::to_string(fx_px), "> 0 px");
  if (!(fy_px > 0 && fy_px < 1e6)) return broken("fy is " + std::to_string(fy_px), "> 0 px");
  if (!std::isfinite(cx_px) || !std::isfinite(cy_px)) return broken("cx or cy is not a number", "finite");
  if (!(max_angle_deg > 0 && max_angle_deg < 180))
    return broken("max_angle_deg is " + std::to_string(max_angle_deg), "above 0 and below 180");
  if (model == LensModel::kPinhole && max_angle_deg >= 90)
    return broken("max_angle_deg is " + std::to_string(max_angle_deg), "below 90 for a pinhole model");
  if (!(xi >= 0 && xi < 10)) return broken("xi is " + std::to_string(xi), "0 to 10");
  for (double d : distortion)
    if (!std::isfinite(d)) return broken("distortion holds a value that is not a number", "finite");
  return std::nullopt;
}

std::optional<Eigen::Vector2d> Lens::Project(const Eigen::Vector3d& x_cam) const {
  if (!(AngleFromAxis(x_cam) <= max_angle_deg * bore::kRadPerDeg)) return std::nullopt;
  double uv[2];
  if (!ProjectTo(*this, x_cam.data(), uv)) return std::nullopt;
  return Eigen::Vector2d(uv[0], uv[1]);
}

std::optional<Eigen::Vector3d> Lens::Ray(const Eigen::Vector2d& pixel) const {
  std::optional<Eigen::Vector3d> ray;
  if (model == LensModel::kEquidistant || model == LensModel::kKannalaBrandt) {
    const Eigen::Vector2d m((pixel.x() - cx_px) / fx_px, (pixel.y() - cy_px) / fy_px);
    const double bent = m.norm();
    const auto a = AngleFromBent(*this, bent);
    if (!a) return std::nullopt;
    const double scale = bent > 1e-12 ? std::sin(*a) / bent : 1.0;
    ray = Eigen::Vector3d(scale * m.x(), scale * m.y(), std::cos(*a));
  } else {
    ray = RayByNewton(*this, pixel);
  }
  if (!ray || !(AngleFromAxis(*ray) <= max_angle_deg * bore::kRadPerDeg + kRoundingRad)) return std::nullopt;
  return ray;
}

bool Lens::Sees(const Eigen::Vector2d& pixel) const {
  if (!(pixel.x() >= 0 && pixel.y() >= 0 && pixel.x() <= width_px - 1 && pixel.y() <= height_px - 1)) return false;
  return Ray(pixel).has_value();
}

double PictureEdgeDeg(const Lens& lens) {
  double widest_rad = 0;
  const auto look = [&](double u, double v) {
    if (const auto ray = lens.Ray({u, v})) widest_rad = std::max(widest_rad, AngleFromAxis(*ray));
  };
  const double right = lens.width_px - 1, below = lens.height_px - 1;
  for (double u = 0; u <= right; ++u) look(u, 0), look(u, below);
  for (double v = 0; v <= below; ++v) look(0, v), look(right, v);
  return std::min(lens.max_angle_deg, widest_rad * bore::kDegPerRad + 1e-6);
}

}  // namespace vision::camera
