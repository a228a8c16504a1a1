#include "vision/relief/section.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/base/median.h"
#include "vision/base/range.h"
#include "vision/base/says.h"
#include "vision/bore/angle.h"
#include "vision/relief/section_toes.h"
#include "vision/relief/section_walls.h"

namespace vision::relief {
namespace {

/// Mean around the bore of the measured cells, and their uncertainty.
struct Averaged {
  cv::Mat1f h, u;
};

/// @param columns Cells on either side.
Averaged AverageAround(const Relief& relief, int columns, const SectionOptions& o) {
  Averaged out;
  cv::Mat1f h = relief.h_mm.clone(), u, count;
  cv::multiply(relief.u_mm, relief.u_mm, u);
  const cv::Mat measured = relief.h_mm == relief.h_mm, none = measured == 0;  // != of NaN is false where AVX2 is used
  measured.convertTo(count, CV_32F, 1 / 255.0);
  h.setTo(0, none);
  u.setTo(0, none);
  for (auto* m : {&h, &u, &count}) {
    cv::copyMakeBorder(*m, *m, 0, 0, columns, columns, cv::BORDER_WRAP);
    cv::boxFilter(*m, *m, -1, {2 * columns + 1, 1}, {-1, -1}, false, cv::BORDER_REPLICATE);
    *m = m->colRange(columns, columns + relief.h_mm.cols).clone();
  }
  cv::divide(h, count, out.h);
  cv::divide(u, count, out.u);
  const cv::Mat few = count < static_cast<float>(columns) + 0.5F;
  const auto shared = static_cast<float>(relief.shared_u_mm * relief.shared_u_mm);
  for (int row = 0; row < h.rows; ++row)
    for (int c = 0; c < h.cols; ++c) {
      const float own = std::max(0.F, out.u(row, c) - shared), alike = 3;  // neighbouring columns share stripe columns
      const float scatter = std::min(own, o.scatter_mm * o.scatter_mm);
      out.u(row, c) = std::sqrt(shared + own - scatter + scatter * std::min(1.F, alike / count(row, c)));
    }
  out.h.setTo(std::numeric_limits<float>::quiet_NaN(), few);
  return out;
}

/// What one side is known by at one line.
struct Side {
  std::vector<double> toe_z, toe_u;
  WallLevel wall;
};

/// Toes by height and by the other witnesses, weighted; height alone where those are silent. Where the two lie apart,
/// either may be wrong (a coarse stripe smears the far flank, so that the surface tells the toe late; a picture takes
/// the crown's outline for it): the middle of both, and half their distance in the uncertainty.
void PlaceToes(const std::vector<double>& shape, const std::vector<double>& shape_u, const std::vector<double>& hint,
               const std::vector<double>& hint_u, Side& side, const SectionOptions& o) {
  for (std::size_t i = 0; i < shape.size(); ++i) {
    const double by_height = shape[i], by_height_u = std::isfinite(shape_u[i]) ? shape_u[i] : o.toe_by_height_u_mm;
    const double told = i < hint.size() ? hint[i] : kNotMeasured, told_u = i < hint_u.size() ? hint_u[i] : 0.2;
    side.toe_z[i] = std::isfinite(told) ? told : by_height;
    side.toe_u[i] = std::isfinite(told) ? told_u : by_height_u;
    if (!std::isfinite(told) || !std::isfinite(by_height)) continue;
    const double apart = std::abs(told - by_height);
    if (apart > o.apart_mm) {
      side.toe_z[i] = apart > o.astray_mm ? by_height : 0.5 * (told + by_height);
      side.toe_u[i] = std::hypot(by_height_u, 0.5 * apart);
      continue;
    }
    const double w = 1 / (told_u * told_u), v = 1 / (by_height_u * by_height_u);
    side.toe_z[i] = (w * told + v * by_height) / (w + v);
    side.toe_u[i] = std::sqrt(1 / (w + v));
  }
}

/// A toe runs on: one that leaves the median of its neighbours (5 degrees) by more than it may is brought back to it,
/// and gaps of up to 12 degrees are bridged, with the uncertainty that belongs to that.
void Settle(const unroll::StripGrid& grid, Side& side, const SectionOptions& o) {
  const std::vector<double> z = side.toe_z;
  const int n = grid.columns, reach = static_cast<int>(5 / grid.theta_pitch_deg()),
            wide = static_cast<int>(12 / grid.theta_pitch_deg());
  const auto median = [&](int column, int within) {
    std::vector<double> v;
    for (int k = -within; k <= within; ++k)
      if (const double value = z[static_cast<std::size_t>((column + k + n) % n)]; std::isfinite(value))
        v.push_back(value);
    if (static_cast<int>(v.size()) * 4 < within) return kNotMeasured;
    return MedianInPlace(v);
  };
  for (int c = 0; c < n; ++c) {
    const auto i = static_cast<std::size_t>(c);
    const double usual = median(c, std::isfinite(z[i]) ? reach : wide);
    if (!std::isfinite(usual) || std::abs(z[i] - usual) < 0.5) continue;
    side.toe_z[i] = usual;
    side.toe_u[i] = std::fmax(o.across_gap_u_mm, side.toe_u[i]);  // fmax: a NaN gives way
  }
}

Side MakeSide(const Relief& relief, bool left, const ToesByShape& shape, const std::vector<double>& hint,
              const std::vector<double>& hint_u, const SectionOptions& o) {
  const auto n = static_cast<std::size_t>(relief.grid.columns);
  Side side{std::vector<double>(n, kNotMeasured), std::vector<double>(n, kNotMeasured), {}};
  std::vector<double> start(n, left ? -4.5 : 4.5);
  PlaceToes(left ? shape.left_z_mm : shape.right_z_mm, left ? shape.left_u_mm : shape.right_u_mm, hint, hint_u, side,
            o);
  Settle(relief.grid, side, o);
  for (std::size_t i = 0; i < n; ++i)
    if (std::isfinite(side.toe_z[i])) start[i] = side.toe_z[i];
  side.wall = LevelOfWall(relief, left, start, o);
  return side;
}

/// Dip beside the toe: below the wall, with the surface higher again within 1.5 mm towards the weld.
double UndercutAt(const Averaged& a, const unroll::StripGrid& grid, int column, bool left, double toe, double wall) {
  const int step = left ? 1 : -1;
  const int from = static_cast<int>(std::lround(grid.Row(toe - step * 0.6)));
  double lowest = 1e9, depth = kNotMeasured;
  for (int k = 0; k * grid.pitch_mm < 2.6; ++k) {
    const int row = from + k * step;
    if (row < 0 || row >= grid.rows || !std::isfinite(a.h(row, column))) continue;
    const double h = a.h(row, column);
    if (k * grid.pitch_mm < 1.4) lowest = std::min(lowest, h);
    if (lowest < 1e8) depth = std::max(std::isfinite(depth) ? depth : 0.0, std::min(wall, h) - lowest);
  }
  return depth;
}

/// Does the surface between two places rise or fall more steeply than a bead can, and than a stripe could show? Then
/// the stripe was lost there and something else followed.
bool Torn(const Averaged& a, const unroll::StripGrid& grid, int column, double from_mm, double to_mm,
          const SectionOptions& o) {
  const int first = std::max(0, static_cast<int>(std::floor(grid.Row(from_mm)))),
            last = std::min(grid.rows - 1, static_cast<int>(std::ceil(grid.Row(to_mm)))),
            apart = std::max(1, static_cast<int>(std::lround(o.torn_over_mm / grid.pitch_mm)));
  for (int row = first; row + apart <= last; ++row)
    if (std::abs(a.h(row + apart, column) - a.h(row, column)) > o.steepest * apart * grid.pitch_mm) return true;
  return false;
}

/// Everything between the toes at one line.
void Across(const Relief& relief, const Averaged& a, int column, const SectionOptions& o, SectionLine& line) {
  const auto& grid = relief.grid;
  const double width = line.toe_right_z - line.toe_left_z;
  if (!(width > 0.5)) {
    line.why = {Says::kToesTooClose};
    return;
  }
  const double lean = (line.wall_right - line.wall_left) / width;
  double highest = -1e9, lowest = 1e9, over = 0, ripples = 0, under = 0, over_u = 0, under_u = 0,
         last_z = line.toe_left_z;
  const int first = std::max(0, static_cast<int>(std::ceil(grid.Row(line.toe_left_z)))),
            last = std::min(grid.rows - 1, static_cast<int>(std::floor(grid.Row(line.toe_right_z))));
  double widest_gap = 0;
  int count = 0;
  for (int row = first; row <= last; ++row) {
    const double h = a.h(row, column), z = grid.ZMm(row);
    if (!std::isfinite(h)) continue;
    widest_gap = std::max(widest_gap, z - last_z);
    last_z = z;
    ++count;
    const double t = (z - line.toe_left_z) / width, chord = line.wall_left + lean * (z - line.toe_left_z);
    const double by_toes_u = std::hypot((1 - t) * line.toe_left_u, t * line.toe_right_u) * lean;
    const double chord_u = std::hypot((1 - t) * line.wall_left_u, t * line.wall_right_u, by_toes_u);
    highest = std::max(highest, h);
    lowest = std::min(lowest, h);
    if (h - chord > over) over = h - chord, over_u = std::hypot(a.u(row, column), chord_u);
    if (chord - h > under) under = chord - h, under_u = std::hypot(a.u(row, column), chord_u);
    if (const double own = relief.h_mm(row, column); std::isfinite(own)) ripples = std::max(ripples, own - chord);
    if (over_u == 0) over_u = std::hypot(a.u(row, column), chord_u);
    if (under_u == 0) under_u = std::hypot(a.u(row, column), chord_u);
  }
  widest_gap = std::max(widest_gap, line.toe_right_z - last_z);
  if (count == 0 || widest_gap > o.longest_gap_mm) {
    line.why = {Says::kHeightGap};
    return;
  }
  if (Torn(a, grid, column, line.toe_left_z, line.toe_right_z, o)) {
    line.why = {Says::kStripeTorn};
    return;
  }
  const double toes_u = std::max(line.toe_left_u, line.toe_right_u) > o.two_witnesses_u_mm ? o.one_witness_u_mm : 0;
  line.crown = over;
  line.crown_u = std::hypot(over_u, toes_u);
  line.crown_with_ripples = ripples;
  line.crown_over_left = std::max(0.0, highest - line.wall_left);
  line.crown_over_right = std::max(0.0, highest - line.wall_right);
  line.concavity = under;
  line.concavity_u = std::hypot(under_u, toes_u);
  line.concavity_under_left = std::max(0.0, line.wall_left - lowest);
  line.concavity_under_right = std::max(0.0, line.wall_right - lowest);
}

/// Where the stripe was lost over most of the bead that it touched, what remains was followed by luck, and is not
/// stated.
void DropLuck(const Relief& relief, std::vector<SectionLine>& lines, const SectionOptions& o) {
  int touched = 0, read = 0;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const auto& line = lines[i];
    if (!std::isfinite(line.toe_left_z) || !std::isfinite(line.toe_right_z)) continue;
    const int first = std::max(0, static_cast<int>(relief.grid.Row(line.toe_left_z))),
              last = std::min(relief.grid.rows - 1, static_cast<int>(relief.grid.Row(line.toe_right_z)));
    bool any = false;
    for (int row = first; row <= last && !any; ++row) any = std::isfinite(relief.h_mm(row, static_cast<int>(i)));
    touched += any;
    read += any && line.why.empty();
  }
  if (read >= o.least_read_share * touched) return;
  for (auto& line : lines) {
    if (!line.why.empty()) continue;
    line.crown = line.crown_u = line.crown_with_ripples = line.crown_over_left = line.crown_over_right = kNotMeasured;
    line.concavity = line.concavity_u = line.concavity_under_left = line.concavity_under_right = kNotMeasured;
    line.why = {Says::kStripeLost};
  }
}

}  // namespace

