#include <gtest/gtest.h>

#include <cmath>
#include <opencv2/core.hpp>
#include <opencv2/imgproc.hpp>

#include "vision/pose/axial_lines.h"
#include "vision/pose/sphere_chart.h"

/// Charts as they are sampled. Truth: OpenCV's own bilinear lookup and filter.
namespace vision::pose {
namespace {

SphereChart Speckled() {
  SphereChart chart;
  chart.light.create(97, 131), chart.tint.create(97, 131);
  cv::RNG rng(71);
  rng.fill(chart.light, cv::RNG::NORMAL, 4, 0.5), rng.fill(chart.tint, cv::RNG::NORMAL, 0, 0.2);
  chart.scale_px = 60, chart.centre_x = 65, chart.centre_y = 48;
  return chart;
}

TEST(SphereChart, SightsAreSampledAsOpenCvLooksUpBetweenPixels) {
  const SphereChart chart = Speckled();
  const int count = 333;  // no multiple of what is asked for at once
  Eigen::ArrayXf x(count), y(count), z(count);
  cv::Mat2f places(1, count);
  for (int k = 0; k < count; ++k) {
    const double turn = 0.11 * k, out = 0.2 + 2.2 * k / count;  // a spiral that leaves the chart
    const Eigen::Vector3d sight(std::cos(turn) * std::sin(out), std::sin(turn) * std::sin(out), std::cos(out));
    x[k] = static_cast<float>(3 * sight.x()), y[k] = static_cast<float>(3 * sight.y());  // of any length
    z[k] = static_cast<float>(3 * sight.z());
    places(0, k) = {static_cast<float>(65 + 60 * sight.x() / (1 + sight.z())),
                    static_cast<float>(48 + 60 * sight.y() / (1 + sight.z()))};
  }
  cv::Mat1f light, tint;
  cv::remap(chart.light, light, places, cv::noArray(), cv::INTER_LINEAR);
  cv::remap(chart.tint, tint, places, cv::noArray(), cv::INTER_LINEAR);
  Eigen::ArrayXf got(count), hue = Eigen::ArrayXf::Zero(count), alone(count);
  SampleSights(chart, x, y, z, got.data(), hue.data());
  SampleSights(chart, x, y, z, alone.data(), nullptr);
  int inside = 0;
  for (int k = 0; k < count; ++k) {
    const cv::Vec2f& at = places(0, k);
    if (!(at[0] >= 0.01F && at[1] >= 0.01F && at[0] < 129.99F && at[1] < 95.99F)) {
      if (at[0] < -0.01F || at[1] < -0.01F || at[0] > 130.01F || at[1] > 96.01F) {
        EXPECT_TRUE(std::isnan(got[k])) << k;
      }
      continue;
    }
    EXPECT_NEAR(got[k], light(0, k), 0.06) << k;  // OpenCV's places are in steps of 1/32 pixel
    EXPECT_NEAR(hue[k], tint(0, k), 0.03) << k;
    EXPECT_EQ(got[k], alone[k]) << k;
    ++inside;
  }
  EXPECT_GT(inside, 150);
}

/// Lines along the axis of the search share energy between blocks at no tilt, and less and less beside it.
TEST(SphereChart, LinesThroughTheAxisShareTheirEnergyThereAlone) {
  SphereChart chart;
  chart.light.create(401, 401), chart.tint = cv::Mat1f::zeros(401, 401);
  chart.scale_px = 190, chart.centre_x = chart.centre_y = 200, chart.px_per_rad = 95;
  for (int i = 0; i < 401; ++i)
    for (int j = 0; j < 401; ++j)
      chart.light(i, j) = static_cast<float>(4 + 0.1 * std::sin(37 * std::atan2(i - 200.0, j - 200.0)));
  WallView view;
  view.chart = chart;
  const std::vector<WallView> views{view};
  AxialLineOptions options;
  options.columns = 368, options.coarse_deg = 3;
  const AxialLines lines(views, options);
  const double at_axis = lines.At({0, 0}).shared;
  EXPECT_GT(at_axis, 1);
  EXPECT_GT(at_axis, 1.5 * lines.At({0.2, 0}).shared);
  options.columns = 367;  // a remainder of what is summed at once counts as much
  EXPECT_NEAR(AxialLines(views, options).At({0, 0}).shared, at_axis, 0.01 * at_axis);
}

}  // namespace
}  // namespace vision::pose
