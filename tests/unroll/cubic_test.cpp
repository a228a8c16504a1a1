#include "vision/unroll/cubic.h"

#include <gtest/gtest.h>

#include <opencv2/imgproc.hpp>

namespace vision::unroll {
namespace {

/// Every place a random one, some of them near the rim and beyond it: against cv::remap with the same map.
TEST(CubicRow, IsWhatOpenCvRemapGivesToTheLastBit) {
  cv::RNG random(5);
  cv::Mat3b frame(90, 133);
  random.fill(frame, cv::RNG::UNIFORM, 0, 256);
  frame(cv::Rect(20, 20, 40, 30)) = cv::Vec3b(255, 255, 255);  // overshoot beside it is cut off at 0 and 255
  frame(cv::Rect(60, 20, 40, 30)) = cv::Vec3b(0, 0, 0);
  cv::Mat2f places(300, 700);
  random.fill(places, cv::RNG::UNIFORM, cv::Scalar(-4, -4), cv::Scalar(137, 94));
  cv::Mat xy, fraction;
  cv::convertMaps(places, cv::noArray(), xy, fraction, CV_16SC2);
  cv::Mat3b wanted, got(places.size());
  cv::remap(frame, wanted, xy, fraction, cv::INTER_CUBIC, cv::BORDER_CONSTANT);
  const cv::Mat1b seen(1, places.cols, uchar{255});
  for (int row = 0; row < places.rows; ++row)
    CubicRow(frame, xy.ptr<cv::Vec2s>(row), fraction.ptr<ushort>(row), seen[0], places.cols, got[row]);
  EXPECT_EQ(cv::norm(wanted, got, cv::NORM_INF), 0);
}

TEST(CubicRow, WhatIsNotSeenIsBlackAndItsPlaceIsNotLookedAt) {
  const cv::Mat3b frame(40, 40, cv::Vec3b(9, 9, 9));
  const cv::Vec2s at[] = {{20, 20}, {32000, -32000}};
  const ushort fraction[] = {0, 0};
  const uchar seen[] = {255, 0};
  cv::Vec3b out[] = {{1, 1, 1}, {1, 1, 1}};
  CubicRow(frame, at, fraction, seen, 2, out);
  EXPECT_EQ(out[0], cv::Vec3b(9, 9, 9));
  EXPECT_EQ(out[1], cv::Vec3b(0, 0, 0));
}

}  // namespace
}  // namespace vision::unroll
