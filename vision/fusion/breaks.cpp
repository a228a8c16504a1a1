#include "vision/fusion/breaks.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <opencv2/imgproc.hpp>
#include <optional>

#include "vision/bead/features.h"
#include "vision/bore/angle.h"

namespace vision::fusion {
namespace {

using bead::kLines;

constexpr float kDarkOffset = 4;                          ///< Grey levels, as in bead::MakeFeatures.
constexpr double kTrend_mm = 8;                           ///< Half the arc whose median is the toe's own course.
constexpr double kWallFrom_mm = -1.8, kWallTo_mm = -0.8;  ///< From the toe, inward: the wall compared with.
/// The near flank, and its outer and inner half: a break is open to the wall and deep, a pore or a ripple is not.
/// Last what lies behind: the top of the ring.
constexpr std::array<std::array<double, 2>, 4> kBands_mm{{{0.1, 0.7}, {0.05, 0.35}, {0.35, 0.7}, {0.9, 1.7}}};
constexpr double kSpread_mm = 20;                     ///< Half the arc over which the flank's own variation is taken.
constexpr double kCourse_mm = 6;                      ///< Half the arc whose median is the flank's own course.
constexpr double kLeastSpread = 0.03;                 ///< Log level.
constexpr double kInsideAtMost = 0.1;                 ///< Log level over the wall that most breaks of our scenes show.
constexpr double kWallBlur_mm = 1.5;                  ///< Its drawing lines are no concern here.
constexpr double kSide_mm = 0.15;                     ///< Half of what a side of the break is blurred over.
constexpr double kGuard_mm = 0.25, kBeside_mm = 0.9;  ///< The flank beside a break: from here, over so much.
constexpr double kInsideShare = 0.8, kBesideShare = 0.3;  ///< Quantiles: nearly all inside dark, most beside bright.
constexpr double kLeastFlank = 0.05;                      ///< Log level; below this a share of it means nothing.
constexpr std::array<double, 7> kLengths_mm{0.6, 0.9, 1.3, 1.9, 2.7, 3.8, 5.2};

int Wrap(int column, int columns) { return ((column % columns) + columns) % columns; }

double Quantile(std::vector<float>& v, double share) {
  const auto at = v.begin() + static_cast<std::ptrdiff_t>(std::lround(share * static_cast<double>(v.size() - 1)));
  std::nth_element(v.begin(), at, v.end());
  return static_cast<double>(*at);
}

/// The near toe's course, one row of the strip per column: the median over kTrend_mm, so that a break does not bend it.
/// @return nothing where the toe is hardly stated.
std::optional<std::vector<double>> CourseRows(const unroll::Strip& strip, const bead::ToeLine& near) {
  const double line_mm = bore::ArcMm(bead::kLineDeg, strip.grid.radius_mm);
  const int half = std::min(kLines / 2 - 1, static_cast<int>(std::lround(kTrend_mm / line_mm)));
  std::vector<double> course(kLines, std::numeric_limits<double>::quiet_NaN());
  std::vector<float> around;
  double last = std::numeric_limits<double>::quiet_NaN();
  for (int i = 0; i < kLines; ++i) {
    around.clear();
    for (int k = -half; k <= half; ++k)
      if (const auto line = static_cast<std::size_t>(bead::WrapLine(i + k)); near.visible[line])
        around.push_back(static_cast<float>(near.z_mm[line]));
    if (!around.empty()) last = Quantile(around, 0.5);
    course[static_cast<std::size_t>(i)] = last;
  }
  for (double& z : course)
    if (std::isnan(z)) z = last;  // before the first stated line
  if (std::isnan(last)) return std::nullopt;
  std::vector<double> rows;
  for (int c = 0; c < strip.grid.columns; ++c) {
    const double at = strip.grid.ThetaDeg(c) / bead::kLineDeg;
    const auto a = static_cast<std::size_t>(at) % kLines, b = (a + 1) % kLines;
    const double share = at - std::floor(at);
    rows.push_back(strip.grid.Row((1 - share) * course[a] + share * course[b]));
  }
  return rows;
}

/// The strip's log level summed down the rows, and the count of cells not seen, for means over stretches of a column.
struct Columns {
  cv::Mat1d level;
  cv::Mat1i unseen;
};

Columns SumDown(const unroll::Strip& strip) {
  cv::Mat1b grey;
  cv::cvtColor(strip.image, grey, cv::COLOR_BGR2GRAY);
  cv::Mat1f level;
  grey.convertTo(level, CV_32F);
  level += kDarkOffset;
  cv::log(level, level);
  Columns sums{cv::Mat1d(level.rows + 1, level.cols, 0.0), cv::Mat1i(level.rows + 1, level.cols, 0)};
  for (int r = 0; r < level.rows; ++r)
    for (int c = 0; c < level.cols; ++c) {
      sums.level(r + 1, c) = sums.level(r, c) + static_cast<double>(level(r, c));
      sums.unseen(r + 1, c) = sums.unseen(r, c) + (strip.source_frame(r, c) < 0 ? 1 : 0);
    }
  return sums;
}

/// Mean level over a stretch of every column; NaN where a cell of it was not seen.
cv::Mat1f MeanAlong(const Columns& sums, const std::vector<double>& near_row, double from_rows, double to_rows) {
  cv::Mat1f out(1, sums.level.cols, std::numeric_limits<float>::quiet_NaN());
  for (int c = 0; c < out.cols; ++c) {
    const double near = near_row[static_cast<std::size_t>(c)];
    const int a = static_cast<int>(std::lround(near + std::min(from_rows, to_rows)));
    const int b = static_cast<int>(std::lround(near + std::max(from_rows, to_rows))) + 1;
    if (a < 0 || b >= sums.level.rows || sums.unseen(b, c) != sums.unseen(a, c)) continue;
    out(0, c) = static_cast<float>((sums.level(b, c) - sums.level(a, c)) / (b - a));
  }
  return out;
}

/// How bright a band inside the toe is over the wall, log level, per column; NaN where not seen.
std::vector<float> BandLevel(const Columns& sums, const unroll::StripGrid& grid, const std::vector<double>& near_row,
                             const std::array<double, 2>& band_mm, bool near_is_left) {
  const double inward = (near_is_left ? 1 : -1) / grid.pitch_mm;
  const cv::Mat1f flank = MeanAlong(sums, near_row, band_mm[0] * inward, band_mm[1] * inward);
  const cv::Mat1f wall = MeanAlong(sums, near_row, kWallFrom_mm * inward, kWallTo_mm * inward);
  const double cell_mm = bore::ArcMm(grid.theta_pitch_deg(), grid.radius_mm);
  const int pad = static_cast<int>(std::lround(4 * kWallBlur_mm / cell_mm));
  cv::Mat1f wide, blurred;
  cv::copyMakeBorder(wall, wide, 0, 0, pad, pad, cv::BORDER_WRAP);
  cv::GaussianBlur(wide, blurred, cv::Size(2 * pad + 1, 1), kWallBlur_mm / cell_mm, 1);
  std::vector<float> out;
  for (int c = 0; c < flank.cols; ++c) out.push_back(flank(0, c) - blurred(0, pad + c));
  return out;
}

/// The flank around the joint, with its cell size.
struct Flank {
  std::vector<float> level;
  double cell_mm = 0.1;
  int columns() const { return static_cast<int>(level.size()); }
  int Cells(double mm) const { return static_cast<int>(std::lround(mm / cell_mm)); }
  float At(int column) const { return level[static_cast<std::size_t>(Wrap(column, columns()))]; }
  /// Quantile of the columns in [from, to]; nothing where one was not seen.
  std::optional<double> Of(int from, int to, double share) const {
    std::vector<float> values;
    for (int c = from; c <= to; ++c) {
      if (std::isnan(At(c))) return std::nullopt;
      values.push_back(At(c));
    }
    return values.empty() ? std::nullopt : std::optional(Quantile(values, share));
  }
};

/// The whole flank, its two halves and what lies behind it, and how much the flank varies by itself, per column.
struct Flanks {
  std::array<Flank, 4> band;
  std::vector<double> spread;
};

/// The flank less its own course: the median over kCourse_mm either side. NaN where not seen.
Flank WithoutCourse(const Flank& flank) {
  Flank out = flank;
  const int reach = flank.Cells(kCourse_mm), every = std::max(1, flank.Cells(0.3));
  std::vector<float> around;
  for (int c = 0; c < flank.columns(); c += every) {
    around.clear();
    for (int k = -reach; k <= reach; k += every)
      if (const float v = flank.At(c + k); !std::isnan(v)) around.push_back(v);
    const float course = around.empty() ? 0.0F : static_cast<float>(Quantile(around, 0.5));
    for (int k = c; k < std::min(c + every, flank.columns()); ++k) out.level[static_cast<std::size_t>(k)] -= course;
  }
  return out;
}

/// Half of what lies between the 16th and the 84th percentile within kSpread_mm, taken once a millimetre.
std::vector<double> SpreadOf(const Flank& all) {
  const Flank flank = WithoutCourse(all);
  const int reach = flank.Cells(kSpread_mm), every = std::max(1, flank.Cells(0.3)), hold = std::max(1, flank.Cells(1));
  std::vector<double> out(flank.level.size(), std::numeric_limits<double>::quiet_NaN());
  std::vector<float> around;
  for (int c = 0; c < flank.columns(); ++c) {
    if (c % hold != 0) {
      out[static_cast<std::size_t>(c)] = out[static_cast<std::size_t>(c - 1)];
      continue;
    }
    around.clear();
    for (int k = -reach; k <= reach; k += every)
      if (const float v = flank.At(c + k); !std::isnan(v)) around.push_back(v);
    if (around.size() < 10) continue;
    const double high = Quantile(around, 0.84), low = Quantile(around, 0.16);
    out[static_cast<std::size_t>(c)] = std::max(kLeastSpread, 0.5 * (high - low));
  }
  return out;
}

Flanks ReadFlanks(const unroll::Strip& strip, const std::vector<double>& near_row, bool near_is_left) {
  const Columns sums = SumDown(strip);
  Flanks flanks;
  for (std::size_t k = 0; k < kBands_mm.size(); ++k)
    flanks.band[k] = {BandLevel(sums, strip.grid, near_row, kBands_mm[k], near_is_left),
                      bore::ArcMm(strip.grid.theta_pitch_deg(), strip.grid.radius_mm)};
  flanks.spread = SpreadOf(flanks.band[0]);
  return flanks;
}

struct Candidate {
  int column = 0;
  double length_mm = 0, drop = -1, left = 0, inside = 0, beside = 0, spreads = 0;
};

std::optional<Candidate> BreakAt(const Flank& flank, int column, double length_mm) {
  const int half = std::max(0, flank.Cells(0.5 * length_mm - kSide_mm)),
            near = flank.Cells(0.5 * length_mm + kGuard_mm),
            far = flank.Cells(0.5 * length_mm + kGuard_mm + kBeside_mm);
  const auto inside = flank.Of(column - half, column + half, kInsideShare);
  if (!inside) return std::nullopt;
  const auto before = flank.Of(column - far, column - near, kBesideShare);
  const auto after = flank.Of(column + near, column + far, kBesideShare);
  if (!before || !after) return std::nullopt;
  const double beside = std::min(*before, *after);
  return Candidate{column, length_mm, beside - *inside, *inside / std::max(kLeastFlank, beside), *inside, beside, 0};
}

/// The same, with the fall that all three bands share.
std::optional<Candidate> DoubtfulAt(const Flanks& flanks, int column, double length_mm, const BreakOptions& options) {
  auto at = BreakAt(flanks.band[0], column, length_mm);
  const bool outlasts = length_mm >= options.long_mm;
  const double drop = outlasts ? options.long_drop : options.doubtful_drop;
  if (!at || at->drop < drop || at->left > options.doubtful_left) return std::nullopt;
  for (const std::size_t half : {1U, 2U}) {
    const auto part = BreakAt(flanks.band[half], column, length_mm);
    if (!part) return std::nullopt;
    at->drop = std::min(at->drop, part->drop);
  }
  at->spreads = at->drop / flanks.spread[static_cast<std::size_t>(column)];
  if (!(at->spreads >= (outlasts ? options.long_spreads : options.doubtful_spreads)) || at->drop < drop)
    return std::nullopt;
  return at;
}

/// The strongest break centred on every column, strongest first.
std::vector<Candidate> Candidates(const Flanks& flanks, const BreakOptions& options) {
  std::vector<Candidate> found;
  for (int c = 0; c < flanks.band[0].columns(); ++c) {
    Candidate best;
    for (const double length_mm : kLengths_mm)
      if (const auto here = DoubtfulAt(flanks, c, length_mm, options); here && here->drop > best.drop) best = *here;
    if (best.drop > 0) found.push_back(best);
  }
  std::stable_sort(found.begin(), found.end(), [](const auto& a, const auto& b) { return a.drop > b.drop; });
  return found;
}

/// The column where the flank comes half-way back up, going out from the middle; sub-column by straight line.
double SideColumn(const Flank& flank, const Candidate& at, int way) {
  const double half_way = 0.5 * (at.inside + at.beside);
  const int reach = flank.Cells(0.5 * at.length_mm + kGuard_mm + kBeside_mm);
  double before = static_cast<double>(flank.At(at.column));
  for (int k = 1; k <= reach; ++k) {
    const double here = static_cast<double>(flank.At(at.column + way * k));
    if (here >= half_way && k >= flank.Cells(0.5 * at.length_mm - kSide_mm))
      return at.column + way * (k - (here > before ? std::clamp((here - half_way) / (here - before), 0.0, 1.0) : 0));
    before = here;
  }
  return at.column + way * reach;
}

/// Whether the source picture is fine enough for a break of this length: two of its pixels around.
bool FineEnough(const unroll::Strip& strip, const Candidate& at, double near_row, double length_mm) {
  const int row = std::clamp(static_cast<int>(std::lround(near_row)), 0, strip.grid.rows - 1);
  return length_mm >= 2 * static_cast<double>(strip.resolution_arc_mm(row, at.column));
}

bool ToeStatedBeside(const bead::ToeLine& near, double theta_deg, double half_deg) {
  const auto stated = [&](double at_deg) {
    const int line = static_cast<int>(std::lround(at_deg / bead::kLineDeg));
    for (int k = -1; k <= 1; ++k)
      if (near.visible[static_cast<std::size_t>(bead::WrapLine(line + k))]) return true;
    return false;
  };
  return stated(theta_deg - half_deg) && stated(theta_deg + half_deg);
}

/// The shortest break that would be believed on each station line: none where the flank beside it is hardly brighter
/// than the wall, or glints so unevenly that a gap between two glints looks the same.
std::vector<double> SmallestOf(const unroll::Strip& strip, const Flanks& flanks, const bead::ToeLine& near,
                               const std::vector<double>& near_row, const BreakOptions& options) {
  const Flank& flank = flanks.band[0];
  const int reach = flank.Cells(2);
  std::vector<double> out(kLines, std::numeric_limits<double>::quiet_NaN());
  for (std::size_t i = 0; i < out.size(); ++i) {
    const int c = strip.grid.NearestColumn(static_cast<double>(i) * bead::kLineDeg);
    const auto bright = flank.Of(c - reach, c + reach, kBesideShare);
    const double fall = bright ? *bright - kInsideAtMost : 0;
    const bool told = near.visible[i] && bright && fall >= options.least_drop &&
                      fall >= options.least_spreads * flanks.spread[static_cast<std::size_t>(c)] &&
                      kInsideAtMost <= options.most_left * *bright;
    const int row =
        std::clamp(static_cast<int>(std::lround(near_row[static_cast<std::size_t>(c)])), 0, strip.grid.rows - 1);
    if (told) out[i] = std::max(options.shortest_mm, 2 * static_cast<double>(strip.resolution_arc_mm(row, c)));
  }
  return out;
}

/// How far the inside lies below the darkest twentieth of the flank around it, log level: the dark between the glints
/// of a glossy bead repeats, a break does not. A long one is held against the darkest place as long as it: short dark
/// ones make no long one.
double BelowOthers(const Flank& flank, const Candidate& at, bool outlasts) {
  const int half = outlasts ? flank.Cells(0.5 * at.length_mm - kSide_mm) : 0, to = flank.Cells(kSpread_mm),
            every = outlasts ? std::max(1, flank.Cells(0.2)) : 1;
  std::vector<float> others;
  for (int k = flank.Cells(0.5 * at.length_mm + kGuard_mm) + half; k <= to; k += every)
    for (const int way : {-1, 1})
      if (const auto v = flank.Of(at.column + way * k - half, at.column + way * k + half, kInsideShare))
        others.push_back(static_cast<float>(*v));
  return others.empty() ? 0 : Quantile(others, outlasts ? 0 : 0.05) - at.inside;
}

/// Whether what is seen between the sides is as dull as the wall: gap, step, and the ring's top behind them.
bool Dull(const Flanks& flanks, const Candidate& at, const BreakOptions& options) {
  const Flank& behind = flanks.band[3];
  const int half = std::max(0, behind.Cells(0.5 * at.length_mm - kSide_mm));
  const auto top = behind.Of(at.column - half, at.column + half, kInsideShare);
  return at.inside <= options.most_inside && top && *top <= options.most_top;
}

Break BreakOf(const unroll::Strip& strip, const Flanks& flanks, const Candidate& at, double near_row,
              const BreakOptions& options) {
  const Flank& flank = flanks.band[0];
  const double from = SideColumn(flank, at, -1), to = SideColumn(flank, at, 1), length_mm = (to - from) * flank.cell_mm;
  const bool outlasts = at.length_mm >= options.long_mm;
  Break found{bore::Wrap360(strip.grid.ThetaDeg(from)), (to - from) * strip.grid.theta_pitch_deg(), at.drop, at.left,
              BelowOthers(flank, at, outlasts)};
  found.believed = at.drop >= (outlasts ? options.long_drop : options.least_drop) && at.left <= options.most_left &&
                   at.spreads >= (outlasts ? options.long_spreads : options.least_spreads) &&
                   found.below >= options.least_below && Dull(flanks, at, options) &&
                   length_mm >= options.shortest_mm && FineEnough(strip, at, near_row, length_mm);
  return found;
}

}  // namespace

Status BreakOptions::Check() const {
  if (!(shortest_mm > 0)) return BadInput("shortest_mm must be more than zero.");
  if (!(doubtful_drop > 0 && least_drop >= doubtful_drop))
    return BadInput("doubtful_drop must be more than zero and least_drop not below it.");
  if (!(doubtful_left >= most_left)) return BadInput("doubtful_left must not be below most_left.");
  if (!(long_mm > 0 && long_spreads > 0 && long_drop > 0))
    return BadInput("long_mm, long_spreads and long_drop must be more than zero.");
  if (!(least_spreads >= doubtful_spreads)) return BadInput("least_spreads must not be below doubtful_spreads.");
  return std::nullopt;
}

Breaks FindBreaks(const unroll::Strip& strip, const bead::ToeLine& near, const BreakOptions& options) {
  const auto rows = CourseRows(strip, near);
  if (!rows) return {{}, std::vector<double>(kLines, std::numeric_limits<double>::quiet_NaN())};
  const Flanks flanks = ReadFlanks(strip, *rows, options.near_is_left);
  const Flank& flank = flanks.band[0];
  std::vector<char> taken(flank.level.size(), 0);
  Breaks breaks{{}, SmallestOf(strip, flanks, near, *rows, options)};
  for (const auto& at : Candidates(flanks, options)) {
    if (taken[static_cast<std::size_t>(at.column)]) continue;
    const int around = flank.Cells(0.5 * at.length_mm + 1);
    for (int c = at.column - around; c <= at.column + around; ++c)
      taken[static_cast<std::size_t>(Wrap(c, flank.columns()))] = 1;
    const double beside_mm = 0.5 * at.length_mm + kGuard_mm + 0.5 * kBeside_mm;
    const double half_deg = beside_mm / flank.cell_mm * strip.grid.theta_pitch_deg();
    if (!ToeStatedBeside(near, strip.grid.ThetaDeg(at.column), half_deg)) continue;
    breaks.found.push_back(BreakOf(strip, flanks, at, (*rows)[static_cast<std::size_t>(at.column)], options));
  }
  return breaks;
}

}  // namespace vision::fusion
