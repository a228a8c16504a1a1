#include "vision/relief/light_ribbon.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>

#include "vision/base/median.h"

namespace vision::relief {
namespace {

float ShareOf(std::vector<float>& v, double at) {
  const auto place = v.begin() + static_cast<std::ptrdiff_t>(at * static_cast<double>(v.size() - 1));
  std::nth_element(v.begin(), place, v.end());
  return *place;
}

/// How far each place lies off the wall's usual colour, codes; empty where too little is seen.
cv::Mat1f OffTheWall(const Ribbon& ribbon) {
  std::vector<float> parts[2];
  for (int row = 0; row < ribbon.light.rows; row += 3)
    for (int column = 0; column < ribbon.light.cols; column += 3)
      if (ribbon.light(row, column) >= 0)
        for (int k = 0; k < 2; ++k) parts[k].push_back(ribbon.colour(row, column)[k]);
  if (parts[0].size() < 100) return {};
  const cv::Vec2f wall(ShareOf(parts[0], 0.5), ShareOf(parts[1], 0.5));
  cv::Mat1f off(ribbon.light.size());
  for (int row = 0; row < off.rows; ++row)
    for (int column = 0; column < off.cols; ++column)
      off(row, column) =
          ribbon.light(row, column) < 0 ? 0.F : static_cast<float>(cv::norm(ribbon.colour(row, column) - wall));
  return off;
}

/// Of the greatest value in each direction, the middle one.
float UsualPeak(const cv::Mat1f& off) {
  std::vector<float> most;
  for (int column = 0; column < off.cols; ++column) {
    double top = 0;
    cv::minMaxLoc(off.col(column), nullptr, &top);
    most.push_back(static_cast<float>(top));
  }
  return ShareOf(most, 0.5);
}

}  // namespace

/// Luminance as light, 1 = full scale: the picture is coded with a power of about 1 / 2.2 (IEC 61966-2-1).
LightParts PartsOf(const cv::Mat3b& frame, const std::optional<cv::Vec3f>& unmix, bool by_brightest) {
  cv::Mat1b grey;
  cv::cvtColor(frame, grey, cv::COLOR_BGR2GRAY);
  cv::Mat1f light(1, 256);
  for (int i = 0; i < 256; ++i) light(0, i) = static_cast<float>(std::pow(i / 255.0, 2.2));
  LightParts parts;
  if (unmix) {
    cv::Mat3f linear;
    cv::LUT(frame, light, linear);
    cv::transform(linear, parts.own, cv::Matx13f(unmix->val));
    cv::max(parts.own, 0.F, parts.own);
  }
  cv::Mat coded, planes[3];
  cv::split(frame, planes);
  cv::LUT(by_brightest ? cv::Mat(cv::max(cv::max(planes[0], planes[1]), planes[2])) : cv::Mat(grey), light,
          parts.light);
  cv::LUT(cv::min(cv::min(planes[0], planes[1]), planes[2]), light, parts.least);
  cv::cvtColor(frame, coded, cv::COLOR_BGR2YCrCb);
  cv::split(coded, planes);
  planes[1].convertTo(planes[1], CV_32F, 1, -128);
  planes[2].convertTo(planes[2], CV_32F, 1, -128);
  cv::merge(planes + 1, 2, parts.colour);
  return parts;
}

double PxPerSlope(const camera::Lens& lens, double slope) {
  const auto a = lens.Project({slope, 0, 1}), b = lens.Project({slope * 1.001, 0, 1});
  return a && b ? (*b - *a).norm() / (slope * 0.001) : 0;
}

Ribbon RibbonAround(const LightParts& parts, const camera::Lens& lens, const cv::Mat1b& mask, Eigen::Vector2d centre,
                    double from, double to, int columns, double px_per_row) {
  Ribbon ribbon;
  ribbon.centre = centre;
  ribbon.from = from;
  ribbon.px_per_row = px_per_row;
  const double scale = PxPerSlope(lens, 0.5 * (from + to));
  ribbon.step = px_per_row / std::max(1.0, scale);
  const int rows = std::clamp(static_cast<int>((to - from) / ribbon.step) + 1, 16, 4000);
  cv::Mat2f map(rows, columns);
  cv::Mat1b seen(rows, columns, uchar{0});
  ribbon.light = cv::Mat1f(rows, columns);
  cv::parallel_for_(cv::Range(0, rows), [&](const cv::Range& range) {
    for (int row = range.start; row < range.end; ++row)
      for (int column = 0; column < columns; ++column) {
        const auto slope = ribbon.SlopeOf(column, row);
        const auto px = lens.Project({slope.x(), slope.y(), 1});
        map(row, column) = cv::Vec2f(-9, -9);
        if (!px || !(px->x() > 1 && px->y() > 1 && px->x() < lens.width_px - 2 && px->y() < lens.height_px - 2))
          continue;
        if (!mask.empty() && mask(cvRound(px->y()), cvRound(px->x())) != 0) continue;
        map(row, column) = {static_cast<float>(px->x()), static_cast<float>(px->y())};
        seen(row, column) = 255;
      }
  });
  cv::remap(parts.colour, ribbon.colour, map, cv::noArray(), cv::INTER_LINEAR, cv::BORDER_CONSTANT);
  cv::remap(parts.least, ribbon.least, map, cv::noArray(), cv::INTER_LINEAR, cv::BORDER_CONSTANT);
  cv::remap(parts.light, ribbon.light, map, cv::noArray(), cv::INTER_CUBIC, cv::BORDER_CONSTANT);
  cv::max(ribbon.light, 0.F, ribbon.light);  // a cubic swings below 0 beside a stripe on the dark; below 0 is not seen
  ribbon.light.setTo(-1, seen == 0);
  if (parts.own.empty()) return ribbon;
  cv::remap(parts.own, ribbon.own, map, cv::noArray(), cv::INTER_CUBIC, cv::BORDER_CONSTANT);
  cv::max(ribbon.own, 0.F, ribbon.own);
  ribbon.own.setTo(-1, seen == 0);
  return ribbon;
}

std::vector<Candidate> BrightBands(const Ribbon& ribbon, int column, int from, int to, double half_px, int most) {
  const int half = std::max(1, static_cast<int>(half_px / ribbon.px_per_row)), edge = half + half / 3 + 1;
  const auto mean = [&](int middle) {
    float sum = 0;
    for (int r = middle - half / 3; r <= middle + half / 3; ++r) sum += ribbon.light(r, column);
    return sum / static_cast<float>(2 * (half / 3) + 1);
  };
  std::vector<Candidate> all;
  for (int row = std::max(from, edge); row < std::min(to, ribbon.light.rows - edge); ++row) {
    if (ribbon.light(row - edge, column) < 0 || ribbon.light(row + edge, column) < 0) continue;
    const float response = mean(row) - std::max(mean(row - half), mean(row + half));
    if (response > 0) all.push_back({row, response});
  }
  std::vector<Candidate> best;
  while (static_cast<int>(best.size()) < most) {
    Candidate next;
    for (const auto& band : all) {
      const bool apart = std::all_of(best.begin(), best.end(),
                                     [&](const Candidate& chosen) { return std::abs(chosen.row - band.row) >= half; });
      if (apart && band.response > next.response) next = band;
    }
    if (next.row < 0) break;
    best.push_back(next);
  }
  return best;
}

Candidate NarrowestBand(const Ribbon& ribbon, int column, int from, int to, double half_px) {
  const auto best = BrightBands(ribbon, column, from, to, half_px, 1);
  return best.empty() ? Candidate{} : best.front();
}

void WeighByColour(Ribbon& ribbon, const StripeTraceOptions& o) {
  cv::Mat1f off = OffTheWall(ribbon);
  if (off.empty()) return;
  cv::blur(off, off, {1, std::max(1, static_cast<int>(o.colour_spread_px / ribbon.px_per_row))});
  const float usual = UsualPeak(off);
  if (usual < o.stands_off) return;
  for (int row = 0; row < off.rows; ++row)
    for (int column = 0; column < off.cols; ++column)
      if (float& light = ribbon.light(row, column); light > 0) light *= std::min(1.F, off(row, column) / usual);
}

bool ColourForLight(Ribbon& ribbon, const StripeTraceOptions& o) {
  const cv::Mat1f off = OffTheWall(ribbon);
  const float usual = off.empty() ? 0 : UsualPeak(off);
  if (usual < o.stands_off) return false;
  for (int row = 0; row < off.rows; ++row)
    for (int column = 0; column < off.cols; ++column)
      if (float& light = ribbon.light(row, column); light >= 0) light = std::min(1.F, off(row, column) / usual);
  return true;
}

}  // namespace vision::relief
