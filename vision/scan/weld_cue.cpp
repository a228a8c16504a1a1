#include "vision/scan/weld_cue.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "vision/base/range.h"
#include "vision/pose/axis.h"
#include "vision/pose/ring.h"

namespace vision::scan {
namespace {

/// Mean of ln grey along a circle's short piece at azimuth `theta`, t = ln tan(angle) = `t` seen from the camera.
double LogGrey(const cv::Mat1f& grey, const pose::FrameSetting& setting, const Eigen::Matrix3d& rotation, double theta,
               double t) {
  const Eigen::Vector3d sight(-std::sin(theta), std::cos(theta), std::exp(-t));
  const auto pixel = setting.lens.Project(rotation.transpose() * sight);
  if (!pixel || pixel->x() < 0 || pixel->y() < 0 || pixel->x() >= grey.cols - 1 || pixel->y() >= grey.rows - 1)
    return NAN;
  cv::Mat1f one;
  cv::getRectSubPix(grey, {1, 1}, cv::Point2f(static_cast<float>(pixel->x()), static_cast<float>(pixel->y())), one);
  return std::log(std::max(2.0F, one(0, 0)));
}

/// ln rho of the wall at this azimuth for an offset camera; offset as share of the radius.
double LnRho(double theta, const Eigen::Vector2d& share) {
  const Eigen::Vector2d across(-std::sin(theta), std::cos(theta));
  const double along = share.dot(across);
  return std::log(-along + std::sqrt(std::max(1e-9, along * along + 1 - share.squaredNorm())));
}

/// Share of clock positions (36) at which the ring's own place differs from the wall just before and behind it by more
/// than those differ among themselves.
double Around(const cv::Mat1f& grey, const pose::FrameSetting& setting, const Eigen::Matrix3d& rotation,
              const pose::RingSeen& ring, const CueOptions& o) {
  int seen = 0, stands = 0;
  for (int i = 0; i < o.places; ++i) {
    std::vector<double> profile(13, 0.0);  // t - 0.24 to t + 0.24, averaged over ten degrees
    for (int k = 0; k < o.within; ++k) {
      const double theta = 2 * std::numbers::pi * (i + static_cast<double>(k) / o.within) / o.places;
      const double t = LnRho(theta, ring.offset_mm) - std::log(ring.distance_mm);
      for (int j = 0; j < 13; ++j)
        profile[static_cast<std::size_t>(j)] += LogGrey(grey, setting, rotation, theta, t + 0.04 * (j - 6)) / o.within;
    }
    if (std::any_of(profile.begin(), profile.end(), [](double v) { return !(v == v); })) continue;
    ++seen;
    // Against a straight line through the outer thirds: the wall's fall-off is no ring.
    const double before = (profile[0] + profile[1] + profile[2] + profile[3]) / 4,
                 behind = (profile[9] + profile[10] + profile[11] + profile[12]) / 4;
    double ring_part = 0, wall_part = 1e-4;
    for (int j = 0; j < 13; ++j) {
      const double line = before + (behind - before) * (j - 1.5) / 9,
                   off = std::abs(profile[static_cast<std::size_t>(j)] - line);
      if (j >= 4 && j <= 8)
        ring_part = std::max(ring_part, off);
      else
        wall_part = std::max(wall_part, off);
    }
    stands += ring_part > 1.2 * wall_part;
  }
  return seen >= o.places / 2 ? static_cast<double>(stands) / seen : 0;
}

}  // namespace

Status CueOptions::Check() const {
  return FirstOutside("CueOptions", {{"min_strength", min_strength, 0, 1e6},
                                     {"min_around", min_around, 1e-3, 1},
                                     {"places", places, 8, 720},
                                     {"within", within, 1, 100}});
}

bool WeldSeen(const WeldCue& cue, const CueOptions& options) {
  if (!cue.bore) return false;
  return cue.by_structure ? cue.distance_radii > 0
                          : cue.ring_strength >= options.min_strength && cue.around >= options.min_around;
}

pose::FrameSetting Reduced(const CameraKnown& camera, double reduce, cv::Size size) {
  pose::FrameSetting setting;
  setting.lens = camera.lens;
  setting.lens.width_px = size.width;
  setting.lens.height_px = size.height;
  setting.lens.fx_px /= reduce;
  setting.lens.fy_px /= reduce;
  setting.lens.cx_px = (camera.lens.cx_px + 0.5) / reduce - 0.5;
  setting.lens.cy_px = (camera.lens.cy_px + 0.5) / reduce - 0.5;
  if (!camera.mask.empty()) cv::resize(camera.mask, setting.mask, size, 0, 0, cv::INTER_NEAREST);
  return setting;
}

double GlareAbout(const cv::Mat1b& grey, const camera::Lens& lens, const bore::BoreFromCam& bore_from_cam, double z_mm,
                  double radius_mm) {
  constexpr int kAround = 180, kAlong = 4;
  const cv::Rect inside({}, grey.size());
  int seen = 0, full = 0;
  for (int i = 0; i < kAround; ++i)
    for (int j = -kAlong; j <= kAlong; ++j) {
      const double theta_deg = 360.0 * i / kAround, z = z_mm + 0.1 * radius_mm * j / kAlong;
      const auto wall = bore::XyzFromBore({theta_deg, z, 0}, radius_mm);
      const auto pixel = lens.Project(bore_from_cam.CamFromBore(wall));
      if (!pixel) continue;
      const cv::Point at(cvRound(pixel->x()), cvRound(pixel->y()));
      if (!inside.contains(at)) continue;
      ++seen, full += grey(at) >= 250;
    }
  return seen >= kAround * (2 * kAlong + 1) / 4 ? static_cast<double>(full) / seen : -1;
}

CameraKnown GuessedCamera(cv::Size size, const cv::Mat1b& grey) {
  // Half-widths of what is lit along the middle row and, where the rim is inside the picture, its middle.
  cv::Mat1b smooth, lit;
  cv::GaussianBlur(grey, smooth, {}, 2);
  double most = 0;
  cv::minMaxLoc(smooth.rowRange(grey.rows / 3, 2 * grey.rows / 3), nullptr, &most);
  cv::threshold(smooth.rowRange(grey.rows / 2 - 4, grey.rows / 2 + 4), lit, 0.25 * most, 255, cv::THRESH_BINARY);
  cv::Mat1b columns;
  cv::reduce(lit, columns, 0, cv::REDUCE_MAX);
  int left = 0, right = grey.cols - 1;
  while (left < right && !columns(0, left)) ++left;
  while (right > left && !columns(0, right)) --right;
  const double scale = static_cast<double>(size.width) / grey.cols, radius = std::max(8, right - left) / 2.0;
  constexpr double kEdge_deg = 75;
  CameraKnown guess;
  auto& lens = guess.lens;
  lens.width_px = size.width;
  lens.height_px = size.height;
  lens.cx_px = ((left + right) / 2.0 + 0.5) * scale - 0.5;
  lens.cy_px = (size.height - 1) / 2.0;
  lens.fx_px = lens.fy_px = radius * scale / (kEdge_deg * std::numbers::pi / 180);
  lens.max_angle_deg = 0.93 * kEdge_deg;
  return guess;
}

WeldCue FindWeldCue(const cv::Mat1b& grey, const CameraKnown& camera, double reduce, const CueOptions& o) {
  const auto setting = Reduced(camera, reduce, grey.size());
  cv::Mat1f values;
  grey.convertTo(values, CV_32F);
  pose::PoseOptions options;
  const auto axis = pose::FindAxis(values, setting, options);
  WeldCue cue;
  if (!axis.ok()) return cue;
  cue.bore = true;
  const auto rotation = pose::RotationFromAxis(axis.value().axis_cam, 0, pose::Facing::kPlusZ);
  options.min_ring_strength = 1.0001;  // judged by the caller, over time
  const auto ring = pose::FindRing(values, setting, rotation, 1.0, options);
  if (!ring.ok()) return cue;
  cue.ring_strength = ring.value().strength;
  cue.distance_radii = ring.value().distance_mm;
  cue.around = Around(values, setting, rotation, ring.value(), o);
  bore::BoreFromCam place;
  place.rotation = rotation;
  place.translation_mm << ring.value().offset_mm, -ring.value().distance_mm;
  cue.glare = GlareAbout(grey, setting.lens, place, 0, 1.0);
  return cue;
}

}  // namespace vision::scan
