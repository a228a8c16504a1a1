#include "vision/reading/ovality.h"

#include <Eigen/LU>
#include <algorithm>
#include <cmath>

#include "vision/base/says.h"
#include "vision/bore/angle.h"
#include "vision/reading/explain.h"

namespace vision::reading {

std::optional<Ovality> OvalityOf(const pose::WallLevels& levels, double prior_mm) {
  const Eigen::Vector2d held(levels.c[6], levels.c[7]);  // height of both walls: cos 2 theta, sin 2 theta
  const Eigen::Matrix2d told = levels.covariance.bottomRightCorner<2, 2>().inverse(),
                        by_frames = told - Eigen::Matrix2d::Identity() / (prior_mm * prior_mm);
  // as much again as the prior, whichever way the bore is oval
  const double trace = 0.5 * by_frames.trace(), determinant = by_frames.determinant();
  if (!(trace - std::sqrt(std::max(0.0, trace * trace - determinant)) > 1 / (prior_mm * prior_mm))) return std::nullopt;
  const Eigen::Matrix2d covariance = by_frames.inverse();
  const Eigen::Vector2d shared = covariance * told * held;
  const double height_mm = shared.norm();
  Ovality out;
  out.difference_mm = 4 * height_mm;
  const Eigen::Vector2d along = height_mm > 0 ? Eigen::Vector2d(shared / height_mm) : Eigen::Vector2d(1, 0);
  out.u_mm = 4 * std::sqrt(along.dot(covariance * along));
  const double highest_deg = 0.5 * std::atan2(shared.y(), shared.x()) * bore::kDegPerRad;  // there it is narrowest
  out.widest_deg = std::fmod(highest_deg + 90 + 360, 180);
  return out;
}

Sentence SentenceOf(const Ovality& ovality) {
  if (ovality.difference_mm < 2 * ovality.u_mm)
    return {Says::kBoreIsRound, {Rounded(ovality.difference_mm + 2 * ovality.u_mm)}};
  return {Says::kBoreIsOval, {Rounded(ovality.difference_mm), Rounded(2 * ovality.u_mm), Rounded(ovality.widest_deg)}};
}

}  // namespace vision::reading
