#include "vision/relief/light_solve.h"

#include <ceres/ceres.h>
#include <ceres/rotation.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>

#include "vision/base/median.h"
#include "vision/base/number.h"
#include "vision/base/says.h"
#include "vision/bore/angle.h"
#include "vision/camera/lens_project.h"

namespace vision::relief {
namespace {

constexpr double kRad = bore::kRadPerDeg;  ///< Mathematics.
/// Lamps that travel with the camera drag the look of the wall's drawing along, a little differently around the bore;
/// on rendered frames with truth that turns the axis by 0.2 to 0.3 degree, which no residual shows.
constexpr double kAxisDrag_deg = 0.3;

/// A camera point in the bore: rotation0 * exp(turn) * p + place; pose = turn (rad, camera frame), place (mm).
template <class T>
Eigen::Matrix<T, 3, 1> ToBore(const Eigen::Matrix3d& rotation0, const T* pose, const Eigen::Matrix<T, 3, 1>& p) {
  Eigen::Matrix<T, 3, 1> turned;
  ceres::AngleAxisRotatePoint(pose, p.data(), turned.data());
  return rotation0.cast<T>() * turned + Eigen::Matrix<T, 3, 1>(pose[3], pose[4], pose[5]);
}

template <class T>
T WallAt(const T* walls, const T& theta, bool left) {
  using std::cos;
  using std::sin;
  const T oval = walls[3] * cos(2.0 * theta) + walls[4] * sin(2.0 * theta);
  return left ? oval : oval + walls[0] + walls[1] * cos(theta) + walls[2] * sin(theta);
}

struct DrawingResidual {
  const pose::FrameSetting* setting;
  Eigen::Matrix3d rotation0;
  Eigen::Vector2d pixel;
  double sigma_px, radius_mm;
  bool left;

  template <class T>
  bool operator()(const T* pose, const T* walls, const T* point, T* residual) const {
    using std::cos;
    using std::sin;
    const T r = radius_mm - WallAt(walls, point[0], left);
    const Eigen::Matrix<T, 3, 1> away(-r * sin(point[0]) - pose[3], r * cos(point[0]) - pose[4], point[1] - pose[5]);
    const Eigen::Matrix<T, 3, 1> in0 = rotation0.transpose().cast<T>() * away;
    const T back[3] = {-pose[0], -pose[1], -pose[2]};
    T cam[3], uv[2];
    ceres::AngleAxisRotatePoint(back, in0.data(), cam);
    if (!camera::ProjectTo(setting->lens, cam, uv)) return false;
    residual[0] = (uv[0] - pixel.x()) / sigma_px;
    residual[1] = (uv[1] - pixel.y()) / sigma_px;
    return true;
  }
};

struct StripeResidual {
  Eigen::Matrix3d rotation0;
  Eigen::Vector2d slope;
  double sigma_mm, radius_mm;
  bool left;

