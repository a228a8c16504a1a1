#include "vision/tint/bins.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/base/median.h"
#include "vision/bore/stations.h"

namespace vision::tint {
namespace {

constexpr double kLightness = 0.25;  ///< Luminance to which every colour is brought.

const std::array<double, 256>& Curve() {
  static const std::array<double, 256> curve = [] {
    std::array<double, 256> c{};
    for (std::size_t i = 0; i < c.size(); ++i) c[i] = LinearOf(static_cast<uchar>(i));
    return c;
  }();
  return curve;
}

struct Heap {
  cv::Vec3d sum{0, 0, 0};
  int told = 0, hidden = 0, blown = 0, dark = 0, no_white = 0;

  void Take(const Heap& other) {
    sum += other.sum;
    told += other.told, hidden += other.hidden, blown += other.blown, dark += other.dark, no_white += other.no_white;
  }
  Bin StateOf(const BinOptions& o) const {
    const int all = told + hidden + blown + dark + no_white;
    if (all > 0 && told >= o.least_share * all) return Bin::kTold;
    const int worst = std::max({hidden, blown, dark, no_white});
    if (all == 0 || worst == hidden) return Bin::kOutOfSight;
    if (worst == no_white) return Bin::kNoWhite;
    return worst == blown ? Bin::kBlownOut : Bin::kDark;
  }
};

class Gatherer {
 public:
  Gatherer(const unroll::Strip& strip, const std::vector<std::optional<White>>& whites, const TintOptions& options)
      : strip_(strip), whites_(whites), darkest_(options.darkest), blown_out_(options.bins.blown_out) {
    const int rim = 2 * static_cast<int>(std::lround(options.bins.glare_rim_mm / strip.grid.pitch_mm)) + 1;
    cv::dilate(strip.clipped, glare_, cv::Mat1b::ones(rim, rim));
  }

  void Add(int row, int column, Heap* heap) const {
    const cv::Vec3b bgr = strip_.image(row, column);
    const int most = std::max({bgr[0], bgr[1], bgr[2]}), frame = strip_.source_frame(row, column);
    if (frame < 0) {
      ++heap->hidden;
    } else if (glare_(row, column) || most >= blown_out_) {
      ++heap->blown;
    } else if (strip_.valid(row, column) == 0 || most < darkest_) {
      ++heap->dark;
    } else if (static_cast<std::size_t>(frame) >= whites_.size() || !whites_[static_cast<std::size_t>(frame)]) {
      ++heap->no_white;
    } else {
      const cv::Vec3d& white = whites_[static_cast<std::size_t>(frame)]->bgr;
      for (int i = 0; i < 3; ++i) heap->sum[i] += Curve()[bgr[i]] / white[i];
      ++heap->told;
    }
  }

 private:
  const unroll::Strip& strip_;
  const std::vector<std::optional<White>>& whites_;
  int darkest_, blown_out_;
  cv::Mat1b glare_;
};

}  // namespace

cv::Vec2d ChromaOf(const cv::Vec3d& linear_bgr) {
  const double luminance = 0.0722 * linear_bgr[0] + 0.7152 * linear_bgr[1] + 0.2126 * linear_bgr[2];
  if (!(luminance > 0)) return {0, 0};
  cv::Mat3f colour(1, 1), lab;
  for (int i = 0; i < 3; ++i) colour(0, 0)[i] = static_cast<float>(kLightness * linear_bgr[i] / luminance);
  cv::cvtColor(colour, lab, cv::COLOR_LBGR2Lab);
  return {lab(0, 0)[1], lab(0, 0)[2]};
}

Bins GatherBins(const unroll::Strip& strip, const std::vector<double>& toe_z_mm, int outward,
                const std::vector<std::optional<White>>& whites, const TintOptions& options) {
  const int steps = static_cast<int>(std::lround(options.reach_mm / options.bins.step_mm));
  const auto& grid = strip.grid;
  const Gatherer gatherer(strip, whites, options);
  std::vector<Heap> heaps(static_cast<std::size_t>(bore::kStationLines * steps));
  const auto at = [steps](int line, int step) { return static_cast<std::size_t>(line * steps + step); };
  for (int column = 0; column < grid.columns; ++column) {
    const int line =
        static_cast<int>(std::lround(grid.ThetaDeg(column) / 360 * bore::kStationLines)) % bore::kStationLines;
    const double toe = toe_z_mm[static_cast<std::size_t>(line)];
    if (!std::isfinite(toe)) continue;
    for (int row = 0; row < grid.rows; ++row) {
      const double out = outward * (grid.ZMm(row) - toe);
      if (out < 0 || out >= steps * options.bins.step_mm) continue;
      gatherer.Add(row, column, &heaps[at(line, static_cast<int>(out / options.bins.step_mm))]);
    }
  }
  Bins bins{cv::Mat2d(bore::kStationLines, steps, cv::Vec2d(0, 0)), cv::Mat_<uchar>(bore::kStationLines, steps)};
  for (int line = 0; line < bore::kStationLines; ++line)
    for (int step = 0; step < steps; ++step) {
      Heap together;
      for (int k = -options.bins.aside_lines; k <= options.bins.aside_lines; ++k)
        together.Take(heaps[at((line + k + bore::kStationLines) % bore::kStationLines, step)]);
      const Bin state = together.StateOf(options.bins);
      bins.state(line, step) = static_cast<uchar>(state);
      if (state == Bin::kTold) bins.chroma(line, step) = ChromaOf(together.sum);
    }
  return bins;
}

std::optional<cv::Vec2d> BareMetal(const Bins& left, const Bins& right, double from_mm, const BinOptions& o) {
  std::vector<double> a, b;
  for (const Bins* bins : {&left, &right})
    for (int line = 0; line < bore::kStationLines; ++line)
      for (int step = static_cast<int>(from_mm / o.step_mm); step < bins->steps(); ++step)
        if (bins->Told(line, step)) a.push_back(bins->chroma(line, step)[0]), b.push_back(bins->chroma(line, step)[1]);
  if (a.size() < bore::kStationLines / 10) return std::nullopt;
  return cv::Vec2d(MedianInPlace(a), MedianInPlace(b));
}

}  // namespace vision::tint
