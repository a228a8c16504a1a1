#pragma once

#include <Eigen/Core>
#include <opencv2/core.hpp>
#include <vector>

#include "vision/pose/pose.h"

namespace vision::pose {

/// One camera's picture laid conformally (stereographic about the viewing axis) on the sphere of its sights, the lens
/// taken out: a sight (x, y, z) of length 1 lies at centre + scale_px (x, y) / (1 + z).
struct SphereChart {
  cv::Mat1f light;  ///< ln (luminance + dark_level); NaN where the camera does not see the wall.
  cv::Mat1f tint;   ///< ln of red over blue; seen where `light` is.
  float scale_px = 1, centre_x = 0, centre_y = 0;
  double px_per_rad = 1;  ///< Of the picture it was made from, in the middle.
};

/// Of the picture in its middle.
double PxPerRad(const camera::Lens& lens);

/// @param shrink 1 or the factor by which the picture is made smaller first, in (0, 1].
SphereChart LayOnSphere(const cv::Mat3b& picture, const camera::Lens& lens, const cv::Mat1b& mask, double shrink,
                        const ChartOptions& options);

/// One camera of a head: its chart at two sizes, and where it sits in the search's frame (z forward, about along the
/// bore; origin near the middle of the cameras), lengths in bore radii.
struct WallView {
  SphereChart chart;
  Eigen::Matrix3f cam_from_search = Eigen::Matrix3f::Identity();
  Eigen::Vector3f centre = Eigen::Vector3f::Zero();
};

/// Two directions across the axis (ax, ay, +): e1 next to the frame's x, e2 = axis x e1.
struct AxisBasis {
  Eigen::Vector3f axis, e1, e2;
  explicit AxisBasis(const Eigen::Vector2d& lean);
};

/// Samples `picture` of a chart at sights given as rows x, y, z (any length); NaN outside.
void SampleSights(const SphereChart& chart, const Eigen::ArrayXf& x, const Eigen::ArrayXf& y, const Eigen::ArrayXf& z,
                  float* light, float* tint);

/// Azimuths round the bore, half a column off 0, from e1 towards e2.
struct RingAzimuths {
  Eigen::ArrayXf cosine, sine;
  explicit RingAzimuths(int columns);
};

/// One camera's sights to the wall round a candidate stand.
class WallSights {
 public:
  /// Keeps references to `view` and nothing else.
  WallSights(const WallView& view, const AxisBasis& basis, const Eigen::Vector2d& offset, const RingAzimuths& ring);
  /// As SampleSights, of the ring `along` radii ahead of the search's origin.
  void Sample(float along, float* light, float* tint) const;

 private:
  const SphereChart& chart_;
  Eigen::Vector3f axis_;
  Eigen::ArrayXf x_, y_, z_;  ///< Of the ring at the origin.
};

}  // namespace vision::pose
