#include "vision/arc/light_place.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/base/median.h"
#include "vision/base/range.h"
#include "vision/bore/angle.h"

namespace vision::arc {
namespace {

/// Inverse of the display curve of IEC 61966-2-1 (sRGB).
const std::array<float, 256>& Linear() {
  static const auto table = [] {
    std::array<float, 256> t{};
    for (std::size_t i = 0; i < t.size(); ++i) {
      const double v = static_cast<double>(i) / 255;
      t[i] = static_cast<float>(v <= 0.04045 ? v / 12.92 : std::pow((v + 0.055) / 1.055, 2.4));
    }
    return t;
  }();
  return table;
}

std::vector<float> Bell(double sigma_cells) {
  const int reach = std::max(1, static_cast<int>(std::ceil(3 * sigma_cells)));
  std::vector<float> weights;
  float sum = 0;
  for (int k = -reach; k <= reach; ++k) {
    weights.push_back(static_cast<float>(std::exp(-0.5 * k * k / (sigma_cells * sigma_cells))));
    sum += weights.back();
  }
  for (float& w : weights) w /= sum;
  return weights;
}

std::vector<float> SmoothedRound(const std::vector<float>& ring, const std::vector<float>& weights) {
  const auto n = static_cast<int>(ring.size()), reach = static_cast<int>(weights.size()) / 2;
  std::vector<float> out(ring.size(), 0.0F);
  for (int i = 0; i < n; ++i)
    for (int k = -reach; k <= reach; ++k)
      out[static_cast<std::size_t>(i)] +=
          weights[static_cast<std::size_t>(k + reach)] * ring[static_cast<std::size_t>(((i + k) % n + n) % n)];
  return out;
}

/// Index of the highest value within `reach` of a place.
std::size_t Highest(const std::vector<float>& ring, std::size_t about, std::size_t reach) {
  std::size_t best = about;
  for (std::size_t k = 0; k <= 2 * reach; ++k) {
    const std::size_t i = (about + ring.size() - reach + k) % ring.size();
    if (ring[i] > ring[best]) best = i;
  }
  return best;
}

}  // namespace

Status LightOptions::Check() const {
  if (auto broken = FirstOutside("LightOptions", {{"dark", dark, 0, 1}})) return broken;
  if (!(band_mm > 0 && band_mm <= 20)) return BadInput("LightOptions::band_mm must be above 0 and at most 20.");
  if (!(pitch_mm >= 0.05 && pitch_mm <= 1)) return BadInput("LightOptions::pitch_mm must be 0.05 to 1.");
  if (!(pool_mm >= 0.1 && pool_mm <= 5)) return BadInput("LightOptions::pool_mm must be 0.1 to 5.");
  if (!(least_contrast > 1 && least_contrast_bright > 1))
    return BadInput("LightOptions::least_contrast and least_contrast_bright must be above 1.");
  if (!(dark_ring > 0 && dark_ring < 1)) return BadInput("LightOptions::dark_ring must lie in (0, 1).");
  if (!(apart_mm >= 1 && apart_mm <= 50)) return BadInput("LightOptions::apart_mm must be 1 to 50.");
  if (most_places < 1 || most_places > 20) return BadInput("LightOptions::most_places must be 1 to 20.");
  return std::nullopt;
}

RootRing::RootRing(const bore::Bore& bore, const pose::FrameSetting& setting, const LightOptions& options)
    : bore_(bore), setting_(setting), options_(options), weights_(Bell(options.pool_mm / options.pitch_mm)) {}

void RootRing::LookFrom(const bore::BoreFromCam& pose) {
  const int around =
      std::max(180, static_cast<int>(std::lround(bore::ArcMm(360, bore_.radius_mm) / options_.pitch_mm)));
  const int along = 1 + 2 * static_cast<int>(std::ceil(options_.band_mm / (2 * options_.pitch_mm)));
  map_ = cv::Mat2f(along, around, cv::Vec2f(-1, -1));
  seen_ = cv::Mat1b(along, around, uchar{0});
  for (int row = 0; row < along; ++row)
    for (int column = 0; column < around; ++column) {
      const double z_mm = (row - along / 2) * 2 * options_.pitch_mm;
      const auto place = bore::XyzFromBore({column * 360.0 / around, z_mm, 0}, bore_.radius_mm);
      const auto pixel = setting_.lens.Project(pose.CamFromBore(place));
      if (!pixel || pixel->x() < 1 || pixel->y() < 1 || pixel->x() > setting_.lens.width_px - 2 ||
          pixel->y() > setting_.lens.height_px - 2)
        continue;
      if (!setting_.mask.empty() && setting_.mask(cvRound(pixel->y()), cvRound(pixel->x())) != 0) continue;
      map_(row, column) = cv::Vec2f(static_cast<float>(pixel->x()), static_cast<float>(pixel->y()));
      seen_(row, column) = 255;
    }
}

cv::Mat3b MiddleOf(const cv::Mat3b& before, const cv::Mat3b& now, const cv::Mat3b& after) {
  const cv::Mat a = before, b = now, c = after;
  if (a.size() != b.size() || c.size() != b.size()) return now;
  cv::Mat low, high;
  cv::min(a, b, low);
  cv::max(a, b, high);
  cv::min(high, c, high);
  cv::max(low, high, low);
  return low;
}

cv::Mat3b RootRing::Lay(const cv::Mat3b& frame) const {
  cv::Mat3b strip;
  if (map_.empty()) return strip;
  cv::remap(frame, strip, map_, cv::noArray(), cv::INTER_LINEAR);
  return strip;
}

LightPlace RootRing::PlaceAt(const std::vector<float>& smooth, std::size_t best) const {
  const std::size_t n = smooth.size();
  const double before = smooth[(best + n - 1) % n], at = smooth[best], after = smooth[(best + 1) % n];
  const double bend = before - 2 * at + after;
  const double between = bend < 0 ? std::clamp(0.5 * (before - after) / bend, -0.5, 0.5) : 0;
  LightPlace place;
  place.theta_deg = bore::Wrap360((static_cast<double>(best) + between) * 360 / static_cast<double>(n));
  return place;
}

std::vector<LightPlace> RootRing::Find(const cv::Mat3b& strip) const {
  if (map_.empty() || strip.size() != map_.size() || cv::countNonZero(seen_) == 0) return {};
  const auto n = static_cast<std::size_t>(strip.cols);
  std::vector<float> light(n, 0.0F), sum(n, 0.0F), full(n, 0.0F);
  for (int row = 0; row < strip.rows; ++row)
    for (int column = 0; column < strip.cols; ++column) {
      if (!seen_(row, column)) continue;
      const auto& bgr = strip(row, column);
      const float b = Linear()[bgr[0]], g = Linear()[bgr[1]], r = Linear()[bgr[2]];
      const auto at = static_cast<std::size_t>(column);
      light[at] = std::max({light[at], b, g, r});
      sum[at] = std::max(sum[at], b + g + r);
      if (std::min({bgr[0], bgr[1], bgr[2]}) >= 252) full[static_cast<std::size_t>(column)] = 1;
    }
  const auto smooth = SmoothedRound(light, weights_), sum_smooth = SmoothedRound(sum, weights_),
             full_smooth = SmoothedRound(full, weights_);
  const double usual = Median(smooth) + options_.dark;
  const double least = usual < options_.dark_ring ? options_.least_contrast : options_.least_contrast_bright;
  const auto apart = std::max<std::size_t>(1, static_cast<std::size_t>(options_.apart_mm / options_.pitch_mm));
  std::vector<float> left = smooth;
  std::vector<LightPlace> places;
  while (places.size() < static_cast<std::size_t>(options_.most_places)) {
    const auto best = static_cast<std::size_t>(std::max_element(left.begin(), left.end()) - left.begin());
    const auto middle = Highest(sum_smooth, best, static_cast<std::size_t>(3 / options_.pitch_mm));
    LightPlace place = PlaceAt(sum_smooth, middle);
    place.level = sum_smooth[middle] / 3;
    place.contrast = smooth[best] / usual;
    place.full_share = full_smooth[best];
    place.glows = place.contrast >= least;
    if (!places.empty() && !place.glows) break;
    const bool top = smooth[best] >= smooth[(best + 1) % n] && smooth[best] >= smooth[(best + n - 1) % n];
    if (top) places.push_back(place);  // else the flank of a brighter one
    for (std::size_t k = 0; k <= 2 * apart; ++k) left[(best + n - apart + k) % n] = -1;
    if (places.empty() || *std::max_element(left.begin(), left.end()) < 0) break;
  }
  return places;
}

}  // namespace vision::arc
