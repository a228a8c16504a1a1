#include "vision/pose/stand_strip.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/bore/angle.h"

namespace vision::pose {
namespace {

// Of the reader's input as it was trained (scripts/stand/samples.py, network_input).
constexpr int kWrap = 96;                            ///< Format: the network's input.
constexpr double kAroundSigma = 8, kAlongSigma = 5;  ///< Format: the network's input, Columns, rows.
constexpr int kAroundSize = 49, kAlongSize = 31;     ///< Format: the network's input.
constexpr double kAroundGain = 12, kAlongGain = 6, kTintGain = 3, kClip = 3;  ///< Format: the network's input.

cv::Mat1f LessItsMean(const cv::Mat1f& values, const cv::Mat1f& seen) {
  const double mean = cv::sum(values)[0] / std::max(1.0, cv::sum(seen)[0]);
  cv::Mat1f out;
  cv::subtract(values, mean, out);
  cv::multiply(out, seen, out);
  return out;
}

/// Blur over what is seen; `around` wraps, along the wall nothing stands beyond the edges.
cv::Mat1f Blurred(const cv::Mat1f& values, bool around) {
  cv::Mat1f wide, out;
  if (!around) {
    cv::sepFilter2D(values, out, CV_32F, cv::Mat1f::ones(1, 1), cv::getGaussianKernel(kAlongSize, kAlongSigma, CV_32F),
                    {-1, -1}, 0, cv::BORDER_CONSTANT);
    return out;
  }
  cv::copyMakeBorder(values, wide, 0, 0, kAroundSize, kAroundSize, cv::BORDER_WRAP);
  cv::sepFilter2D(wide, out, CV_32F, cv::getGaussianKernel(kAroundSize, kAroundSigma, CV_32F), cv::Mat1f::ones(1, 1));
  return out.colRange(kAroundSize, kAroundSize + values.cols);
}

cv::Mat1f LessItsBlur(const cv::Mat1f& level, const cv::Mat1f& seen, bool around) {
  cv::Mat1f low, out, there;
  cv::max(Blurred(seen, around), 1e-3, there);
  cv::divide(Blurred(level, around), there, low);
  cv::subtract(level, low, out);
  cv::multiply(out, seen, out);
  return out;
}

void Put(const cv::Mat1f& plane, double gain, int channel, cv::Mat& blob) {
  cv::Mat wide(blob.size[2], blob.size[3], CV_32F, blob.ptr<float>(0, channel));
  cv::Mat1f clipped;
  cv::min(gain * plane, kClip, clipped);
  cv::max(clipped, -kClip, clipped);
  cv::copyMakeBorder(clipped, wide, 0, 0, kWrap, kWrap, cv::BORDER_WRAP);
}

}  // namespace

SphereChart StandChart(const cv::Mat3b& picture, const camera::Lens& lens, const cv::Mat1b& mask) {
  return LayOnSphere(picture, lens, mask, std::min(1.0, kStandPxPerRad / PxPerRad(lens)), ChartOptions{});
}

StandStrip UnrollAbout(const WallView& view, const Eigen::Vector2d& lean, const Eigen::Vector2d& offset) {
  static const RingAzimuths kAzimuths(kStandColumns);
  const WallSights sights(view, AxisBasis(lean), offset, kAzimuths);
  const auto empty = [] { return cv::Mat1f(kStandRows, kStandColumns, 0.0F); };
  StandStrip strip{empty(), empty(), empty()};
  Eigen::ArrayXf light(kStandColumns), tint(kStandColumns);
  for (int i = 0; i < 2 * kStandRows; ++i) {  // two looks a row
    const double angle = kStandToDeg - (i + 0.5) * (kStandToDeg - kStandFromDeg) / (2 * kStandRows);
    const auto along = static_cast<float>(1 / std::tan(angle * bore::kRadPerDeg));
    sights.Sample(along, light.data(), tint.data());
    float *lights = strip.light[i / 2], *tints = strip.tint[i / 2], *seen = strip.seen[i / 2];
    for (int j = 0; j < kStandColumns; ++j)
      if (light[j] == light[j]) lights[j] += light[j], tints[j] += tint[j], seen[j] += 1;
  }
  cv::Mat1f count;
  cv::max(strip.seen, 1, count);
  cv::divide(strip.light, count, strip.light);
  cv::divide(strip.tint, count, strip.tint);
  cv::min(strip.seen, 1, strip.seen);
  return strip;
}

cv::Mat StandInput(const StandStrip& strip) {
  const int sizes[] = {1, 5, strip.seen.rows, strip.seen.cols + 2 * kWrap};
  cv::Mat blob(4, sizes, CV_32F);
  const cv::Mat1f level = LessItsMean(strip.light, strip.seen);
  Put(level, 1, 0, blob);
  Put(LessItsBlur(level, strip.seen, true), kAroundGain, 1, blob);
  Put(LessItsBlur(level, strip.seen, false), kAlongGain, 2, blob);
  Put(LessItsMean(strip.tint, strip.seen), kTintGain, 3, blob);
  Put(strip.seen, 1, 4, blob);
  return blob;
}

}  // namespace vision::pose
