#include "vision/camera/lens_fit.h"

#include <ceres/ceres.h>
#include <ceres/rotation.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <numeric>
#include <opencv2/core.hpp>

#include "vision/base/median.h"
#include "vision/bore/angle.h"
#include "vision/camera/lens_project.h"

namespace vision::camera {
namespace {

constexpr int kNumbers = 13;  // Format: fx fy cx cy xi d0..d7
using Numbers = std::array<double, kNumbers>;

Numbers Pack(const Lens& lens) {
  const auto in = IntrinsicsOf(lens);
  Numbers out{in.fx, in.fy, in.cx, in.cy, in.xi};
  std::copy(in.distortion.begin(), in.distortion.end(), out.begin() + 5);
  return out;
}

int DistortionCount(LensModel model) {
  switch (model) {
    case LensModel::kEquidistant:
      return 0;
    case LensModel::kPinhole:
      return 5;
    default:
      return 4;
  }
}

void Unpack(const Numbers& in, Lens& lens) {
  lens.fx_px = in[0];
  lens.fy_px = in[1];
  lens.cx_px = in[2];
  lens.cy_px = in[3];
  lens.xi = in[4];
  lens.distortion.assign(in.begin() + 5, in.begin() + 5 + DistortionCount(lens.model));
}

/// Indices into Numbers that stay as they are.
std::vector<int> Constant(LensModel model, bool square_pixels) {
  std::vector<int> held;
  if (square_pixels) held.push_back(1);
  if (model != LensModel::kOmni) held.push_back(4);
  for (int i = 5 + DistortionCount(model); i < kNumbers; ++i) held.push_back(i);
  return held;
}

struct CornerError {
  LensModel model;
  bool square_pixels;
  Eigen::Vector2d board_mm, corner_px;

