#include "vision/scan/frame_look.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/base/median.h"

namespace vision::scan {
namespace {

/// The part of the picture that shows anything, its rim (the lens's own edge) left out.
cv::Mat1b ShownPart(const cv::Mat1b& grey, double bright) {
  cv::Mat1b smooth, shown;
  cv::GaussianBlur(grey, smooth, {}, 2);
  cv::threshold(smooth, shown, std::max(6.0, 0.12 * bright), 255, cv::THRESH_BINARY);
  cv::erode(shown, shown, cv::getStructuringElement(cv::MORPH_ELLIPSE, {13, 13}));
  return shown;
}

/// Grey below which `share` of the pixels of the mask lie; 0 for an empty mask.
int Percentile(const cv::Mat1b& grey, const cv::Mat& mask, double share) {
  int bins = 256;
  const float span[] = {0, 256};
  const float* range = span;
  const int channel = 0;
  cv::Mat histogram;
  cv::calcHist(&grey, 1, &channel, mask, histogram, 1, &bins, &range);
  const double wanted = share * cv::sum(histogram)[0];
  double sum = 0;
  for (int i = 0; i < 256; ++i)
    if ((sum += histogram.at<float>(i)) >= wanted) return i;
  return 255;
}

cv::Mat1f Slope(const cv::Mat1b& grey, double sigma) {
  cv::Mat1f smooth, across, down, slope;
  grey.convertTo(smooth, CV_32F);
  cv::GaussianBlur(smooth, smooth, {}, sigma);
  cv::Sobel(smooth, across, CV_32F, 1, 0, 1);
  cv::Sobel(smooth, down, CV_32F, 0, 1, 1);
  cv::magnitude(across, down, slope);
  return slope;
}

/// A step blurred by b keeps sqrt((b^2 + 4) / (b^2 + 1)) of slope between blurs of 1 and 2 (Zhuo and Sim, Pattern
/// Recognition 44 (2011) 1852): taken at the twentieth of the pixels with the steepest slope.
double BlurOf(const cv::Mat1b& grey, const cv::Mat1b& shown) {
  const cv::Mat1f fine = Slope(grey, 1), coarse = Slope(grey, 2);
  std::vector<float> slopes;
  for (int v = 0; v < grey.rows; ++v)
    for (int u = 0; u < grey.cols; ++u)
      if (shown(v, u)) slopes.push_back(fine(v, u));
  if (slopes.size() < 400) return NAN;
  const auto steep = slopes.begin() + static_cast<std::ptrdiff_t>(slopes.size() * 19 / 20);
  std::nth_element(slopes.begin(), steep, slopes.end());
  const float least = std::max(*steep, 0.5F);
  std::vector<float> ratios;
  for (int v = 0; v < grey.rows; ++v)
    for (int u = 0; u < grey.cols; ++u)
      if (shown(v, u) && fine(v, u) >= least) ratios.push_back(fine(v, u) / std::max(coarse(v, u), 1e-3F));
  if (ratios.size() < 20) return NAN;
  const double ratio2 = std::pow(std::clamp<double>(MedianInPlace(ratios), 1.01, 1.99), 2);
  return std::sqrt((4 - ratio2) / (ratio2 - 1));
}

/// Brightest place over the median, and the light on its side of the picture over that on the other side.
void Spot(const cv::Mat1b& grey, double level, FrameLook& look) {
  cv::Mat1f smooth;
  grey.convertTo(smooth, CV_32F);
  cv::GaussianBlur(smooth, smooth, {}, grey.cols / 80.0);
  double brightest = 0;
  cv::Point at;
  cv::minMaxLoc(smooth, nullptr, &brightest, nullptr, &at);
  look.spot = brightest / std::max(1.0, 255 * level);
  const cv::Point2d middle((grey.cols - 1) / 2.0, (grey.rows - 1) / 2.0), towards = cv::Point2d(at) - middle;
  const double length = std::hypot(towards.x, towards.y), half = std::min(grey.cols, grey.rows) / 2.0;
  if (length < 0.05 * half) return;
  double near = 0, far = 0;
  for (int v = 0; v < grey.rows; v += 2)
    for (int u = 0; u < grey.cols; u += 2) {
      const cv::Point2d from = cv::Point2d(u, v) - middle;
      const double r = std::hypot(from.x, from.y), along = from.dot(towards) / length;
      if (r < 0.3 * half || r > 0.9 * half || std::abs(along) < 0.5 * r) continue;
      (along > 0 ? near : far) += smooth(v, u);
    }
  look.one_sided = near / std::max(1.0, far);
}

/// An arc's pool is small: it drowns in what Spot() averages over.
void Peak(const cv::Mat1b& grey, FrameLook& look) {
  cv::Mat1b smooth;
  cv::GaussianBlur(grey, smooth, {}, grey.cols / 320.0);
  double brightest = 0;
  cv::Point at;
  cv::minMaxLoc(smooth, nullptr, &brightest, nullptr, &at);
  look.peak = brightest / 255;
  const double half = std::min(grey.cols, grey.rows) / 2.0;
  look.peak_off = std::hypot(at.x - (grey.cols - 1) / 2.0, at.y - (grey.rows - 1) / 2.0) / half;
}

}  // namespace

FrameLook FrameLooker::Look(const cv::Mat1b& grey, double time_s, long index, const std::vector<cv::Rect>& without) {
  FrameLook look;
  look.time_s = time_s;
  look.index = index;
  const int bright = Percentile(grey, {}, 0.99);
  look.bright = bright / 255.0;
  cv::Mat1b shown = ShownPart(grey, bright);
  for (const auto& box : without) shown(box & cv::Rect({}, grey.size())) = 0;
  const int pixels = cv::countNonZero(shown);
  look.level = pixels ? Percentile(grey, shown, 0.5) / 255.0 : look.bright;
  look.glare = pixels ? static_cast<double>(cv::countNonZero((grey >= 250) & shown)) / pixels : 0;
  look.blur_px = reduce_ * BlurOf(grey, shown);
  look.middle = Percentile(grey, {}, 0.5) / 255.0;
  Spot(grey, look.middle, look);
  Peak(grey, look);
  cv::Mat1b difference;
  look.change = NAN;
  if (!last_.empty()) {
    cv::absdiff(grey, last_, difference);
    look.change = cv::mean(difference)[0] / std::max(1.0, 255 * look.level);
  }
  grey.copyTo(last_);
  return look;
}

}  // namespace vision::scan
