#include "vision/pose/push.h"

#include <ceres/ceres.h>
#include <ceres/rotation.h>

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>

#include "vision/base/range.h"
#include "vision/base/says.h"
#include "vision/bore/angle.h"
#include "vision/camera/lens_project.h"
#include "vision/statistics/harmonics.h"

namespace vision::pose {
namespace {

using Six = std::array<double, 6>;         ///< Place in mm, then a small turn in the camera's frame after the start's.
using LensChange = std::array<double, 3>;  ///< Relative focal length, then principal point in px.

/// x_cam of a point seen from a frame moved by `pose` (its turn is small, a rotation vector).
template <class T>
void ToCamera(const Eigen::Matrix3d& start_rotation, const T* pose, const T* x_bore, T* x_cam) {
  T in_start[3];
  for (int i = 0; i < 3; ++i) {
    in_start[i] = T(0);
    for (int k = 0; k < 3; ++k) in_start[i] += start_rotation(k, i) * (x_bore[k] - pose[k]);
  }
  const T back[3] = {-pose[3], -pose[4], -pose[5]};
  ceres::AngleAxisRotatePoint(back, in_start, x_cam);
}

/// A sighting against where its point falls in the picture, in the sighting's own deviations.
struct SightingOff {
  const camera::Lens& lens;
  Eigen::Matrix3d start_rotation;
  Eigen::Vector2d pixel;
  Eigen::Matrix2d whiten;
  Eigen::Matrix<double, 8, 1> basis;
  double radius_mm;

  template <class T>
  bool operator()(const T* pose, const T* point, const T* levels, const T* change, T* residual) const {
    using std::cos;
    using std::sin;
    T r = T(radius_mm);
    for (int i = 0; i < 8; ++i) r -= basis[i] * levels[i];
    const T theta = point[0] / radius_mm;
    const T wall[3] = {-r * sin(theta), r * cos(theta), point[1]};
    T x_cam[3], uv[2];
    ToCamera(start_rotation, pose, wall, x_cam);
    if (!camera::ProjectTo(lens, x_cam, uv)) return false;
    const T u = lens.cx_px + change[1] + (1.0 + change[0]) * (uv[0] - lens.cx_px) - pixel.x();
    const T v = lens.cy_px + change[2] + (1.0 + change[0]) * (uv[1] - lens.cy_px) - pixel.y();
    residual[0] = whiten(0, 0) * u + whiten(0, 1) * v;
    residual[1] = whiten(1, 0) * u + whiten(1, 1) * v;
    return true;
  }
};

/// What holds a frame besides the wall: its up as told, its distance as first found.
struct FramePrior {
  Eigen::Matrix3d start_rotation;
  double up_rad, up_u_rad, z_mm, z_u_mm;

  template <class T>
  bool operator()(const T* pose, T* residual) const {
    using std::atan2;
    using std::cos;
    using std::sin;
    const T turn[3] = {pose[3], pose[4], pose[5]}, up_cam[3] = {T(0), T(-1), T(0)};
    T up[3];
    ceres::AngleAxisRotatePoint(turn, up_cam, up);
    const T x = start_rotation(0, 0) * up[0] + start_rotation(0, 1) * up[1] + start_rotation(0, 2) * up[2];
    const T y = start_rotation(1, 0) * up[0] + start_rotation(1, 1) * up[1] + start_rotation(1, 2) * up[2];
    const T s = -x * cos(up_rad) - y * sin(up_rad), c = y * cos(up_rad) - x * sin(up_rad);
    residual[0] = atan2(s, c) / up_u_rad;
    residual[1] = (pose[2] - z_mm) / z_u_mm;
    return true;
  }
};

/// Tilt and offset as the frame shows them alone.
struct StandPrior {
  Eigen::Matrix3d start_rotation;
  Eigen::Vector2d across_mm;
  double side;             ///< 1 looking +z, -1 looking -z.
  Eigen::Matrix4d whiten;  ///< Of offset x, offset y, lean right, lean down.

