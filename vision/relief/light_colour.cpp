#include <algorithm>
#include <cmath>

#include "vision/base/median.h"
#include "vision/relief/light_stripe.h"

namespace vision::relief {
namespace {

cv::Vec3f Linear(const cv::Vec3b& coded) {
  cv::Vec3f light;
  for (int k = 0; k < 3; ++k) light[k] = static_cast<float>(std::pow(coded[k] / 255.0, 2.2));
  return light;
}

std::optional<cv::Vec3f> At(const cv::Mat3b& frame, const camera::Lens& lens, const Eigen::Vector2d& slope) {
  const auto px = lens.Project({slope.x(), slope.y(), 1});
  if (!px || !(px->x() > 1 && px->y() > 1 && px->x() < frame.cols - 2 && px->y() < frame.rows - 2)) return std::nullopt;
  return Linear(frame(cvRound(px->y()), cvRound(px->x())));
}

cv::Vec3f Median(const std::vector<cv::Vec3f>& values) {
  cv::Vec3f middle;
  for (int k = 0; k < 3; ++k) {
    std::vector<float> v;
    for (const auto& one : values) v.push_back(one[k]);
    middle[k] = MedianInPlace(v);
  }
  return middle;
}

}  // namespace

void OwnLight::Learn(const cv::Mat3b& frame, const camera::Lens& lens, const Stripe& stripe) {
  if (!stripe.rim.tells()) return;
  for (std::size_t i = 0; i < stripe.points.size(); i += 5) {
    const auto& point = stripe.points[i];
    if (!point.has_inner() || !point.has_outer()) continue;
    for (const bool inner : {true, false}) {
      const Eigen::Vector2d rim = inner ? point.inner : point.outer, out = rim - stripe.centre;
      const auto at = At(frame, lens, rim),
                 beside = At(frame, lens,
                             stripe.centre + out * (inner ? 1 - options_.beside_share : 1 + options_.beside_share));
      if (!at || !beside) continue;
      rims_.push_back(*at - *beside), walls_.push_back(*beside);
    }
  }
}

std::optional<cv::Vec3f> OwnLight::Weights() const {
  if (rims_.size() < options_.fewest) return std::nullopt;
  const cv::Vec3f wall = Median(walls_), stripe = Median(rims_);
  const double along = stripe.dot(wall) / std::max(1e-9, static_cast<double>(wall.dot(wall)));
  const cv::Vec3f own = stripe - static_cast<float>(along) * wall;  // what no light of the lamps on this wall holds
  if (!(cv::norm(own) > options_.least_apart * cv::norm(stripe))) return std::nullopt;
  const float most = std::max({stripe[0], stripe[1], stripe[2]});
  return own * (most / own.dot(stripe));
}

}  // namespace vision::relief
