#include <ceres/ceres.h>

#include <Eigen/Cholesky>
#include <Eigen/Geometry>
#include <Eigen/LU>
#include <algorithm>
#include <cmath>
#include <utility>

#include "vision/base/says.h"
#include "vision/bore/angle.h"
#include "vision/pose/head.h"
#include "vision/pose/pose.h"

namespace vision::pose {
namespace {

/// Unknowns: offset x, offset y, z [mm], lean right, lean down [rad], distance between the two toes [mm].
constexpr int kUnknowns = 6;  ///< Mathematics.
/// Toes wander slowly: about this many places around the bore stray independently of each other.
constexpr double kIndependentPlaces = 16;

bore::BoreFromCam PoseOf(const double* x, const Eigen::Vector3d& axis, const FrameSetting& setting) {
  const Eigen::Vector3d leaned =
      (axis + x[3] * Eigen::Vector3d::UnitX() + x[4] * Eigen::Vector3d::UnitY()).normalized();
  bore::BoreFromCam pose;
  pose.rotation = RotationFromAxis(leaned, setting.up_theta_deg, setting.facing);
  pose.translation_mm << x[0], x[1], x[2];
  return pose;
}

/// How far along the axis a toe point lies from its circle, in its own standard deviations.
struct ToeOffCircle {
  const FrameSetting& setting;
  Eigen::Vector3d axis, sight;
  double radius_mm, sigma_mm;
  bool left;

  bool operator()(const double* x, double* residual) const {
    const auto pose = PoseOf(x, axis, setting);
    const auto wall = bore::WallFromRay(pose.translation_mm, pose.rotation * sight, radius_mm);
    if (!wall) return false;
    residual[0] = (wall->z_mm - (left ? -0.5 : 0.5) * x[5]) / sigma_mm;
    return true;
  }
};

using Unknowns = Eigen::Matrix<double, kUnknowns, 1>;
using Square = Eigen::Matrix<double, kUnknowns, kUnknowns>;

/// What is held by other witnesses: lean (and offset, where the start knows it) by the start, the rest only kept within
/// reason.
struct Prior {
  Unknowns mean;
  Square root;  ///< Of the information: root^T root.