  template <class T>
  bool operator()(const T* pose, T* residual) const {
    const T back[3] = {-pose[3], -pose[4], -pose[5]};
    const T axis[3] = {T(side * start_rotation(2, 0)), T(side * start_rotation(2, 1)), T(side * start_rotation(2, 2))};
    T turned[3];
    ceres::AngleAxisRotatePoint(back, axis, turned);
    const T off[4] = {pose[0] - across_mm.x(), pose[1] - across_mm.y(), turned[0] - axis[0], turned[1] - axis[1]};
    for (int i = 0; i < 4; ++i) {
      residual[i] = T(0);
      for (int k = 0; k <= i; ++k) residual[i] += whiten(i, k) * off[k];
    }
    return true;
  }
};

struct TravelStep {
  double step_mm, u_mm;

  template <class T>
  bool operator()(const T* before, const T* after, T* residual) const {
    residual[0] = (after[2] - before[2] - step_mm) / u_mm;
    return true;
  }
};

template <int N>
struct ZeroPrior {
  Eigen::Matrix<double, N, 1> sigma;

  template <class T>
  bool operator()(const T* x, T* residual) const {
    for (int i = 0; i < N; ++i) residual[i] = x[i] / sigma[i];
    return true;
  }
};

/// All unknowns and the problem over them.
struct PushProblem {
  std::vector<Six> poses;
  std::vector<std::array<double, 2>> points;
  std::array<double, 8> levels{};
  LensChange change{};
  std::vector<ceres::ResidualBlockId> blocks;
  ceres::Problem problem;
};

/// A frame's own tilt and offset, its covariance times the number of frames: the bead's wander and the walls' step set
/// all of them off alike.
void AddStand(const PushFrame& frame, std::size_t frames, double* pose, ceres::Problem* problem) {
  if (!(frame.start.agreement > 0)) return;
  constexpr int kStand[] = {0, 1, 3, 4};
  Eigen::Matrix4d covariance;
  for (int i = 0; i < 4; ++i)
    for (int k = 0; k < 4; ++k)
      covariance(i, k) = static_cast<double>(frames) * frame.start.covariance(kStand[i], kStand[k]);
  const Eigen::LLT<Eigen::Matrix4d> factor(covariance);
  if (factor.info() != Eigen::Success) return;
  const Eigen::Matrix4d lower = factor.matrixL();
  const auto& start = frame.start.bore_from_cam;
  auto* prior = new StandPrior{start.rotation, start.translation_mm.head<2>(),
                               frame.setting.facing == Facing::kMinusZ ? -1.0 : 1.0, lower.inverse()};
  problem->AddResidualBlock(new ceres::AutoDiffCostFunction<StandPrior, 4, 6>(prior), nullptr, pose);
}

void AddPriors(const std::vector<PushFrame>& frames, const bore::Bore& bore, const PushOptions& options,
               PushProblem* push) {
  for (std::size_t i = 0; i < frames.size(); ++i) {
    const auto& frame = frames[i];
    auto* prior = new FramePrior{frame.start.bore_from_cam.rotation, frame.setting.up_theta_deg * bore::kRadPerDeg,
                                 options.up_u_deg * bore::kRadPerDeg, frame.start.bore_from_cam.translation_mm.z(),
                                 std::max(2.0, frame.start.z_u_mm())};
    push->problem.AddResidualBlock(new ceres::AutoDiffCostFunction<FramePrior, 2, 6>(prior), nullptr,
                                   push->poses[i].data());
    AddStand(frame, frames.size(), push->poses[i].data(), &push->problem);
    if (i == 0 || !frame.travel_mm || !frames[i - 1].travel_mm) continue;
    const double side = frame.setting.facing == Facing::kMinusZ ? -1 : 1;
    push->problem.AddResidualBlock(new ceres::AutoDiffCostFunction<TravelStep, 1, 6, 6>(new TravelStep{
                                       side * (*frame.travel_mm - *frames[i - 1].travel_mm), options.counter_u_mm}),
                                   nullptr, push->poses[i - 1].data(), push->poses[i].data());
  }
  ZeroPrior<8> levels;
  const double step = options.step_prior_mm, oval = options.oval_prior_mm;
  levels.sigma << step, step, step, 0.3 * step, 0.3 * step, std::max(1e-3, bore.radius_u_mm), oval, oval;
  push->problem.AddResidualBlock(new ceres::AutoDiffCostFunction<ZeroPrior<8>, 8, 8>(new ZeroPrior<8>(levels)), nullptr,
                                 push->levels.data());
  ZeroPrior<3> lens;
  lens.sigma << std::max(1e-6, options.lens_u), options.centre_px, options.centre_px;
  push->problem.AddResidualBlock(new ceres::AutoDiffCostFunction<ZeroPrior<3>, 3, 3>(new ZeroPrior<3>(lens)), nullptr,
                                 push->change.data());
  if (options.lens_u == 0) push->problem.SetParameterBlockConstant(push->change.data());
}

void AddSightings(const std::vector<PushFrame>& frames, const std::vector<WallPoint>& points,
                  const std::vector<WallSighting>& sightings, double radius_mm, double robust, PushProblem* push) {
  for (const auto& sighting : sightings) {
    const auto& frame = frames[sighting.frame];
    const auto& point = points[sighting.point];
    const Eigen::Matrix2d lower = sighting.covariance_px2.llt().matrixL();
    auto* off = new SightingOff{frame.setting.lens,
                                frame.start.bore_from_cam.rotation,
                                sighting.pixel,
                                lower.inverse(),
                                WallLevels::Basis(point.theta_deg, point.left),
                                radius_mm};
    push->blocks.push_back(
        push->problem.AddResidualBlock(new ceres::AutoDiffCostFunction<SightingOff, 2, 6, 2, 8, 3>(off),
                                       new ceres::CauchyLoss(robust), push->poses[sighting.frame].data(),
                                       push->points[sighting.point].data(), push->levels.data(), push->change.data()));
  }
}

class StopWhenCancelled : public ceres::IterationCallback {
 public:
  explicit StopWhenCancelled(const JobContext& job) : job_(job) {}
  ceres::CallbackReturnType operator()(const ceres::IterationSummary&) override {
    return job_.Cancelled() ? ceres::SOLVER_ABORT : ceres::SOLVER_CONTINUE;
  }

