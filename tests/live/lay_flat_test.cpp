#include "vision/live/lay_flat.h"

#include <gtest/gtest.h>

#include <cmath>
#include <opencv2/imgproc.hpp>

namespace vision::live {
namespace {

/// Corners lie at quarters of a pixel, so that every place is known without rounding; colours then are cv::remap's
/// (INTER_LINEAR through a fixed-point map) to the last bit.
TEST(LayFlat, IsWhatOpenCvRemapGivesToTheLastBit) {
  cv::RNG random(8);
  cv::Mat3b frame(120, 160), got(300 * kBlock, kBlock), wanted;
  random.fill(frame, cv::RNG::UNIFORM, 0, 256);
  cv::Mat xy(got.size(), CV_16SC2), fraction(got.size(), CV_16UC1);
  for (int block = 0; block < 300; ++block) {
    std::array<cv::Vec2f, 4> c;
    for (auto& corner : c)
      corner = {0.25F * static_cast<float>(random.uniform(12, 627)),
                0.25F * static_cast<float>(random.uniform(12, 467))};
    LayFlat(frame, c, got, block * kBlock, 0);
    for (int row = 0; row < kBlock; ++row)
      for (int k = 0; k < kBlock; ++k) {
        int at[2];
        for (int i = 0; i < 2; ++i) {
          const double from = c[0][i] + row / 8.0 * (c[2][i] - c[0][i]), to = c[1][i] + row / 8.0 * (c[3][i] - c[1][i]);
          at[i] = static_cast<int>(std::floor(32 * from + 4 * k * (to - from) + 0.5));
        }
        xy.at<cv::Vec2s>(block * kBlock + row, k) = {static_cast<short>(at[0] >> 5), static_cast<short>(at[1] >> 5)};
        fraction.at<ushort>(block * kBlock + row, k) = static_cast<ushort>((at[1] & 31) * 32 + (at[0] & 31));
      }
  }
  cv::remap(frame, wanted, xy, fraction, cv::INTER_LINEAR, cv::BORDER_CONSTANT);
  EXPECT_EQ(cv::norm(wanted, got, cv::NORM_INF), 0);
}

TEST(LayFlat, LeavesOutRowsBeyondTheStrip) {
  const cv::Mat3b frame(40, 40, cv::Vec3b(1, 2, 3));
  cv::Mat3b strip(kBlock + 3, kBlock, cv::Vec3b(0, 0, 0));
  LayFlat(frame, {cv::Vec2f(5, 5), {20, 5}, {5, 20}, {20, 20}}, strip, kBlock, 0);
  EXPECT_EQ(strip(kBlock - 1, 0), cv::Vec3b(0, 0, 0));
  EXPECT_EQ(strip(kBlock + 2, kBlock - 1), cv::Vec3b(1, 2, 3));
}

}  // namespace
}  // namespace vision::live