  template <class T>
  bool operator()(const T* numbers, const T* angle_axis, const T* translation, T* residual) const {
    Intrinsics<T> lens{numbers[0], square_pixels ? numbers[0] : numbers[1], numbers[2], numbers[3], numbers[4], {}};
    std::copy(numbers + 5, numbers + kNumbers, lens.distortion.begin());
    const T on_board[3] = {T(board_mm.x()), T(board_mm.y()), T(0)};
    T p[3];
    ceres::AngleAxisRotatePoint(angle_axis, on_board, p);
    for (int i = 0; i < 3; ++i) p[i] += translation[i];
    if (!ProjectThrough(model, lens, p, residual)) return false;
    residual[0] -= corner_px.x();
    residual[1] -= corner_px.y();
    return true;
  }
};

Eigen::Vector3d InCamera(const CamFromBoard& pose, const Eigen::Vector2d& board_mm) {
  const double on_board[3] = {board_mm.x(), board_mm.y(), 0};
  Eigen::Vector3d p;
  ceres::AngleAxisRotatePoint(pose.angle_axis_rad.data(), on_board, p.data());
  return p + Eigen::Vector3d(pose.translation_mm[0], pose.translation_mm[1], pose.translation_mm[2]);
}

/// Fills residuals and angles of `fit`. @return false where a corner has no picture.
bool Assess(LensFit& fit, const std::vector<BoardView>& views, const std::vector<Eigen::Vector2d>& board_mm) {
  double total = 0;
  fit.view_rms_px.clear();
  fit.view_max_angle_deg.clear();
  fit.view_off_px.assign(views.size(), {});
  for (std::size_t v = 0; v < views.size(); ++v) {
    double sum = 0, widest = 0;
    for (std::size_t i = 0; i < board_mm.size(); ++i) {
      const Eigen::Vector3d p = InCamera(fit.poses[v], board_mm[i]);
      Eigen::Vector2d uv;
      if (!ProjectTo(fit.lens, p.data(), uv.data()) || !uv.allFinite()) return false;
      fit.view_off_px[v].push_back(views[v].corners_px[i] - uv);
      sum += fit.view_off_px[v].back().squaredNorm();
      widest = std::max(widest, std::atan2(p.head<2>().norm(), p.z()) * bore::kDegPerRad);
    }
    total += sum;
    fit.view_rms_px.push_back(std::sqrt(sum / static_cast<double>(board_mm.size())));
    fit.view_max_angle_deg.push_back(widest);
  }
  fit.rms_px = std::sqrt(total / static_cast<double>(board_mm.size() * views.size()));
  fit.middle_px = fit.lens.fx_px / (1 + fit.lens.xi);
  fit.lens.max_angle_deg = *std::max_element(fit.view_max_angle_deg.begin(), fit.view_max_angle_deg.end());
  return true;
}

// OpenCV's solvers are compiled already; Eigen's of these sizes cost this file five seconds.
using Matrix9d = Eigen::Matrix<double, 9, 9>;

Eigen::Matrix<double, 9, 1> SmallestEigenvector(Matrix9d symmetric) {
  cv::Mat values, vectors;  // one a row, the largest first
  cv::eigen(cv::Mat(9, 9, CV_64F, symmetric.data()), values, vectors);
  return Eigen::Map<const Eigen::Matrix<double, 9, 1>>(vectors.ptr<double>(8));
}

/// U V' of the singular value decomposition. OpenCV reads Eigen's columns as rows, so all is transposed twice.
Eigen::Matrix3d NearestOrthogonal(Eigen::Matrix3d matrix) {
  const cv::SVD svd(cv::Mat(3, 3, CV_64F, matrix.data()));
  const cv::Mat product = svd.u * svd.vt;
  return Eigen::Map<const Eigen::Matrix3d>(product.ptr<double>());
}

/// Pose from directions to the board's points: ray x (H (X, Y, 1)) = 0, H = s [r1 r2 t].
std::optional<CamFromBoard> PoseFromRays(const std::vector<Eigen::Vector3d>& rays,
                                         const std::vector<Eigen::Vector2d>& board_mm) {
  double size = 0;
  for (const auto& b : board_mm) size = std::max(size, b.norm());
  Matrix9d normal = Matrix9d::Zero();
  for (std::size_t i = 0; i < rays.size(); ++i) {
    const Eigen::Vector3d b(board_mm[i].x() / size, board_mm[i].y() / size, 1), &r = rays[i];
    Eigen::Matrix3d cross;
    cross << 0, -r.z(), r.y(), r.z(), 0, -r.x(), -r.y(), r.x(), 0;
    Eigen::Matrix<double, 3, 9> rows;
    for (int c = 0; c < 3; ++c) rows.block<3, 3>(0, 3 * c) = cross * b[c];
    normal += rows.transpose() * rows;
  }
  Eigen::Matrix3d h = Eigen::Map<const Eigen::Matrix3d>(SmallestEigenvector(normal).data());
  double same_side = 0;
  for (std::size_t i = 0; i < rays.size(); ++i)
    same_side += rays[i].dot(h * Eigen::Vector3d(board_mm[i].x() / size, board_mm[i].y() / size, 1)) > 0 ? 1 : -1;
  if (same_side < 0) h = -h;
  const double scale = std::sqrt(h.col(0).norm() * h.col(1).norm());
  if (!(scale > 1e-9)) return std::nullopt;
  Eigen::Matrix3d near_rotation;
  near_rotation << h.col(0), h.col(1), h.col(0).cross(h.col(1)) / scale;
  const Eigen::Matrix3d rotation = NearestOrthogonal(near_rotation / scale);
  if (!(rotation.determinant() > 0)) return std::nullopt;
  CamFromBoard pose;
  ceres::RotationMatrixToAngleAxis(rotation.data(), pose.angle_axis_rad.data());
  for (int i = 0; i < 3; ++i) pose.translation_mm[static_cast<std::size_t>(i)] = h(i, 2) / scale * size;
  return pose;
}

/// Poses of all views through a given lens. @return nullopt where one has none.
std::optional<LensFit> PosesThrough(const Lens& lens, const std::vector<BoardView>& views,
                                    const std::vector<Eigen::Vector2d>& board_mm) {
  LensFit fit;
  fit.lens = lens;
  for (const auto& view : views) {
    std::vector<Eigen::Vector3d> rays;
    for (const auto& corner : view.corners_px) {
      const auto ray = lens.Ray(corner);
      if (!ray) return std::nullopt;
      rays.push_back(*ray);
    }
    const auto pose = PoseFromRays(rays, board_mm);
    if (!pose) return std::nullopt;
    fit.poses.push_back(*pose);
  }
  if (!Assess(fit, views, board_mm)) return std::nullopt;
  return fit;
}

/// @return false when the views leave the lens open.
bool Uncertainty(ceres::Problem& problem, const Numbers& numbers, LensFit& fit, std::size_t corners) {
  ceres::Covariance::Options options;
  options.algorithm_type = ceres::SPARSE_QR;
  ceres::Covariance covariance(options);
  const std::vector<std::pair<const double*, const double*>> blocks{{numbers.data(), numbers.data()}};
  if (!covariance.Compute(blocks, &problem)) return false;
  std::array<double, kNumbers * kNumbers> c{};
  if (!covariance.GetCovarianceBlock(numbers.data(), numbers.data(), c.data())) return false;
  const double freedom =
      static_cast<double>(2 * corners) - fit.parameters - 6.0 * static_cast<double>(fit.poses.size());
  if (!(freedom > 0)) return false;
  const double variance = fit.rms_px * fit.rms_px * static_cast<double>(corners) / freedom;
  const double df = 1 / (1 + numbers[4]), dxi = -numbers[0] * df * df;  // of f / (1 + xi)
  fit.middle_u_px = std::sqrt(variance * (df * df * c[0] + 2 * df * dxi * c[4] + dxi * dxi * c[4 * kNumbers + 4]));
  fit.centre_u_px = std::sqrt(variance * std::max(c[2 * kNumbers + 2], c[3 * kNumbers + 3]));
  return std::isfinite(fit.middle_u_px) && std::isfinite(fit.centre_u_px);
}

void AddCorners(ceres::Problem& problem, Numbers& numbers, LensFit& fit, const std::vector<BoardView>& views,
                const std::vector<Eigen::Vector2d>& board_mm, const LensFitOptions& options) {
  for (std::size_t v = 0; v < views.size(); ++v)
    for (std::size_t i = 0; i < board_mm.size(); ++i) {
      auto* cost = new ceres::AutoDiffCostFunction<CornerError, 2, kNumbers, 3, 3>(
          new CornerError{fit.lens.model, options.square_pixels, board_mm[i], views[v].corners_px[i]});
      problem.AddResidualBlock(cost, options.huber_px > 0 ? new ceres::HuberLoss(options.huber_px) : nullptr,
                               numbers.data(), fit.poses[v].angle_axis_rad.data(), fit.poses[v].translation_mm.data());
    }
}

}  // namespace

Result<LensFit> StartLens(const std::vector<BoardView>& views, const std::vector<Eigen::Vector2d>& board_mm,
                          int width_px, int height_px) {
  std::optional<LensFit> best;
  const double half_px = 0.5 * std::max(width_px, height_px);
  for (double half_angle_deg = 6; half_angle_deg < 125; half_angle_deg *= 1.2)
    for (const auto& [dx, dy] : {std::pair{0.0, 0.0}, {0.0, 0.07}, {0.0, -0.07}, {0.07, 0.0}, {-0.07, 0.0}}) {
      Lens lens;
      lens.width_px = width_px;
      lens.height_px = height_px;
      lens.fx_px = lens.fy_px = half_px / (half_angle_deg * bore::kRadPerDeg);
      lens.cx_px = 0.5 * (width_px - 1) + dx * width_px;
      lens.cy_px = 0.5 * (height_px - 1) + dy * height_px;
      lens.max_angle_deg = 179;
      const auto fit = PosesThrough(lens, views, board_mm);
      if (fit && (!best || Median(fit->view_rms_px) < Median(best->view_rms_px))) best = fit;
    }
  if (!best) return NotFound("No lens explains the corners; the pictures must show one flat board of the given size.");
  return *best;
}

LensFit AsModel(const LensFit& from, LensModel model) {
  LensFit to = from;
  const double middle_px = from.lens.fx_px / (1 + from.lens.xi);
  to.lens.model = model;
  to.lens.xi = model == LensModel::kOmni ? 1 : 0;
  to.lens.fx_px = to.lens.fy_px = middle_px * (1 + to.lens.xi);
  to.lens.distortion.assign(static_cast<std::size_t>(DistortionCount(model)), 0.0);
  return to;
}

Result<LensFit> RefineLens(const LensFit& start, const std::vector<BoardView>& views,
                           const std::vector<Eigen::Vector2d>& board_mm, const LensFitOptions& options) {
  const std::string model = NameOf(start.lens.model);
  LensFit fit = start;
  if (!Assess(fit, views, board_mm)) return NotFound(model + " cannot show every corner from its start.");
  Numbers numbers = Pack(fit.lens);
  ceres::Problem problem;
  AddCorners(problem, numbers, fit, views, board_mm, options);
  const auto held = Constant(fit.lens.model, options.square_pixels);
  problem.SetManifold(numbers.data(), new ceres::SubsetManifold(kNumbers, held));
  problem.SetParameterLowerBound(numbers.data(), 0, 1.0);
  if (fit.lens.model == LensModel::kOmni) {
    problem.SetParameterLowerBound(numbers.data(), 4, 0.0);
    problem.SetParameterUpperBound(numbers.data(), 4, 5.0);
  }
  ceres::Solver::Options solver;
  solver.linear_solver_type = ceres::DENSE_SCHUR;
  solver.max_num_iterations = 200;
  solver.function_tolerance = 1e-10;
  solver.logging_type = ceres::SILENT;
  ceres::Solver::Summary summary;
  ceres::Solve(solver, &problem, &summary);
  if (options.square_pixels) numbers[1] = numbers[0];
  Unpack(numbers, fit.lens);
  fit.parameters = kNumbers - static_cast<int>(held.size());
  if (!summary.IsSolutionUsable() || !Assess(fit, views, board_mm))
    return NotFound(model + " does not settle on these corners.");
  if (options.covariance && !Uncertainty(problem, numbers, fit, views.size() * board_mm.size()))
    return NotFound(model + " is left open by these views; tilt the board in several directions.");
  return fit;
}

}  // namespace vision::camera