 private:
  const JobContext& job_;
};

bool SolveAll(const PushOptions& options, const JobContext& job, PushProblem* push) {
  ceres::Solver::Options solver;
  solver.linear_solver_type = ceres::DENSE_SCHUR;
  solver.num_threads = options.threads;
  solver.max_num_iterations = 60;
  solver.logging_type = ceres::SILENT;
  auto* order = new ceres::ParameterBlockOrdering;
  for (auto& point : push->points)
    if (push->problem.HasParameterBlock(point.data())) order->AddElementToGroup(point.data(), 0);
  for (auto& pose : push->poses) order->AddElementToGroup(pose.data(), 1);
  order->AddElementToGroup(push->levels.data(), 1);
  order->AddElementToGroup(push->change.data(), 1);
  solver.linear_solver_ordering.reset(order);
  StopWhenCancelled stop(job);
  solver.callbacks.push_back(&stop);
  ceres::Solver::Summary summary;
  ceres::Solve(solver, &push->problem, &summary);
  return summary.IsSolutionUsable();
}

/// How the sightings lie about the solution: in px and in their own deviations.
void Residuals(const std::vector<PushFrame>& frames, const std::vector<WallSighting>& sightings,
               const PushProblem& push, PushSolution* solution) {
  std::vector<double> whitened, px;
  solution->sightings.assign(frames.size(), 0);
  for (std::size_t i = 0; i < sightings.size(); ++i) {
    double residual[2], cost = 0;
    push.problem.EvaluateResidualBlock(push.blocks[i], false, &cost, residual, nullptr);
    const Eigen::Matrix2d lower = sightings[i].covariance_px2.llt().matrixL();
    whitened.push_back(std::hypot(residual[0], residual[1]));
    px.push_back((lower * Eigen::Vector2d(residual[0], residual[1])).norm());
  }
  std::vector<double> sorted = whitened;
  std::nth_element(sorted.begin(), sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() / 2), sorted.end());
  const double unknowns = 2.0 * static_cast<double>(push.points.size()) + 6.0 * static_cast<double>(frames.size());
  const double free = std::max(0.1, 1 - unknowns / (2.0 * static_cast<double>(sightings.size())));
  solution->chi = sorted[sorted.size() / 2] / 1.1774 / std::sqrt(free);  // median of a Rayleigh variable: 1.1774
  double sum = 0;
  int used = 0;
  for (std::size_t i = 0; i < sightings.size(); ++i) {
    if (whitened[i] > 3 * std::max(1.0, solution->chi)) continue;
    sum += px[i] * px[i];
    ++used;
    ++solution->sightings[sightings[i].frame];
  }
  solution->residual_px = used > 0 ? std::sqrt(sum / used) : 0;
  solution->used_share = static_cast<double>(used) / static_cast<double>(sightings.size());
}

bool Covariances(const PushOptions& options, double scale, PushProblem* push, PushSolution* solution) {
  ceres::Covariance::Options settings;
  settings.num_threads = options.threads;
  settings.apply_loss_function = true;
  ceres::Covariance covariance(settings);
  std::vector<std::pair<const double*, const double*>> blocks{{push->levels.data(), push->levels.data()}};
  for (const auto& pose : push->poses) blocks.emplace_back(pose.data(), pose.data());
  if (!covariance.Compute(blocks, &push->problem)) return false;
  for (std::size_t i = 0; i < push->poses.size(); ++i) {
    Eigen::Matrix<double, 6, 6, Eigen::RowMajor> rows;
    covariance.GetCovarianceBlock(push->poses[i].data(), push->poses[i].data(), rows.data());
    solution->covariances.push_back(scale * rows);
    solution->poses[i].covariance = scale * rows.topLeftCorner<5, 5>();
  }
  Eigen::Matrix<double, 8, 8, Eigen::RowMajor> rows;
  covariance.GetCovarianceBlock(push->levels.data(), push->levels.data(), rows.data());
  solution->levels.covariance = scale * rows;
  return true;
}

Status CheckInput(const std::vector<PushFrame>& frames, const std::vector<WallPoint>& points,
                  const std::vector<WallSighting>& sightings, const bore::Bore& bore, const PushOptions& o) {
  if (!(bore.radius_mm > 0)) return BadInput("The bore's radius must be > 0 mm.");
  if (frames.size() < 2) return BadInput("A run-in needs two or more frames.");
  std::vector<int> count(frames.size(), 0);
  for (const auto& sighting : sightings) {
    if (sighting.frame >= frames.size() || sighting.point >= points.size())
      return BadInput("A sighting names a frame or point that is not there.");
    ++count[sighting.frame];
  }
  for (std::size_t i = 0; i < frames.size(); ++i)
    if (count[i] < o.fewest_sightings) return NotFound(Says::kFewShared, {i + 1, count[i]});
  return std::nullopt;
}

void Unpack(const std::vector<PushFrame>& frames, const std::vector<WallPoint>& points, double radius_mm,
            const PushProblem& push, PushSolution* solution) {
  for (std::size_t i = 0; i < frames.size(); ++i) {
    Pose pose = frames[i].start;
    const Six& x = push.poses[i];
    Eigen::Matrix3d turn;
    ceres::AngleAxisToRotationMatrix(&x[3], turn.data());  // column by column, as Eigen keeps it
    pose.bore_from_cam.rotation = frames[i].start.bore_from_cam.rotation * turn;
    pose.bore_from_cam.translation_mm << x[0], x[1], x[2];
    pose.residual_px = solution->residual_px;
    pose.how = WordsOf(Says::kSolvedWithOthers);
    solution->poses.push_back(pose);
  }
  solution->points = points;
  for (std::size_t i = 0; i < points.size(); ++i) {
    solution->points[i].theta_deg = bore::Wrap360(push.points[i][0] / radius_mm * bore::kDegPerRad);
    solution->points[i].z_mm = push.points[i][1];
  }
  solution->levels.c = push.levels;
  solution->focal_scale = 1 + push.change[0];
}

}  // namespace

