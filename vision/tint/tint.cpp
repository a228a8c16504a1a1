#include "vision/tint/tint.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "vision/base/range.h"
#include "vision/base/says.h"
#include "vision/bore/stations.h"
#include "vision/tint/bins.h"

namespace vision::tint {
namespace {

struct Told {
  Shade shade = Shade::kClean;
  double reach_mm = 0;
};

int Steps(double mm, const BinOptions& o) { return std::max(1, static_cast<int>(std::lround(mm / o.step_mm))); }

/// Shades of one line outward from its toe.
class LineReader {
 public:
  LineReader(const Bins& bins, int line, const cv::Vec2d& bare, double least_chroma) {
    for (int step = 0; step < bins.steps(); ++step) {
      told_.push_back(bins.Told(line, step));
      const cv::Vec2d c = bins.chroma(line, step) - bare;
      shade_.push_back(told_.back() ? ShadeOf(c[0], c[1], least_chroma) : Shade::kClean);
    }
  }

  Told Read(const TintOptions& options) const {
    const int n = static_cast<int>(shade_.size());
    const int band = Steps(options.band_mm, options.bins), gap = Steps(options.gap_mm, options.bins),
              first_by = Steps(options.innermost_mm, options.bins);
    Told told;
    int end = 0, first_blue = -1;
    for (int start = 0; start < n;) {
      if (!Coloured(start)) {
        ++start;
        continue;
      }
      int stop = start;
      while (stop < n && Coloured(stop)) ++stop;
      const bool hangs_on = end == 0 ? start < first_by : start - end <= gap;
      if (stop - start >= band && hangs_on) {
        end = stop;
        told.shade = std::max(told.shade, Hottest(start, stop, band));
        if (first_blue < 0) first_blue = FirstBlue(start, stop, band);
      }
      start = stop;
    }
    told.reach_mm = end * options.bins.step_mm;
    if (first_blue >= Steps(options.grey_band_mm, options.bins) &&
        ColourlessBefore(first_blue) >= Steps(options.grey_band_mm, options.bins))
      told.shade = Shade::kGreyMatt;
    return told;
  }

 private:
  bool Coloured(int step) const { return shade_[static_cast<std::size_t>(step)] != Shade::kClean; }
  bool Blue(int step) const { return shade_[static_cast<std::size_t>(step)] == Shade::kBluePurple; }
  int FirstBlue(int start, int stop, int band) const {
    for (int run = 0, step = start; step < stop; ++step) {
      run = Blue(step) ? run + 1 : 0;
      if (run == band) return step - band + 1;
    }
    return -1;
  }
  Shade Hottest(int start, int stop, int band) const {
    return FirstBlue(start, stop, band) >= 0 ? Shade::kBluePurple : Shade::kStraw;
  }
  int ColourlessBefore(int step) const {
    int count = 0;
    for (int i = 0; i < step; ++i) count += told_[static_cast<std::size_t>(i)] && !Coloured(i);
    return count;
  }

