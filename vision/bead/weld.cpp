#include "vision/bead/weld.h"

#include <algorithm>
#include <cmath>

#include "vision/bead/path.h"

namespace vision::bead {
namespace {

// Sum of the evidence over a band centred on each row.
cv::Mat1f BandMean(const Features& f, const cv::Mat1f& evidence, double band_mm) {
  const int half = static_cast<int>(std::lround(0.5 * band_mm / f.pitch_mm));
  cv::Mat1f out(evidence.size());
  for (int i = 0; i < evidence.cols; ++i) {
    const auto column = Features::Column(evidence, i);
    for (int r = 0; r < evidence.rows; ++r) out(r, i) = static_cast<float>(Features::Mean(column, r - half, r + half));
  }
  return out;
}

struct Band {
  std::vector<int> rows;
  double mean = 0;
};

// The closed band of most evidence among the rows [from, to].
Band BestBand(const cv::Mat1f& band, int from, int to) {
  cv::Mat1f part;
  cv::multiply(band.rowRange(from, to + 1), -1.0, part);
  Band out;
  out.rows = ClosedPath(part, 0.05, 3);
  for (int i = 0; i < band.cols; ++i) {
    out.rows[static_cast<std::size_t>(i)] += from;
    out.mean += static_cast<double>(band(out.rows[static_cast<std::size_t>(i)], i)) / band.cols;
  }
  return out;
}

}  // namespace

cv::Mat1f Evidence(const Features& f, const WeldBandOptions& o, double drift_level) {
  cv::Mat1f out(f.level.size());
  for (int r = 0; r < out.rows; ++r)
    for (int i = 0; i < out.cols; ++i) {
      const float d = f.level(r, i) / static_cast<float>(drift_level);
      const float s = f.slope(r, i) / static_cast<float>(2 * f.slope_sigma);
      const float t = std::max(0.0f, f.texture(r, i)) / static_cast<float>(f.texture_sigma);
      // The wall's own lines going on are a sign of wall, their absence one of bead, as far as the wall has any.
      const float lines =
          static_cast<float>(o.lines_weight * (0.5 * f.wall_kinship - static_cast<double>(f.kinship(r, i))));
      out(r, i) =
          f.seen(r, i) ? std::clamp(0.5f * (d * d + s * s + t * t) - o.broad + lines, o.floor, o.ceiling) : 0.0f;
    }
  return out;
}

WeldBand FindWeldBand(const Features& f, const cv::Mat1f& evidence, const WeldBandOptions& o) {
  const cv::Mat1f band = BandMean(f, evidence, o.band_mm);
  const Band weld = BestBand(band, f.Row(-o.search_mm), f.Row(o.search_mm));
  WeldBand out;
  for (const int r : weld.rows) out.centre_z_mm.push_back(f.ZMm(r));
  // The wall's own best closed bands, as wide a search as the weld had, clear of it on either side.
  const double clear = o.search_mm + o.band_mm + 0.5;
  double wall = -o.broad;
  for (const double sign : {-1.0, 1.0}) {
    int a = f.Row(sign * clear), b = f.Row(sign * (clear + 2 * o.search_mm));
    if (a > b) std::swap(a, b);
    if (b - a > 5) wall = std::max(wall, BestBand(band, a, b).mean);
  }
  out.contrast = weld.mean - wall;
  out.found = out.contrast > 1.0;
  return out;
}

}  // namespace vision::bead