Eigen::Matrix<double, 8, 1> WallLevels::Basis(double theta_deg, bool left) {
  const Eigen::Matrix<double, 5, 1> round = statistics::Harmonics<2>(theta_deg);
  Eigen::Matrix<double, 8, 1> basis;
  basis << (left ? 0.0 : 1.0) * round, 1, round.tail<2>();
  return basis;
}

double WallLevels::Height(double theta_deg, bool left) const {
  return Basis(theta_deg, left).dot(Eigen::Map<const Eigen::Matrix<double, 8, 1>>(c.data()));
}

double WallLevels::Step(double theta_deg) const { return Height(theta_deg, false) - Height(theta_deg, true); }

double WallLevels::StepU(double theta_deg) const {
  const Eigen::Matrix<double, 8, 1> d = Basis(theta_deg, false) - Basis(theta_deg, true);
  return std::sqrt(d.dot(covariance * d));
}

Status PushOptions::Check() const {
  if (auto broken = FirstOutside("PushOptions",
                                 {{"fewest_sightings", fewest_sightings, 3, 10000}, {"centre_px", centre_px, 0, 100}}))
    return broken;
  if (!(up_u_deg > 0)) return BadInput("PushOptions::up_u_deg must be > 0.");
  if (!(counter_u_mm > 0)) return BadInput("PushOptions::counter_u_mm must be > 0 mm.");
  if (!(step_prior_mm > 0 && oval_prior_mm > 0))
    return BadInput("PushOptions::step_prior_mm and oval_prior_mm must be > 0 mm.");
  if (!(lens_u >= 0 && lens_u <= 0.1)) return BadInput("PushOptions::lens_u must be 0 to 0.1.");
  if (!(robust > 0)) return BadInput("PushOptions::robust must be > 0.");
  if (threads < 1 || threads > 64) return BadInput("PushOptions::threads must be 1 to 64.");
  return std::nullopt;
}