  bool operator()(const double* x, double* residual) const {
    Eigen::Map<Unknowns> out(residual);
    out = root * (Eigen::Map<const Unknowns>(x) - mean);
    return true;
  }
};

Square RootOfInformation(const Pose& start, double radius_mm) {
  Square covariance = Square::Zero();
  const double lean = std::max(1e-8, start.covariance(3, 3));
  covariance.diagonal() << std::pow(0.2 * radius_mm, 2), std::pow(0.2 * radius_mm, 2), 400, lean, lean, 9;
  if (start.agreement > 0)  // structure tells tilt and offset together
    for (const int i : {0, 1, 3, 4})
      for (const int j : {0, 1, 3, 4}) covariance(i, j) = start.covariance(i, j);
  return covariance.inverse().llt().matrixU();
}

struct Fit {
  Eigen::Matrix<double, kUnknowns, 1> x;
  Eigen::Matrix<double, kUnknowns, kUnknowns> covariance;
};

Result<Fit> Solve(const Pose& start, const std::vector<RingPoint>& points, const bore::Bore& bore,
                  const FrameSetting& setting) {
  const double side = setting.facing == Facing::kMinusZ ? -1 : 1;
  const Eigen::Vector3d axis = start.bore_from_cam.rotation.transpose() * Eigen::Vector3d(0, 0, side);
  Fit fit;
  fit.x << start.bore_from_cam.translation_mm, 0, 0, 5;
  const Prior prior{fit.x, RootOfInformation(start, bore.radius_mm)};
  ceres::Problem problem;
  double* x = fit.x.data();
  problem.AddResidualBlock(
      new ceres::NumericDiffCostFunction<Prior, ceres::CENTRAL, kUnknowns, kUnknowns>(new Prior(prior)), nullptr, x);
  const double correlated = std::sqrt(std::max(1.0, static_cast<double>(points.size()) / kIndependentPlaces));
  for (const auto& point : points) {
    const auto sight = setting.lens.Ray(point.pixel);
    if (!sight) continue;
    problem.AddResidualBlock(
        new ceres::NumericDiffCostFunction<ToeOffCircle, ceres::CENTRAL, 1, kUnknowns>(
            new ToeOffCircle{setting, axis, *sight, bore.radius_mm, point.sigma_mm * correlated, point.left}),
        new ceres::HuberLoss(2.0 / correlated), x);
  }
  ceres::Solver::Options options;
  options.logging_type = ceres::SILENT;
  ceres::Solver::Summary summary;
  ceres::Solve(options, &problem, &summary);
  ceres::Covariance covariance{ceres::Covariance::Options()};
  const std::vector<std::pair<const double*, const double*>> blocks{{x, x}};
  if (!summary.IsSolutionUsable() || !covariance.Compute(blocks, &problem)) return NotFound(Says::kNoRingOfToes);
  Eigen::Matrix<double, kUnknowns, kUnknowns, Eigen::RowMajor> rows;
  covariance.GetCovarianceBlock(x, x, rows.data());
  fit.covariance = rows;
  return fit;
}

/// Root mean square distance in the picture between each point and its circle at the same azimuth.
double ResidualPx(const bore::BoreFromCam& pose, double between_toes_mm, const std::vector<RingPoint>& points,
                  double radius_mm, const camera::Lens& lens) {
  double sum = 0;
  int count = 0;
  for (const auto& point : points) {
    const auto sight = lens.Ray(point.pixel);
    const auto wall = sight ? bore::WallFromRay(pose.translation_mm, pose.rotation * *sight, radius_mm) : std::nullopt;
    if (!wall) continue;
    const bore::BorePoint on_circle{wall->theta_deg, (point.left ? -0.5 : 0.5) * between_toes_mm, 0};
    const auto pixel = lens.Project(pose.CamFromBore(bore::XyzFromBore(on_circle, radius_mm)));
    if (!pixel) continue;
    sum += (*pixel - point.pixel).squaredNorm();
    ++count;
  }
  return count > 0 ? std::sqrt(sum / count) : 0;
}

}  // namespace

Result<Pose> RefinePose(const Pose& start, const std::vector<RingPoint>& points, const bore::Bore& bore,
                        const FrameSetting& setting, const PoseOptions& options) {
  if (auto broken = options.Check()) return *broken;
  if (points.size() < 6)
    return BadInput("A pose needs six or more toe points; " + std::to_string(points.size()) + " were given.");
  auto fit = Solve(start, points, bore, setting);
  if (!fit.ok()) return fit.error();
  const auto& x = fit.value().x;
  const double side = setting.facing == Facing::kMinusZ ? -1 : 1;
  const Eigen::Vector3d axis = start.bore_from_cam.rotation.transpose() * Eigen::Vector3d(0, 0, side);
  Pose pose = start;
  pose.bore_from_cam = PoseOf(x.data(), axis, setting);
  pose.covariance = fit.value().covariance.topLeftCorner<5, 5>();
  pose.residual_px = ResidualPx(pose.bore_from_cam, x[5], points, bore.radius_mm, setting.lens);
  if (pose.bore_from_cam.translation_mm.head<2>().norm() > 0.85 * bore.radius_mm) return NotFound(Says::kInTheWall);
  return pose;
}

namespace {

/// The axis that the points lean on: structure's where it is sure, else only the view's own direction within reason.
Result<Pose> StartForPoints(const cv::Mat3b& frame, const bore::Bore& bore, const FrameSetting& setting,
                            const PoseOptions& options) {
  auto stand = FindHeadStand({{frame, setting}}, bore, options);
  if (stand.ok()) {
    Pose start = stand.value().origin;
    if (start.trusted) return start;
    start.covariance(3, 3) = start.covariance(4, 4) = std::pow(options.doubtful_tilt_u_deg * bore::kRadPerDeg, 2);
    start.agreement = 0;
    return start;
  }
  if (stand.error().code != ErrorCode::kNotFound) return stand.error();
  Pose start;
  start.bore_from_cam.rotation = RotationFromAxis(Eigen::Vector3d::UnitZ(), setting.up_theta_deg, setting.facing);
  const double tilt_u_deg = setting.mount.tilt_u_deg.value_or(options.structure.tilt_u_deg);
  start.covariance(3, 3) = start.covariance(4, 4) = std::pow(tilt_u_deg * bore::kRadPerDeg, 2);
  return start;
}

}  // namespace

Result<Pose> PoseFromPoints(const cv::Mat3b& frame, const std::vector<Eigen::Vector2d>& points, const bore::Bore& bore,
                            const FrameSetting& setting, const PoseOptions& options) {
  auto begun = StartForPoints(frame, bore, setting, options);
  if (!begun.ok()) return begun.error();
  Pose start = begun.value();
  const double side = setting.facing == Facing::kMinusZ ? -1 : 1;
  const Eigen::Vector3d axis = side * start.bore_from_cam.rotation.row(2).transpose();
  std::vector<RingPoint> ring;
  double mean_distance = 0;
  for (const auto& pixel : points) {
    const auto sight = setting.lens.Ray(pixel);
    if (!sight) return BadInput("A toe point lies outside the lens's image circle.");
    const double cosine = std::clamp(sight->dot(axis), -0.999, 0.999);
    mean_distance += bore.radius_mm * cosine / std::sqrt(1 - cosine * cosine) / static_cast<double>(points.size());
    ring.push_back({pixel, options.ring_wander_mm, setting.facing != Facing::kMinusZ});
  }
  start.bore_from_cam.translation_mm.z() = -side * mean_distance;
  auto pose = RefinePose(start, ring, bore, setting, options);
  if (pose.ok()) {
    pose.value().how = WordsOf(Says::kPointsByPerson);
    pose.value().trusted = true;  // what stays unknown is in its covariance
  }
  return pose;
}

}  // namespace vision::pose