  template <class T>
  bool operator()(const T* pose, const T* walls, const T* plane, T* residual) const {
    using std::atan2;
    using std::cos;
    using std::sin;
    using std::sqrt;
    const Eigen::Matrix<T, 3, 1> normal(sin(plane[2]), -sin(plane[1]), cos(plane[1]) * cos(plane[2]));
    const T along = plane[0] * normal.z() / (normal.x() * slope.x() + normal.y() * slope.y() + normal.z());
    const Eigen::Matrix<T, 3, 1> cam(slope.x() * along, slope.y() * along, along);
    const auto at = ToBore(rotation0, pose, cam);
    const T theta = atan2(-at.x(), at.y());
    residual[0] = (radius_mm - sqrt(at.x() * at.x() + at.y() * at.y()) - WallAt(walls, theta, left)) / sigma_mm;
    return true;
  }
};

/// Holds one number near a value.
struct Held {
  int index;
  double value, sigma;
  template <class T>
  bool operator()(const T* block, T* residual) const {
    residual[0] = (block[index] - value) / sigma;
    return true;
  }
};

/// Holds the turn about the bore's axis: what the image's up says, for the first frame exactly.
struct HeldRoll {
  Eigen::Vector3d axis_cam;
  double sigma_rad;
  template <class T>
  bool operator()(const T* pose, T* residual) const {
    residual[0] = (pose[0] * axis_cam.x() + pose[1] * axis_cam.y() + pose[2] * axis_cam.z()) / sigma_rad;
    return true;
  }
};

template <int kSize, class Functor>
ceres::CostFunction* Prior(Functor functor) {
  return new ceres::AutoDiffCostFunction<Functor, 1, kSize>(new Functor(functor));
}

/// The problem with its blocks.
struct Blocks {
  std::vector<std::array<double, 6>> poses;
  std::vector<std::array<double, 2>> points;
  std::array<double, 5> walls{};
  std::array<double, 3> plane{};
  std::vector<ceres::ResidualBlockId> drawing, stripe;
};

void AddDrawing(const PathProblem& p, Blocks& b, ceres::Problem& problem) {
  using Cost = ceres::AutoDiffCostFunction<DrawingResidual, 2, 6, 5, 2>;
  for (const auto& point : p.drawing) b.points.push_back({point.theta_deg * kRad, point.z_mm});
  for (std::size_t k = 0; k < p.drawing.size(); ++k)
    for (const auto& sight : p.drawing[k].sights) {
      const auto i = static_cast<std::size_t>(sight.frame);
      auto* cost = new Cost(new DrawingResidual{p.settings[i], p.poses[i].rotation, sight.pixel, sight.sigma_px,
                                                p.bore.radius_mm, p.drawing[k].z_mm < p.weld_z_mm});
      b.drawing.push_back(problem.AddResidualBlock(cost, new ceres::CauchyLoss(2.0), b.poses[i].data(), b.walls.data(),
                                                   b.points[k].data()));
    }
}

void AddStripe(const PathProblem& p, Blocks& b, ceres::Problem& problem) {
  using Cost = ceres::AutoDiffCostFunction<StripeResidual, 1, 6, 5, 3>;
  for (const auto& sight : p.stripe) {
    const auto i = static_cast<std::size_t>(sight.frame);
    auto* cost =
        new Cost(new StripeResidual{p.poses[i].rotation, sight.slope, p.stripe_sigma_mm, p.bore.radius_mm, sight.left});
    b.stripe.push_back(
        problem.AddResidualBlock(cost, new ceres::CauchyLoss(2.0), b.poses[i].data(), b.walls.data(), b.plane.data()));
  }
}

/// Weak priors keep what nothing in the pictures decides from running away; the plane by what is known of it.
void AddPriors(const PathProblem& p, Blocks& b, ceres::Problem& problem) {
  constexpr double kLoose_mm = 30, kFixed = 1e-4;
  for (std::size_t i = 0; i < b.poses.size(); ++i) {
    const Eigen::Vector3d axis = p.poses[i].rotation.row(2).transpose();
    problem.AddResidualBlock(Prior<6>(HeldRoll{axis, i == 0 ? kFixed : 3 * kRad}), nullptr, b.poses[i].data());
    problem.AddResidualBlock(Prior<6>(Held{5, p.poses[i].translation_mm.z(), i == 0 ? kFixed : kLoose_mm}), nullptr,
                             b.poses[i].data());
  }
  const double tilt_u = std::isfinite(p.plane.tilt_u_deg) ? p.plane.tilt_u_deg : 3,
               distance_u = std::isfinite(p.plane.distance_u_mm) ? p.plane.distance_u_mm : 10;
  problem.AddResidualBlock(Prior<3>(Held{0, p.plane.distance_mm, distance_u}), nullptr, b.plane.data());
  problem.AddResidualBlock(Prior<3>(Held{1, p.plane.tilt_x_deg * kRad, tilt_u * kRad}), nullptr, b.plane.data());
  problem.AddResidualBlock(Prior<3>(Held{2, p.plane.tilt_y_deg * kRad, tilt_u * kRad}), nullptr, b.plane.data());
  for (int k = 0; k < 3; ++k) problem.AddResidualBlock(Prior<5>(Held{k, 0, 0.7}), nullptr, b.walls.data());
  for (int k = 3; k < 5; ++k) problem.AddResidualBlock(Prior<5>(Held{k, 0, 0.2}), nullptr, b.walls.data());
}

/// Root mean square of residual blocks, half the worst left out of the tail by the median.
/// @param units What a residual of 1 is, one a block: all 1 gives the answer in standard uncertainties.
double RobustRms(ceres::Problem& problem, const std::vector<ceres::ResidualBlockId>& blocks,
                 const std::vector<double>& units, int size) {
  std::vector<double> values;
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    double residual[2] = {0, 0};
    if (!problem.EvaluateResidualBlock(blocks[i], false, nullptr, residual, nullptr)) continue;
    for (int k = 0; k < size; ++k) values.push_back(units[i] * std::abs(residual[k]));
  }
  if (values.empty()) return 0;
  return 1.4826 * MedianInPlace(values);
}

/// The sigma of each sight of the drawing, in the order of Blocks::drawing.
std::vector<double> SigmasOf(const std::vector<DrawingPoint>& drawing) {
  std::vector<double> sigmas;
  for (const auto& point : drawing)
    for (const auto& sight : point.sights) sigmas.push_back(sight.sigma_px);
  return sigmas;
}

Eigen::Matrix3d Cross(const Eigen::Vector3d& v) {
  return (Eigen::Matrix3d() << 0, -v.z(), v.y(), v.z(), 0, -v.x(), -v.y(), v.x(), 0).finished();
}

/// Uncertainties of the poses and of the cuts against each other. @param scale Found over expected residual.
/// @return false when the pictures leave a pose free, so that there is no covariance.
bool AddUncertainties(ceres::Problem& problem, const Blocks& b, double scale, PathSolved& solved) {
  const std::size_t n = b.poses.size();
  std::vector<const double*> blocks;
  for (const auto& pose : b.poses) blocks.push_back(pose.data());
  ceres::Covariance::Options options;
  options.num_threads = 2;
  ceres::Covariance covariance(options);
  Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor> all(6 * n, 6 * n);
  if (!covariance.Compute(blocks, &problem) || !covariance.GetCovarianceMatrix(blocks, all.data())) return false;
  all *= scale * scale;
  Eigen::MatrixXd to_cut = Eigen::MatrixXd::Zero(2 * static_cast<long>(n), 6 * static_cast<long>(n));
  for (std::size_t i = 0; i < n; ++i) {
    const auto at = static_cast<long>(6 * i), row = static_cast<long>(2 * i);
    const auto& rotation = solved.poses[i].rotation;
    const Eigen::Matrix3d by_turn = -rotation * Cross({0, 0, solved.plane.distance_mm});
    to_cut.block<2, 3>(row, at) = by_turn.topRows<2>();
    to_cut.block<2, 2>(row, at + 3).setIdentity();
    const auto own = all.block<6, 6>(at, at);
    solved.offset_u_mm.push_back(std::sqrt(0.5 * (own(3, 3) + own(4, 4))));
    solved.z_u_mm.push_back(std::sqrt(own(5, 5)));
    solved.tilt_u_deg.push_back(std::sqrt(0.5 * (own(0, 0) + own(1, 1))) / kRad);
  }
  Eigen::MatrixXd less_mean = Eigen::MatrixXd::Identity(to_cut.rows(), to_cut.rows());
  for (long i = 0; i < to_cut.rows(); ++i)
    for (long k = i % 2; k < to_cut.rows(); k += 2) less_mean(i, k) -= 1.0 / static_cast<double>(n);
  const Eigen::MatrixXd of_cuts = less_mean * to_cut * all * to_cut.transpose() * less_mean.transpose();
  double mean_z = 0;
  for (const auto& pose : solved.poses) mean_z += pose.translation_mm.z() / static_cast<double>(n);
  for (std::size_t i = 0; i < n; ++i) {
    const auto k = static_cast<long>(2 * i);
    const double drag = (solved.poses[i].translation_mm.z() - mean_z) * std::tan(kAxisDrag_deg * kRad);
    solved.cut_u_mm.push_back(std::sqrt(std::max(0.0, 0.5 * (of_cuts(k, k) + of_cuts(k + 1, k + 1))) + drag * drag));
  }
  return true;
}

void TakeOver(const PathProblem& p, const Blocks& b, PathSolved& solved) {
  for (std::size_t i = 0; i < b.poses.size(); ++i) {
    const Eigen::Vector3d turn(b.poses[i][0], b.poses[i][1], b.poses[i][2]);
    const double angle = turn.norm();
    const Eigen::Matrix3d by = angle > 1e-12 ? Eigen::AngleAxisd(angle, turn / angle).toRotationMatrix()
                                             : Eigen::Matrix3d(Eigen::Matrix3d::Identity());
    solved.poses.push_back({p.poses[i].rotation * by, {b.poses[i][3], b.poses[i][4], b.poses[i][5]}});
  }
  solved.plane = p.plane;
  solved.plane.distance_mm = b.plane[0];
  solved.plane.tilt_x_deg = b.plane[1] / kRad;
  solved.plane.tilt_y_deg = b.plane[2] / kRad;
  std::copy_n(b.walls.begin(), 3, solved.walls.right.begin());
  std::copy_n(b.walls.begin() + 3, 2, solved.walls.oval.begin());
}

}  // namespace

