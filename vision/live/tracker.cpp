#include "vision/live/tracker.h"

#include <Eigen/Cholesky>
#include <Eigen/Geometry>
#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/base/range.h"

namespace vision::live {
namespace {

using Vector6d = Eigen::Matrix<double, 6, 1>;
using Matrix6d = Eigen::Matrix<double, 6, 6>;
using PixelJacobian = Eigen::Matrix<double, 2, 6>;

float At(const cv::Mat1f& picture, float x, float y) {
  const int column = static_cast<int>(x), row = static_cast<int>(y);
  const float fx = x - static_cast<float>(column), fy = y - static_cast<float>(row);
  const float *a = picture[row] + column, *b = picture[row + 1] + column;
  return (a[0] * (1 - fx) + a[1] * fx) * (1 - fy) + (b[0] * (1 - fx) + b[1] * fx) * fy;
}

bool Inside(const cv::Mat1f& picture, float x, float y) {
  return x >= 2 && y >= 2 && x < static_cast<float>(picture.cols - 3) && y < static_cast<float>(picture.rows - 3);
}

Eigen::Matrix3d Cross(const Eigen::Vector3d& v) {
  Eigen::Matrix3d m;
  m << 0, -v.z(), v.y(), v.z(), 0, -v.x(), -v.y(), v.x(), 0;
  return m;
}

bore::BoreFromCam Moved(const bore::BoreFromCam& pose, const Vector6d& step) {
  bore::BoreFromCam out = pose;
  out.translation_mm += step.head<3>();
  const Eigen::Vector3d turn = step.tail<3>();
  if (turn.norm() > 1e-12) out.rotation *= Eigen::AngleAxisd(turn.norm(), turn.normalized()).toRotationMatrix();
  return out;
}

/// d pixel / d (move in the bore frame, turn in the camera's), by differences through the lens.
std::optional<PixelJacobian> JacobianOf(const camera::Lens& lens, const bore::BoreFromCam& pose,
                                        const Eigen::Vector3d& x_cam) {
  Eigen::Matrix<double, 2, 3> by_place;
  const double h = 1e-4 * x_cam.norm();
  for (int k = 0; k < 3; ++k) {
    Eigen::Vector3d a = x_cam, b = x_cam;
    a[k] -= h, b[k] += h;
    const auto pa = lens.Project(a), pb = lens.Project(b);
    if (!pa || !pb) return std::nullopt;
    by_place.col(k) = (*pb - *pa) / (2 * h);
  }
  PixelJacobian jacobian;
  jacobian.leftCols<3>() = -by_place * pose.rotation.transpose();
  jacobian.rightCols<3>() = by_place * Cross(x_cam);
  return jacobian;
}

/// Correlation of what was and what is, counted by weight.
double Correlation(const std::vector<float>& a, const std::vector<float>& b) {
  double sa = 0, sb = 0, saa = 0, sbb = 0, sab = 0;
  const auto n = static_cast<double>(a.size());
  for (std::size_t i = 0; i < a.size(); ++i) {
    sa += a[i], sb += b[i];
    saa += a[i] * a[i], sbb += b[i] * b[i], sab += a[i] * b[i];
  }
  const double va = saa - sa * sa / n, vb = sbb - sb * sb / n;
  return va > 0 && vb > 0 ? (sab - sa * sb / n) / std::sqrt(va * vb) : 0;
}

double ScaleOf(std::vector<float> residuals) {
  for (float& r : residuals) r = std::abs(r);
  const auto middle = residuals.begin() + static_cast<std::ptrdiff_t>(residuals.size() / 2);
  std::nth_element(residuals.begin(), middle, residuals.end());
  return std::max(0.01, 1.4826 * static_cast<double>(*middle));
}

/// What one pass over the places found at a pose.
struct Pass {
  std::vector<float> was, is, residual;
  std::vector<Eigen::Matrix<double, 1, 6>> slope;
};

Vector6d Step(const Pass& pass) {
  const double scale = ScaleOf(pass.residual);
  Matrix6d h = Matrix6d::Zero();
  Vector6d g = Vector6d::Zero();
  for (std::size_t i = 0; i < pass.residual.size(); ++i) {
    const double u = pass.residual[i] / (4.685 * scale);  // Tukey's biweight at 95 % efficiency
    if (std::abs(u) >= 1) continue;
    const double w = (1 - u * u) * (1 - u * u);
    h += w * pass.slope[i].transpose() * pass.slope[i];
    g -= w * pass.residual[i] * pass.slope[i].transpose();
  }
  // A weak hold where the picture says nothing: steps of 5 mm and 3 degrees are as likely as a residual of one scale.
  const double hold = scale * scale;
  for (int k = 0; k < 3; ++k) h(k, k) += hold / 25, h(k + 3, k + 3) += hold / (0.05 * 0.05);
  return h.ldlt().solve(g);
}

}  // namespace

Status TrackerOptions::Check() const {
  if (auto broken = FirstOutside("TrackerOptions", {{"darkest", darkest, 0, 255},
                                                    {"least_contrast", least_contrast, 0, 5},
                                                    {"fewest_places", fewest_places, 6, 100000},
                                                    {"far_move_share", far_move_share, 0, 10}}))
    return broken;
  if (block_px < 4 || block_px > 64) return BadInput("TrackerOptions::block_px must be 4 to 64.");
  if (!(nearest_share > 0 && nearest_share < farthest_share))
    return BadInput("TrackerOptions::nearest_share must be above 0 and below farthest_share.");
  if (!(keyframe_share > 0 && keyframe_share <= 1))
    return BadInput("TrackerOptions::keyframe_share must be above 0 and at most 1.");
  if (most_keyframes < 1 || most_keyframes > 1000) return BadInput("TrackerOptions::most_keyframes must be 1 to 1000.");
  if (!(least_match > 0 && least_match < fresh_match && fresh_match < 1))
    return BadInput("TrackerOptions::least_match and fresh_match must lie in (0, 1), in this order.");
  if (iterations < 1 || iterations > 100) return BadInput("TrackerOptions::iterations must be 1 to 100.");
  if (structure_every < 1 || structure_every > 1000)
    return BadInput("TrackerOptions::structure_every must be 1 to 1000.");
  return std::nullopt;
}

camera::Lens Reduced(const camera::Lens& lens, int factor) {
  camera::Lens out = lens;
  out.width_px = lens.width_px / factor, out.height_px = lens.height_px / factor;
  out.fx_px = lens.fx_px / factor, out.fy_px = lens.fy_px / factor;
  out.cx_px = (lens.cx_px + 0.5) / factor - 0.5, out.cy_px = (lens.cy_px + 0.5) / factor - 0.5;
  return out;
}

Tracker::Tracker(const bore::Bore& bore, const pose::FrameSetting& setting, const TrackerOptions& options)
    : bore_(bore), setting_(setting), options_(options) {}

Tracker::Keyframe Tracker::MakeKeyframe(const bore::BoreFromCam& pose, const Drawing& drawing) const {
  Keyframe key{pose, {}};
  const double sign = pose.rotation(2, 2) < 0 ? -1 : 1;
  const int block = options_.block_px;
  for (int top = 3; top + block < drawing.fine.rows - 3; top += block)
    for (int left = 3; left + block < drawing.fine.cols - 3; left += block) {
      float best = options_.least_contrast;
      cv::Point at(-1, -1);
      for (int y = top; y < top + block; ++y)
        for (int x = left; x < left + block; ++x) {
          if (drawing.grey(y, x) < options_.darkest) continue;
          const float slope = std::abs(drawing.fine(y, x + 1) - drawing.fine(y, x - 1)) +
                              std::abs(drawing.fine(y + 1, x) - drawing.fine(y - 1, x));
          if (slope > best) best = slope, at = {x, y};
        }
      if (at.x < 0) continue;
      const Eigen::Vector2d pixel(Drawing::ToFrame(at.x, drawing.reduction), Drawing::ToFrame(at.y, drawing.reduction));
      if (!setting_.mask.empty() && setting_.mask(cvRound(pixel.y()), cvRound(pixel.x())) != 0) continue;
      const auto ray = setting_.lens.Ray(pixel);
      if (!ray) continue;
      const auto wall = bore::WallFromRay(pose.translation_mm, pose.rotation * *ray, bore_.radius_mm);
      if (!wall) continue;
      const double ahead = sign * (wall->z_mm - pose.translation_mm.z()) / bore_.radius_mm;
      if (ahead < options_.nearest_share || ahead > options_.farthest_share) continue;
      const float cx = Drawing::ToLevel(pixel.x(), 2 * drawing.reduction),
                  cy = Drawing::ToLevel(pixel.y(), 2 * drawing.reduction);
      if (!Inside(drawing.coarse, cx, cy)) continue;
      key.places.push_back(
          {bore::XyzFromBore(*wall, bore_.radius_mm), drawing.fine(at.y, at.x), At(drawing.coarse, cx, cy)});
    }
  return key;
}

std::optional<Tracked> Tracker::Fit(const Keyframe& key, const Drawing& drawing, const bore::BoreFromCam& start) const {
  bore::BoreFromCam pose = start;
  std::vector<std::optional<PixelJacobian>> jacobians(key.places.size());
  for (std::size_t i = 0; i < key.places.size(); ++i)
    jacobians[i] = JacobianOf(setting_.lens, pose, pose.CamFromBore(key.places[i].xyz_mm));
  Pass pass;
  for (const bool coarse : {true, false}) {
    const cv::Mat1f& level = coarse ? drawing.coarse : drawing.fine;
    const int cell_px = drawing.reduction * (coarse ? 2 : 1);
    for (int iteration = 0; iteration < options_.iterations; ++iteration) {
      pass.was.clear(), pass.is.clear(), pass.residual.clear(), pass.slope.clear();
      for (std::size_t i = 0; i < key.places.size(); ++i) {
        if (!jacobians[i]) continue;
        const auto pixel = setting_.lens.Project(pose.CamFromBore(key.places[i].xyz_mm));
        if (!pixel) continue;
        const float x = Drawing::ToLevel(pixel->x(), cell_px), y = Drawing::ToLevel(pixel->y(), cell_px);
        if (!Inside(level, x, y)) continue;
        const Eigen::Matrix<double, 1, 2> slope(0.5 * (At(level, x + 1, y) - At(level, x - 1, y)),
                                                0.5 * (At(level, x, y + 1) - At(level, x, y - 1)));
        pass.was.push_back(coarse ? key.places[i].coarse : key.places[i].fine);
        pass.is.push_back(At(level, x, y));
        pass.residual.push_back(pass.is.back() - pass.was.back());
        pass.slope.emplace_back(slope / cell_px * *jacobians[i]);
      }
      if (static_cast<int>(pass.residual.size()) < options_.fewest_places) return std::nullopt;
      const Vector6d step = Step(pass);
      if (!step.allFinite()) return std::nullopt;
      pose = Moved(pose, step);
      if (step.head<3>().norm() < 2e-4 * bore_.radius_mm && step.tail<3>().norm() < 2e-4) break;
    }
  }
  Tracked tracked{pose, Correlation(pass.was, pass.is), 0, 0, false};
  tracked.share = static_cast<double>(pass.residual.size()) / static_cast<double>(key.places.size());
  const bool far = (pose.translation_mm - start.translation_mm).norm() > options_.far_move_share * bore_.radius_mm;
  const bool out = pose.translation_mm.head<2>().norm() > 0.8 * bore_.radius_mm;
  if (far || out || tracked.match < options_.least_match || tracked.share < 0.25) return std::nullopt;
  return tracked;
}

const Tracker::Keyframe* Tracker::Nearest(const bore::BoreFromCam& pose) const {
  const Keyframe* best = nullptr;
  double least = 1e9;
  for (const Keyframe& key : keyframes_) {
    const double turn = Eigen::AngleAxisd(key.pose.rotation.transpose() * pose.rotation).angle();
    const double away = (key.pose.translation_mm - pose.translation_mm).norm() / bore_.radius_mm + turn;
    if (away < least) least = away, best = &key;
  }
  return best;
}

double Tracker::MovedPx(const Keyframe& key, const bore::BoreFromCam& from, const bore::BoreFromCam& to) const {
  std::vector<float> moves;
  for (std::size_t i = 0; i < key.places.size(); i += 8) {
    const auto a = setting_.lens.Project(from.CamFromBore(key.places[i].xyz_mm)),
               b = setting_.lens.Project(to.CamFromBore(key.places[i].xyz_mm));
    if (a && b) moves.push_back(static_cast<float>((*a - *b).norm()));
  }
  if (moves.empty()) return 0;
  const auto middle = moves.begin() + static_cast<std::ptrdiff_t>(moves.size() / 2);
  std::nth_element(moves.begin(), middle, moves.end());
  return *middle;
}

/// By light in tens of ms; by structure, which takes a second, now and then.
Result<pose::Pose> Tracker::Searched(const cv::Mat3b& picture, const pose::FrameSetting& setting) {
  pose::PoseOptions by_light;
  by_light.by_structure = false;
  auto found = pose::FindPose(picture, bore_, setting, by_light);
  if (found.ok() || searched_in_vain_++ % options_.structure_every != 0) return found;
  auto by_structure = pose::FindPose(picture, bore_, setting);
  if (!by_structure.ok() || !by_structure.value().trusted || !by_structure.value().axis_told) return found;
  searched_in_vain_ = 0;
  return by_structure;
}

Result<Tracked> Tracker::Afresh(const cv::Mat3b& frame, const Drawing& drawing) {
  const int factor = std::max(1, frame.cols / 960);
  pose::FrameSetting small = setting_;
  cv::Mat3b picture = frame;
  if (factor > 1) {
    small.lens = Reduced(setting_.lens, factor);
    picture = cv::Mat3b();
    cv::resize(frame, picture, {small.lens.width_px, small.lens.height_px}, 0, 0, cv::INTER_AREA);
    if (!small.mask.empty()) cv::resize(setting_.mask, small.mask, picture.size(), 0, 0, cv::INTER_NEAREST);
  }
  const auto found = Searched(picture, small);
  if (!found.ok()) return found.error();
  Tracked tracked{found.value().bore_from_cam, 1, 1, 0, true};
  if (const Keyframe* key = Nearest(tracked.pose))
    if (const auto fitted = Fit(*key, drawing, tracked.pose)) {  // it is a place seen before: stay with its frame
      tracked = *fitted;
      tracked.found_afresh = true;
      return tracked;
    }
  keyframes_.clear();  // what was known hangs on another frame of reference
  return tracked;
}

void Tracker::Start(const bore::BoreFromCam& pose, const Drawing& drawing) {
  keyframes_.clear();
  keyframes_.push_back(MakeKeyframe(pose, drawing));
  last_ = pose;
  before_last_.reset();
}

void Tracker::KeepUp(const Tracked& tracked, const Drawing& drawing) {
  const Keyframe* key = Nearest(tracked.pose);
  const double limit = options_.keyframe_share * bore_.radius_mm;
  const bool fits = key && tracked.match > options_.fresh_match &&
                    (key->pose.translation_mm - tracked.pose.translation_mm).norm() < limit &&
                    Eigen::AngleAxisd(key->pose.rotation.transpose() * tracked.pose.rotation).angle() < 0.15;
  if (fits) return;
  keyframes_.push_back(MakeKeyframe(tracked.pose, drawing));
  if (keyframes_.size() > static_cast<std::size_t>(options_.most_keyframes)) keyframes_.pop_front();
}

Result<Tracked> Tracker::Follow(const cv::Mat3b& frame, const Drawing& drawing, bool may_search) {
  if (auto broken = options_.Check()) return *broken;
  std::optional<Tracked> tracked;
  if (last_ && !keyframes_.empty()) {
    const Keyframe* key = Nearest(*last_);
    if (before_last_) {
      bore::BoreFromCam ahead = *last_;
      ahead.translation_mm += last_->translation_mm - before_last_->translation_mm;
      tracked = Fit(*key, drawing, ahead);
    }
    if (!tracked) tracked = Fit(*key, drawing, *last_);
    if (tracked) tracked->moved_px = MovedPx(*key, *last_, tracked->pose);
  }
  if (!tracked) {
    before_last_.reset();
    if (!may_search) return NotFound("the camera is not followed: the picture does not fit the last one.");
    last_.reset();
    auto found = Afresh(frame, drawing);
    if (!found.ok()) return found.error();
    tracked = std::move(found).value();
  }
  before_last_ = last_;
  last_ = tracked->pose;
  KeepUp(*tracked, drawing);
  return *tracked;
}

}  // namespace vision::live