  std::vector<bool> told_;
  std::vector<Shade> shade_;
};

Reason WhyNot(const Bins& bins, int line, bool toe_seen, const TintOptions& o) {
  if (!toe_seen) return {Says::kToeNotVisible};
  std::array<int, 5> count{};
  for (int step = 0; step < Steps(o.least_sight_mm, o.bins); ++step) ++count[bins.state(line, step)];
  count[static_cast<std::size_t>(Bin::kTold)] = 0;
  switch (static_cast<Bin>(std::max_element(count.begin(), count.end()) - count.begin())) {
    case Bin::kBlownOut:
      return {Says::kWallBlownOut};
    case Bin::kDark:
      return {Says::kWallTooDark};
    case Bin::kNoWhite:
      return {Says::kNoWhiteHere};
    default:
      return {Says::kWallOutOfSight};
  }
}

bool Enough(const Bins& bins, int line, const TintOptions& o) {
  int told = 0;
  const int needed = Steps(o.least_sight_mm, o.bins);
  for (int step = 0; step < needed; ++step) told += bins.Told(line, step);
  return 5 * told >= 4 * needed;
}

/// Median over the lines beside, so that a speck of dirt makes no run.
Told Settled(const std::vector<std::optional<Told>>& lines, int line, const TintOptions& o) {
  std::vector<Shade> shades;
  std::vector<double> reaches;
  for (int k = -o.median_lines; k <= o.median_lines; ++k)
    if (const auto& told = lines[static_cast<std::size_t>((line + k + bore::kStationLines) % bore::kStationLines)]) {
      shades.push_back(told->shade);
      reaches.push_back(told->reach_mm);
    }
  std::sort(shades.begin(), shades.end());
  std::sort(reaches.begin(), reaches.end());
  const Shade shade = shades[shades.size() / 2];
  return {shade, shade == Shade::kClean ? 0 : reaches[reaches.size() / 2]};
}

Side Assess(const Bins& bins, const std::vector<double>& toe_z_mm, double toe_u_mm, const cv::Vec2d& bare,
            const TintOptions& options) {
  std::array<std::vector<std::optional<Told>>, 3> tried;  // at the threshold, and at 0.7 and 1.4 of it
  constexpr std::array<double, 3> kTimes{1.0, 0.7, 1.4};
  for (std::size_t t = 0; t < tried.size(); ++t) {
    tried[t].resize(bore::kStationLines);
    for (int line = 0; line < bore::kStationLines; ++line)
      if (Enough(bins, line, options))
        tried[t][static_cast<std::size_t>(line)] =
            LineReader(bins, line, bare, kTimes[t] * options.least_chroma).Read(options);
  }
  Side side;
  side.shade.resize(bore::kStationLines);
  side.reach_mm.assign(bore::kStationLines, kNone);
  side.reach_u_mm.assign(bore::kStationLines, kNone);
  side.why.resize(bore::kStationLines);
  for (int line = 0; line < bore::kStationLines; ++line) {
    const auto i = static_cast<std::size_t>(line);
    if (!tried[0][i]) {
      side.why[i] = WhyNot(bins, line, std::isfinite(toe_z_mm[i]), options);
      continue;
    }
    const Told told = Settled(tried[0], line, options), low = Settled(tried[1], line, options),
               high = Settled(tried[2], line, options);
    side.shade[i] = told.shade;
    side.reach_mm[i] = told.reach_mm;
    double spread = std::abs(low.reach_mm - told.reach_mm);  // a colour that is gone at 1.4 says nothing of its end
    if (high.reach_mm > 0) spread = std::max(spread, std::abs(told.reach_mm - high.reach_mm));
    side.reach_u_mm[i] = std::hypot(toe_u_mm, options.bins.step_mm / std::sqrt(12.0), spread / std::numbers::sqrt3);
  }
  return side;
}

}  // namespace

std::string NameOf(Shade shade) {
  switch (shade) {
    case Shade::kClean:
      return "none";
    case Shade::kStraw:
      return "straw";
    case Shade::kBluePurple:
      return "blue_purple";
    case Shade::kGreyMatt:
      return "grey_matt";
  }
  return "";
}

Status TintOptions::Check() const {
  if (auto broken = bins.Check()) return broken;
  return FirstOutside("TintOptions", {{"median_lines", median_lines, 0, 90},
                                      {"least_sight_mm", least_sight_mm, 0.25, 50},
                                      {"gap_mm", gap_mm, 0, 20},
                                      {"innermost_mm", innermost_mm, 0, 50},
                                      {"least_chroma", least_chroma, 2, 40},
                                      {"reach_mm", reach_mm, 2, 50},
                                      {"bare_from_mm", bare_from_mm, 1, reach_mm},
                                      {"bare_chroma", bare_chroma, 0, 20},
                                      {"band_mm", band_mm, 0.25, 5},
                                      {"grey_band_mm", grey_band_mm, 0.5, 5},
                                      {"darkest", darkest, 1, 200}});
}

Shade ShadeOf(double a, double b, double least_chroma) {
  if (std::hypot(a, b) < least_chroma) return Shade::kClean;
  const double hue_deg = std::atan2(b, a) * 180 / std::numbers::pi;  // 0 red, 90 yellow, -90 blue
  constexpr double kReddest = 25, kGreenest = 125;                   // between them yellow, straw, brown
  return hue_deg >= kReddest && hue_deg <= kGreenest ? Shade::kStraw : Shade::kBluePurple;
}

Result<Tint> AssessTint(const unroll::Strip& strip, const std::vector<double>& left_toe_z_mm,
                        const std::vector<double>& right_toe_z_mm, double toe_u_mm,
                        const std::vector<std::optional<White>>& whites, const TintOptions& options,
                        const JobContext& job) {
  if (auto broken = options.Check()) return *broken;
  if (left_toe_z_mm.size() != bore::kStationLines || right_toe_z_mm.size() != bore::kStationLines)
    return BadInput("AssessTint: the toes must have 720 half-degree lines.");
  const Bins left = GatherBins(strip, left_toe_z_mm, -1, whites, options);
  if (job.Cancelled()) return Cancelled();
  const Bins right = GatherBins(strip, right_toe_z_mm, +1, whites, options);
  if (job.Cancelled()) return Cancelled();
  const auto seen = BareMetal(left, right, options.bare_from_mm, options.bins);
  Tint tint;
  tint.bare_seen = seen && std::hypot((*seen)[0], (*seen)[1]) <= options.bare_chroma;
  const cv::Vec2d bare = tint.bare_seen ? *seen : cv::Vec2d(0, 0);
  tint.left = Assess(left, left_toe_z_mm, toe_u_mm, bare, options);
  tint.right = Assess(right, right_toe_z_mm, toe_u_mm, bare, options);
  return tint;
}

}  // namespace vision::tint