double Walls::At(double theta_rad, bool left) const {
  const double all[5] = {right[0], right[1], right[2], oval[0], oval[1]};
  return WallAt(all, theta_rad, left);
}

Status Distrusted(const Walls& walls, double stripe_rms_mm) {
  constexpr double kOffTheWall_mm = 0.3;  // usual: 0.03 to 0.08
  constexpr double kWallsApart_mm = 3;    // no fit-up is welded so
  const double apart = std::abs(walls.right[0]) + std::hypot(walls.right[1], walls.right[2]);
  if (stripe_rms_mm > kOffTheWall_mm) return NotFound(Says::kRingOffTheWall, {NumberText(stripe_rms_mm, "%.2f")});
  if (apart > kWallsApart_mm) return NotFound(Says::kPipesApart, {NumberText(apart, "%.1f")});
  return std::nullopt;
}

Result<PathSolved> SolvePath(const PathProblem& p) {
  Blocks b;
  for (const auto& pose : p.poses)
    b.poses.push_back({0, 0, 0, pose.translation_mm.x(), pose.translation_mm.y(), pose.translation_mm.z()});
  b.walls = {p.walls.right[0], p.walls.right[1], p.walls.right[2], p.walls.oval[0], p.walls.oval[1]};
  b.plane = {p.plane.distance_mm, p.plane.tilt_x_deg * kRad, p.plane.tilt_y_deg * kRad};
  b.points.reserve(p.drawing.size());
  ceres::Problem problem;
  AddDrawing(p, b, problem);
  AddStripe(p, b, problem);
  AddPriors(p, b, problem);
  ceres::Solver::Options options;
  options.linear_solver_type = ceres::SPARSE_NORMAL_CHOLESKY;
  options.max_num_iterations = 60;
  options.num_threads = 2;
  options.logging_type = ceres::SILENT;
  ceres::Solver::Summary summary;
  ceres::Solve(options, &problem, &summary);
  if (!summary.IsSolutionUsable()) return NotFound(Says::kPathUnsolved, {summary.message});
  PathSolved solved;
  TakeOver(p, b, solved);
  const std::vector<double> ones(std::max(b.drawing.size(), b.stripe.size()), 1);
  const double drawing = RobustRms(problem, b.drawing, ones, 2), stripe = RobustRms(problem, b.stripe, ones, 1);
  solved.drawing_rms_px = RobustRms(problem, b.drawing, SigmasOf(p.drawing), 2);
  solved.stripe_rms_mm = stripe * p.stripe_sigma_mm;
  if (!AddUncertainties(problem, b, std::max({0.5, drawing, stripe}), solved)) return NotFound(Says::kFrameNotHeld);
  return solved;
}

}  // namespace vision::relief