Status SectionOptions::Check() const {
  if (auto broken = toes.Check()) return broken;
  if (auto broken = FirstOutside("SectionOptions", {{"toe_by_height_u_mm", toe_by_height_u_mm, 0.01, 5},
                                                    {"apart_mm", apart_mm, 0, 10},
                                                    {"astray_mm", astray_mm, 0, 10},
                                                    {"across_gap_u_mm", across_gap_u_mm, 0, 5},
                                                    {"one_witness_u_mm", one_witness_u_mm, 0, 1},
                                                    {"two_witnesses_u_mm", two_witnesses_u_mm, 0, 5},
                                                    {"scatter_mm", scatter_mm, 0, 1},
                                                    {"least_read_share", least_read_share, 0, 1},
                                                    {"torn_over_mm", torn_over_mm, 0.05, 5},
                                                    {"steepest", steepest, 0.1, 20},
                                                    {"wall_support_deg", wall_support_deg, 0, 180}}))
    return broken;
  if (!(wall_reach_mm > 0)) return BadInput("SectionOptions::wall_reach_mm must be > 0 mm.");
  if (!(wall_gap_mm >= 0)) return BadInput("SectionOptions::wall_gap_mm must be 0 mm or more.");
  if (!(ripple_arc_mm > 0)) return BadInput("SectionOptions::ripple_arc_mm must be > 0 mm.");
  if (!(toe_from_mm >= 0 && toe_to_mm > toe_from_mm))
    return BadInput("SectionOptions: toe_from_mm must be 0 mm or more and below toe_to_mm.");
  if (!(longest_gap_mm > 0)) return BadInput("SectionOptions::longest_gap_mm must be > 0 mm.");
  return std::nullopt;
}