Result<PushSolution> SolvePush(const std::vector<PushFrame>& frames, const std::vector<WallPoint>& points,
                               const std::vector<WallSighting>& sightings, const bore::Bore& bore,
                               const PushOptions& options, const JobContext& job) {
  if (auto broken = options.Check()) return *broken;
  if (auto broken = CheckInput(frames, points, sightings, bore, options)) return *broken;
  PushProblem push;
  for (const auto& frame : frames) {
    const auto& t = frame.start.bore_from_cam.translation_mm;
    push.poses.push_back({t.x(), t.y(), t.z(), 0, 0, 0});
  }
  for (const auto& point : points)
    push.points.push_back({point.theta_deg * bore::kRadPerDeg * bore.radius_mm, point.z_mm});
  AddPriors(frames, bore, options, &push);
  AddSightings(frames, points, sightings, bore.radius_mm, options.robust, &push);
  const bool settled = SolveAll(options, job, &push);
  if (job.Cancelled()) return Cancelled();
  if (!settled) return NotFound(Says::kPosesUnsettled);
  PushSolution solution;
  Residuals(frames, sightings, push, &solution);
  Unpack(frames, points, bore.radius_mm, push, &solution);
  const double scale = std::max(1.0, solution.chi * solution.chi);
  if (!Covariances(options, scale, &push, &solution)) return NotFound(Says::kPosesNotHeld);
  return solution;
}

}  // namespace vision::pose
