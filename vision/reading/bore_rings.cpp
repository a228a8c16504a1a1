#include "vision/reading/bore_rings.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/base/median.h"
#include "vision/bore/angle.h"

namespace vision::reading {
namespace {

/// Logarithm of grey in sectors by rows, slow change along the bore taken out; NaN where not seen.
cv::Mat1f SectorsOf(const unroll::Strip& strip, const RingOptions& o) {
  cv::Mat1b grey;
  cv::cvtColor(strip.image, grey, cv::COLOR_BGR2GRAY);
  const int rows = strip.grid.rows, wide = strip.grid.columns / o.sectors;
  cv::Mat1f sectors(o.sectors, rows, std::numeric_limits<float>::quiet_NaN());
  for (int s = 0; s < o.sectors; ++s)
    for (int row = 0; row < rows; ++row) {
      double sum = 0;
      int seen = 0;
      for (int column = s * wide; column < (s + 1) * wide; ++column)
        if (strip.valid(row, column)) sum += std::log(8.0 + grey(row, column)), ++seen;
      if (2 * seen >= wide) sectors(s, row) = static_cast<float>(sum / seen);
    }
  cv::Mat1f fast(sectors.size(), std::numeric_limits<float>::quiet_NaN());
  const int half = std::max(2, static_cast<int>(std::lround(o.trend_mm / strip.grid.pitch_mm)));
  for (int s = 0; s < o.sectors; ++s)
    for (int row = half; row + half < rows; ++row) {
      std::vector<float> around;
      for (int k = -half; k <= half; ++k)
        if (const float v = sectors(s, row + k); v == v) around.push_back(v);
      if (sectors(s, row) == sectors(s, row) && static_cast<int>(around.size()) > half)
        fast(s, row) = sectors(s, row) - MedianInPlace(around);
    }
  return fast;
}

struct Row {
  float middle = 0;  ///< Over the sectors.
  double around = 0, seen = 0;
};

std::vector<Row> RowsOf(const cv::Mat1f& sectors) {
  std::vector<Row> rows(static_cast<std::size_t>(sectors.cols));
  for (int r = 0; r < sectors.cols; ++r) {
    std::vector<float> values;
    for (int s = 0; s < sectors.rows; ++s)
      if (const float v = sectors(s, r); v == v) values.push_back(v);
    Row& row = rows[static_cast<std::size_t>(r)];
    row.seen = static_cast<double>(values.size()) / sectors.rows;
    if (values.empty()) continue;
    row.middle = MedianInPlace(values);
    const auto same = std::count_if(values.begin(), values.end(), [&](float v) { return v * row.middle > 0; });
    row.around = static_cast<double>(same) / static_cast<double>(values.size());
  }
  return rows;
}

/// Usual spread of a row's middle, about the row by distance: the wall's grain grows where a pixel covers more of it.
double SpreadAbout(const std::vector<Row>& rows, std::size_t at, std::size_t half) {
  std::vector<float> sizes;
  for (std::size_t r = at > half ? at - half : 0; r < std::min(rows.size(), at + half + 1); ++r)
    if (rows[r].seen > 0) sizes.push_back(std::abs(rows[r].middle));
  return sizes.size() < 8 ? INFINITY : std::max(1e-3, 1.4826 * static_cast<double>(MedianInPlace(sizes)));
}

/// From where to where beside the weld, in the look's z along its own sight.
struct Stretch {
  double from_mm, to_mm;
};

double HalfWidth(const Look& look, const RingOptions& o) {
  std::vector<double> halves;
  for (const auto* toe : {&look.toes.left, &look.toes.right})
    for (std::size_t i = 0; i < toe->z_mm.size(); ++i)
      if (toe->visible[i]) halves.push_back(std::abs(toe->z_mm[i]));
  return halves.size() < 36 ? o.usual_half_mm : MedianInPlace(halves);
}

}  // namespace

Status RingOptions::Check() const {
  if (!(pitch_mm >= 0.05 && pitch_mm <= 1)) return BadInput("RingOptions::pitch_mm must be 0.05 to 1 mm.");
  if (!(to_radii > 0 && nearest_radii > 0)) return BadInput("RingOptions: to_radii and nearest_radii must be above 0.");
  if (!(beside_toe_mm > 0 && usual_half_mm > 0 && apart_mm > 0))
    return BadInput("RingOptions: beside_toe_mm, usual_half_mm and apart_mm must be above 0 mm.");
  if (!(sectors >= 8 && sectors <= 720)) return BadInput("RingOptions::sectors must be 8 to 720.");
  if (!(about_mm > 0)) return BadInput("RingOptions::about_mm must be above 0 mm.");
  if (!(trend_mm > 1)) return BadInput("RingOptions::trend_mm must be above 1 mm.");
  if (!(least_strength > 0)) return BadInput("RingOptions::least_strength must be above 0.");
  if (!(least_around > 0 && least_around <= 1 && least_seen > 0 && least_seen <= 1))
    return BadInput("RingOptions: least_around and least_seen must be in (0, 1].");
  return std::nullopt;
}

Result<std::vector<BoreRing>> RingsBeside(const cv::Mat3b& frame, const pose::FrameSetting& setting, const Look& look,
                                          const bore::Bore& bore, const RingOptions& o) {
  if (auto broken = o.Check()) return *broken;
  std::vector<BoreRing> rings;
  const double sign = look.near_is_left() ? 1 : -1;
  const double near = look.distance_mm() - o.nearest_radii * bore.radius_mm, far = o.to_radii * bore.radius_mm;
  if (near < 0) return rings;
  const double from = sign > 0 ? -near : -far, to = sign > 0 ? far : near;
  const auto grid = unroll::StripGrid::Over(bore.radius_mm, from, to, o.pitch_mm);
  const auto strip =
      unroll::Unroll(frame, unroll::BuildMap(setting.lens, look.pose.bore_from_cam, grid, setting.mask), 0, {}, {});
  if (!strip.ok()) return strip.error();
  const auto rows = RowsOf(SectorsOf(strip.value(), o));
  const double clear = HalfWidth(look, o) + o.beside_toe_mm;
  const auto z_of = [&](std::size_t r) { return grid.z_from_mm + static_cast<double>(r) * grid.pitch_mm; };
  const auto half = static_cast<std::size_t>(std::lround(o.about_mm / o.pitch_mm));
  std::vector<double> strength(rows.size(), 0);
  for (std::size_t r = 0; r < rows.size(); ++r)
    if (rows[r].seen >= o.least_seen && rows[r].around >= o.least_around && std::abs(z_of(r)) >= clear)
      strength[r] = std::abs(rows[r].middle) / SpreadAbout(rows, r, half);
  const auto reach = static_cast<std::size_t>(std::lround(o.apart_mm / o.pitch_mm));
  for (std::size_t r = reach; r + reach < rows.size(); ++r) {
    const auto begin = strength.begin() + static_cast<std::ptrdiff_t>(r - reach);
    const auto most = std::max_element(begin, begin + static_cast<std::ptrdiff_t>(2 * reach + 1));
    if (strength[r] < o.least_strength || most - strength.begin() != static_cast<std::ptrdiff_t>(r)) continue;
    const double u = std::hypot(o.pitch_mm, look.pose.tilt_u_deg() * bore::kRadPerDeg * std::abs(z_of(r)));
    rings.push_back({z_of(r), u, 360 * rows[r].around * rows[r].seen});
  }
  std::sort(rings.begin(), rings.end(),
            [](const BoreRing& a, const BoreRing& b) { return std::abs(a.z_mm) < std::abs(b.z_mm); });
  return rings;
}

std::vector<BoreRing> RingsOf(const std::vector<Look>& looks, double shift_mm, const RingOptions& o) {
  std::vector<BoreRing> together;
  for (const Look& look : looks)
    for (const BoreRing& ring : look.rings) {
      const auto same = [&](const BoreRing& other) { return std::abs(other.z_mm - ring.z_mm) < o.apart_mm; };
      if (std::any_of(together.begin(), together.end(), same)) continue;
      const auto saw = std::count_if(looks.begin(), looks.end(), [&](const Look& other) {
        return std::any_of(other.rings.begin(), other.rings.end(), same);
      });
      if (2 * saw >= static_cast<std::ptrdiff_t>(looks.size())) together.push_back(ring);
    }
  for (BoreRing& ring : together) ring.z_mm += shift_mm;
  return together;
}

}  // namespace vision::reading
