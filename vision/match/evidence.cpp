#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/match/change_parts.h"
#include "vision/statistics/quantile.h"

namespace vision::match {
namespace {

/// Brightness and two colour ratios, logarithms.
cv::Mat3f Features(const cv::Mat3b& image, double pitch_mm, const EvidenceOptions& o) {
  const cv::Mat3f smooth = OnRing(image, 16, [&o, pitch_mm](const cv::Mat& in, cv::Mat& out) {
    in.convertTo(out, CV_32F);
    cv::GaussianBlur(out, out, {}, o.fine_mm / pitch_mm);
  });
  cv::Mat3f features(image.size());
  for (int row = 0; row < image.rows; ++row)
    for (int column = 0; column < image.cols; ++column) {
      const cv::Vec3f& bgr = smooth(row, column);
      const float b = std::log(std::max(bgr[0], 6.0F)), g = std::log(std::max(bgr[1], 6.0F)),
                  r = std::log(std::max(bgr[2], 6.0F));
      features(row, column) = {(b + g + r) / 3, r - g, b - g};
    }
  return features;
}

/// Running median around the ring of one row and channel, one value a sector.
std::vector<float> RunningMedian(const cv::Mat3f& values, const cv::Mat1b& counts, int row, int channel, int reach,
                                 const EvidenceOptions& o) {
  std::vector<float> sector(o.sectors), out(o.sectors), pool;
  std::vector<bool> known(o.sectors);
  for (int k = 0; k < o.sectors; ++k) {
    pool.clear();
    for (int column = values.cols * k / o.sectors; column < values.cols * (k + 1) / o.sectors; column += 3)
      if (counts(row, column)) pool.push_back(values(row, column)[channel]);
    const auto i = static_cast<std::size_t>(k);
    known[i] = pool.size() >= 3;
    sector[i] = statistics::MedianOr(pool, 0.F);
  }
  for (int k = 0; k < o.sectors; ++k) {
    pool.clear();
    for (int j = -reach; j <= reach; ++j) {
      const auto i = static_cast<std::size_t>((k + j + o.sectors) % o.sectors);
      if (known[i]) pool.push_back(sector[i]);
    }
    out[static_cast<std::size_t>(k)] = statistics::MedianOr(pool, 0.F);
  }
  return out;
}

/// The value at a column, linear between the middles of the sectors.
float Between(const std::vector<float>& sectors, int column, int columns, const EvidenceOptions& o) {
  const double at = (column + 0.5) * o.sectors / columns - 0.5 + o.sectors;
  const int k = static_cast<int>(at);
  const auto f = static_cast<float>(at - k);
  return (1 - f) * sectors[static_cast<std::size_t>(k % o.sectors)] +
         f * sectors[static_cast<std::size_t>((k + 1) % o.sectors)];
}

/// Adds the light that both pictures share over an arc to `expected`, and measures the scatter that is left.
void TakeOutLight(Evidence& e, double light_deg, const EvidenceOptions& o) {
  const int reach = std::max(1, static_cast<int>(std::lround(light_deg / 360 * o.sectors / 2)));
  cv::Mat3f off;
  cv::subtract(e.after, e.expected, off);
  e.sigma.assign(static_cast<std::size_t>(off.rows), kLeastSigma);
  std::vector<float> pool;
  for (int row = 0; row < off.rows; ++row)
    for (int channel = 0; channel < 3; ++channel) {
      const auto light = RunningMedian(off, e.both, row, channel, reach, o);
      pool.clear();
      for (int column = 0; column < off.cols; ++column) {
        const float more = Between(light, column, off.cols, o);
        e.expected(row, column)[channel] += more;
        if (e.both(row, column)) pool.push_back(std::abs(off(row, column)[channel] - more));
      }
      float& sigma = e.sigma[static_cast<std::size_t>(row)][channel];
      sigma = std::max(sigma, 1.4826F * statistics::MedianOr(pool, 0.F));
    }
}

cv::Mat1f Drawing(const cv::Mat3f& features, double pitch_mm, const EvidenceOptions& o) {
  cv::Mat1f brightness;
  cv::extractChannel(features, brightness, 0);
  return OnRing(brightness, 80, [&o, pitch_mm](const cv::Mat& in, cv::Mat& out) {
    cv::Mat wide;
    cv::GaussianBlur(in, wide, {}, o.coarse_mm / pitch_mm);
    out = in - wide;
    cv::min(out, 0.25, out);
    cv::max(out, -0.25, out);
  });
}

}  // namespace

Evidence Gather(const FlatPicture& before, const FlatPicture& laid, double light_deg, const EvidenceOptions& o) {
  Evidence e;
  e.grid = before.grid;
  e.after = Features(laid.image, e.grid.pitch_mm, o);
  e.expected = Features(before.image, e.grid.pitch_mm, o);
  cv::bitwise_and(before.seen > 0, laid.seen > 0, e.both);
  cv::Mat1b bright;
  cv::cvtColor(laid.image, bright, cv::COLOR_BGR2GRAY);
  e.lit_out = (laid.seen == 0) & (bright > 200);
  e.drawing_before = Drawing(e.expected, e.grid.pitch_mm, o);
  e.drawing_after = Drawing(e.after, e.grid.pitch_mm, o);
  TakeOutLight(e, light_deg, o);
  return e;
}

}  // namespace vision::match