Result<std::vector<SectionLine>> SectionOf(const Relief& relief, const SectionOptions& options, const ToeHints& hints) {
  if (auto broken = options.Check()) return *broken;
  if (auto broken = relief.Check()) return *broken;
  const double arc = bore::ArcMm(relief.grid.theta_pitch_deg(), relief.grid.radius_mm);
  const auto a =
      AverageAround(relief, std::max(1, static_cast<int>(std::lround(0.5 * options.ripple_arc_mm / arc))), options);
  const ToesByShape shape = ToesFromShape(relief, options);
  const Side left = MakeSide(relief, true, shape, hints.left_z_mm, hints.left_u_mm, options),
             right = MakeSide(relief, false, shape, hints.right_z_mm, hints.right_u_mm, options);
  std::vector<SectionLine> lines(static_cast<std::size_t>(relief.grid.columns));
  for (std::size_t i = 0; i < lines.size(); ++i) {
    auto& line = lines[i];
    const int column = static_cast<int>(i);
    line.theta_deg = relief.grid.ThetaDeg(column);
    line.wall_left = left.wall.h_mm[i];
    line.wall_right = right.wall.h_mm[i];
    line.wall_left_u = left.wall.u_mm[i];
    line.wall_right_u = right.wall.u_mm[i];
    line.toe_left_z = left.toe_z[i];
    line.toe_right_z = right.toe_z[i];
    line.toe_left_u = left.toe_u[i];
    line.toe_right_u = right.toe_u[i];
    const bool walls = std::isfinite(line.wall_left) && std::isfinite(line.wall_right);
    if (walls) {
      line.misalignment = line.wall_right - line.wall_left;
      line.misalignment_u = std::hypot(line.wall_left_u, line.wall_right_u);
    }
    if (std::isfinite(line.toe_left_z) && std::isfinite(line.wall_left))
      line.undercut_left = UndercutAt(a, relief.grid, column, true, line.toe_left_z, line.wall_left);
    if (std::isfinite(line.toe_right_z) && std::isfinite(line.wall_right))
      line.undercut_right = UndercutAt(a, relief.grid, column, false, line.toe_right_z, line.wall_right);
    line.undercut_u = std::hypot(0.04, relief.shared_u_mm);
    if (!walls)
      line.why = {Says::kFewBareWall};
    else if (!std::isfinite(line.toe_left_z) || !std::isfinite(line.toe_right_z))
      line.why = {Says::kToeUnknown};
    else
      Across(relief, a, column, options, line);
  }
  DropLuck(relief, lines, options);
  return lines;
}

}  // namespace vision::relief
