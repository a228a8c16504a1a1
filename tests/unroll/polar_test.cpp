#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <opencv2/imgproc.hpp>

#include "fixtures/scene/scenario.h"
#include "vision/unroll/unroll.h"

namespace vision::unroll {
namespace {

constexpr double kRadius_mm = 60, kDistance_mm = 45;

/// Blobs of every size, without any symmetry.
cv::Mat3b Blobs(cv::Size size) {
  cv::RNG random(5);
  cv::Mat3b picture(size);
  random.fill(picture, cv::RNG::UNIFORM, 0, 256);
  cv::GaussianBlur(picture, picture, {}, 5);
  cv::normalize(picture.reshape(1), picture.reshape(1), 40, 220, cv::NORM_MINMAX);
  return picture;
}

/// The same unrolling by OpenCV's polar resampling. Of a centred equidistant camera a place of the wall lies at
/// r = f atan(R / distance) and, in the picture, `theta` clockwise from up when it looks along +z, anticlockwise when
/// against it; cv::warpPolar counts clockwise from the right.
cv::Mat1b ByWarpPolar(const cv::Mat3b& frame, const camera::Lens& lens, const StripGrid& grid, bool plus_z) {
  const int across = 4096;
  const double longest = 0.5 * lens.height_px;
  cv::Mat grey, polar;
  cv::cvtColor(frame, grey, cv::COLOR_BGR2GRAY);
  cv::warpPolar(grey, polar, {across, grid.columns}, {static_cast<float>(lens.cx_px), static_cast<float>(lens.cy_px)},
                longest, cv::INTER_CUBIC);
  cv::Mat1b strip(grid.rows, grid.columns);
  for (int row = 0; row < grid.rows; ++row) {
    const double ahead = plus_z ? kDistance_mm + grid.ZMm(row) : kDistance_mm - grid.ZMm(row);
    const double r = lens.fx_px * std::atan2(kRadius_mm, ahead);
    for (int column = 0; column < grid.columns; ++column) {
      const int clockwise = plus_z ? column : grid.columns - column;
      const int from_right = (clockwise + grid.columns - grid.columns / 4) % grid.columns;
      strip(row, column) = polar.at<uchar>(from_right, static_cast<int>(std::lround(r / longest * across)));
    }
  }
  return strip;
}

double MeanDifference(const cv::Mat& a, const cv::Mat& b, const cv::Mat& where) {
  cv::Mat difference;
  cv::absdiff(a, b, difference);
  return cv::mean(difference, where)[0];
}

class Polar : public testing::TestWithParam<bool> {};

TEST_P(Polar, ACentredCameraAgreesWithOpenCvWarpPolar) {
  const auto lens = fixtures::scene::TypicalLens("equidistant", 800, 600).value();
  const auto grid = StripGrid::Over(kRadius_mm, -10, 10, 2 * std::numbers::pi * kRadius_mm / 3600);
  ASSERT_EQ(grid.columns, 3600);
  const cv::Mat3b frame = Blobs({800, 600});
  const bool plus_z = GetParam();
  const auto pose = fixtures::scene::PoseLooking(plus_z, 0, 0, plus_z ? -kDistance_mm : kDistance_mm, 0, 0, 0);
  const auto strip = Unroll(frame, BuildMap(lens, pose, grid)).value();
  ASSERT_EQ(cv::countNonZero(strip.valid), grid.rows * grid.columns);
  cv::Mat grey, mirrored;
  cv::cvtColor(strip.image, grey, cv::COLOR_BGR2GRAY);
  const cv::Mat polar = ByWarpPolar(frame, lens, grid, plus_z);
  // warpPolar's angle and radius steps leave up to 0.15 px, the blobs' slope is some 5 grey values a pixel.
  EXPECT_LT(MeanDifference(grey, polar, strip.valid), 1.0);
  cv::flip(grey, mirrored, 1);
  EXPECT_GT(MeanDifference(mirrored, polar, strip.valid), 10);  // the comparison can tell left from right
  cv::flip(grey, mirrored, 0);
  EXPECT_GT(MeanDifference(mirrored, polar, strip.valid), 10);  // and top from bottom
}

INSTANTIATE_TEST_SUITE_P(BothWays, Polar, testing::Bool());

TEST(Roll, ARolledCameraTurnsTheStripByItsRoll) {
  const auto lens = fixtures::scene::TypicalLens("equidistant", 800, 600).value();
  const auto grid = StripGrid::Over(kRadius_mm, -10, 10, 2 * std::numbers::pi * kRadius_mm / 3600);
  const cv::Mat3b frame = Blobs({800, 600});
  const auto at = [&](double up_theta_deg) {
    const auto pose = fixtures::scene::PoseLooking(true, 0, 0, -kDistance_mm, 0, 0, up_theta_deg);
    return Unroll(frame, BuildMap(lens, pose, grid)).value().image;
  };
  // What stood at theta 0 (the image's up) stands at theta 90 when the image's up is there: 900 columns on.
  const cv::Mat straight = at(0), rolled = at(90);
  cv::Mat back;
  cv::hconcat(rolled.colRange(900, 3600), rolled.colRange(0, 900), back);
  EXPECT_LT(cv::norm(straight, back, cv::NORM_INF), 6);  // 1/32 px of the fixed-point map
}

}  // namespace
}  // namespace vision::unroll
