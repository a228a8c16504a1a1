#include <algorithm>
#include <cmath>
#include <numbers>
#include <opencv2/imgproc.hpp>

#include "vision/base/says.h"
#include "vision/bore/angle.h"
#include "vision/bore/stations.h"
#include "vision/statistics/quantile.h"
#include "vision/surface/ground.h"

/// A pore is a round pit. Seen along the bore its near wall, which slopes away from camera and light, is dark, so the
/// pit's dark core is about two thirds as wide as its mouth. A core counts where it is darker than EVERY direction
/// round it: a ripple, a scratch, a drawing line, a crack or the toe is dark in two directions and drops out.
namespace vision::surface {
namespace {

/// One size of core over the band.
struct Scale {
  double core_mm = 0;
  cv::Mat1f level, contrast;       ///< Mean over the core | the least difference to the twelve directions.
  std::vector<double> asked, low;  ///< Per sector: contrast asked for | lower quarter of the bead's light.
};

Scale Respond(const Ground& ground, double core_mm, const PoreOptions& o) {
  Scale scale;
  scale.core_mm = core_mm;
  const double cells = core_mm / ground.grid.pitch_mm;
  cv::GaussianBlur(ground.light, scale.level, {}, std::max(0.5, 0.22 * cells), 0, cv::BORDER_REPLICATE);
  const int reach = static_cast<int>(std::ceil(o.ring * cells)) + 1;
  cv::Mat1f wide;
  cv::copyMakeBorder(scale.level, wide, reach, reach, reach, reach, cv::BORDER_REPLICATE);
  for (int k = 0; k < o.directions; ++k) {
    const double a = 2 * std::numbers::pi * k / o.directions;
    const cv::Rect shifted(reach + static_cast<int>(std::lround(o.ring * cells * std::cos(a))),
                           reach + static_cast<int>(std::lround(o.ring * cells * std::sin(a))), scale.level.cols,
                           scale.level.rows);
    if (k == 0)
      scale.contrast = wide(shifted).clone();
    else
      scale.contrast = cv::min(scale.contrast, wide(shifted));
  }
  scale.contrast -= scale.level;
  return scale;
}

/// 255 in bead and margin, usable, and away from an original edge.
cv::Mat1b ZoneOf(const Ground& ground, const Bead& bead, double margin_mm, const PoreOptions& o) {
  cv::Mat1b zone(ground.light.size(), uchar{0});
  for (int c = 0; c < zone.cols; ++c) {
    const std::size_t line = ground.Line(c);
    double from = ground.left_z_mm[line] - margin_mm, to = ground.right_z_mm[line] + margin_mm;
    if (bead.unfused_left[line]) from += margin_mm + o.gap_reach_mm;
    if (bead.unfused_right[line]) to -= margin_mm + o.gap_reach_mm;
    if (!std::isfinite(from) || !std::isfinite(to)) continue;
    const int last = std::min(zone.rows - 1, static_cast<int>(ground.Row(to)));
    for (int r = std::max(0, static_cast<int>(std::ceil(ground.Row(from)))); r <= last; ++r)
      if (ground.usable(r, c)) zone(r, c) = 255;
  }
  return zone;
}

/// The bead's own texture decides, sector by sector, what contrast must be asked for.
void AskBySector(const Ground& ground, const cv::Mat1b& zone, const SurfaceOptions& options, Scale& scale) {
  const int sectors = static_cast<int>(360 / options.pores.sector_deg);
  std::vector<std::vector<float>> contrast(static_cast<std::size_t>(sectors)), level(contrast);
  for (int r = 0; r < zone.rows; r += 2)
    for (int c = ground.pad; c < ground.pad + ground.columns; c += 2) {
      if (!zone(r, c)) continue;
      const auto sector = static_cast<std::size_t>(
          std::min(sectors - 1, static_cast<int>(ground.ThetaDeg(c) / options.pores.sector_deg)));
      contrast[sector].push_back(scale.contrast(r, c));
      level[sector].push_back(scale.level(r, c));
    }
  for (std::size_t s = 0; s < contrast.size(); ++s) {
    scale.asked.push_back(kNone);
    scale.low.push_back(kNone);
    if (contrast[s].size() < 200) continue;
    const double middle = statistics::QuantileInPlace(contrast[s], 0.5);
    for (float& value : contrast[s]) value = std::abs(value - static_cast<float>(middle));
    const double spread = 1.4826 * statistics::QuantileInPlace(contrast[s], 0.5);
    scale.asked.back() = std::max(options.least_contrast, middle + options.over_texture * spread);
    scale.low.back() = statistics::QuantileInPlace(level[s], 0.25);
  }
}

std::size_t SectorOf(double theta_deg, std::size_t sectors, const PoreOptions& o) {
  return std::min(sectors - 1, static_cast<std::size_t>(bore::Wrap360(theta_deg) / o.sector_deg));
}

/// Extent of the core about (r, c): cells joined to it, darker than half-way up to the ring.
void Measure(const Ground& ground, const Scale& scale, int r, int c, Seen& seen) {
  cv::Mat1f level;
  const int reach = static_cast<int>(2.5 * scale.core_mm / ground.grid.pitch_mm);
  const cv::Rect box = cv::Rect(c - reach, r - reach, 2 * reach + 1, 2 * reach + 1) & cv::Rect({}, ground.light.size());
  cv::GaussianBlur(ground.light(box), level, {}, 1.0);
  const cv::Point centre(c - box.x, r - box.y);
  const float half = scale.level(r, c) + 0.5f * scale.contrast(r, c);
  cv::Mat1b dark;
  cv::inRange(level, -100, half, dark);
  dark(centre) = 255;
  cv::Mat1i labels;
  cv::Mat stats, centres;
  cv::connectedComponentsWithStats(dark, labels, stats, centres, 4);
  const int label = labels(centre);
  const double arc_cell = bore::ArcMm(ground.grid.theta_pitch_deg(), ground.grid.radius_mm);
  seen.length_mm = stats.at<int>(label, cv::CC_STAT_WIDTH) * arc_cell;
  seen.width_mm = stats.at<int>(label, cv::CC_STAT_HEIGHT) * ground.grid.pitch_mm;
  // The lit far wall of the pit is not in the core: the extents may fall short of the mouth by a third.
  const double px = ground.pixel_mm(r, c);
  seen.length_u_mm = std::hypot(0.2 * seen.length_mm, 0.5 * px);
  seen.width_u_mm = std::hypot(0.3 * seen.width_mm, 0.5 * px);
}

void Collect(const Ground& ground, const cv::Mat1b& zone, const Scale& scale, const SurfaceOptions& options,
             std::vector<Seen>& found) {
  cv::Mat1f highest;
  cv::dilate(scale.contrast, highest, cv::Mat1b::ones(7, 7));
  for (int r = 1; r + 1 < zone.rows; ++r)
    for (int c = ground.pad; c < ground.pad + ground.columns; ++c) {
      const float contrast = scale.contrast(r, c);
      if (!zone(r, c) || contrast < options.least_contrast || contrast < highest(r, c)) continue;
      const std::size_t sector = SectorOf(ground.ThetaDeg(c), scale.asked.size(), options.pores);
      const double darker = scale.low[sector] - static_cast<double>(scale.level(r, c));
      if (!(contrast >= scale.asked[sector]) || !(darker >= options.pores.darker_than_bead)) continue;
      if (!(scale.core_mm >= options.least_core_px * static_cast<double>(ground.pixel_mm(r, c)))) continue;
      Seen seen;
      seen.kind =
          scale.core_mm * options.pores.mouth_over_core >= options.pores.hole_mm && darker >= options.pores.hole_is_dark
              ? "burn_through"
              : "pore";
      seen.theta_deg = bore::Wrap360(ground.ThetaDeg(c));
      seen.z_mm = ground.ZMm(r);
      Measure(ground, scale, r, c, seen);
      seen.confidence = std::min(0.95, 0.5 + 0.45 * (contrast / scale.asked[sector] - 1) / 0.8);
      found.push_back(seen);
    }
}

/// The same pit answers at several sizes: the surest stays.
void KeepSurest(std::vector<Seen>& found, double radius_mm, std::vector<Seen>& kept) {
  std::stable_sort(found.begin(), found.end(),
                   [](const Seen& a, const Seen& b) { return a.confidence > b.confidence; });
  for (const Seen& seen : found) {
    const bool known = std::any_of(kept.begin(), kept.end(), [&](const Seen& other) {
      const double arc = std::abs(bore::ArcMm(bore::Wrap180(seen.theta_deg - other.theta_deg), radius_mm));
      const double reach = std::max(0.6, 0.6 * (seen.length_mm + other.length_mm) / 2);
      return std::hypot(arc, seen.z_mm - other.z_mm) < reach;
    });
    if (!known) kept.push_back(seen);
  }
}

/// What would have been seen on one line.
double SmallestOn(const Ground& ground, const cv::Mat1b& zone, const std::vector<Scale>& scales, double least_core_px,
                  double pit_contrast, double margin_mm, std::size_t line, Reason& why, const PoreOptions& o) {
  const double left = ground.left_z_mm[line] - margin_mm, right = ground.right_z_mm[line] + margin_mm;
  if (!std::isfinite(left) || !std::isfinite(right)) return why = {Says::kAToeNotVisible}, kNone;
  const int c = ground.Column(line), from = static_cast<int>(ground.Row(left)),
            to = static_cast<int>(ground.Row(right));
  if (from < 0 || to >= ground.rows()) return why = {Says::kOutsideStrip}, kNone;
  int hidden = 0, unseen = 0;
  double px = 0;
  for (int r = from; r <= to; ++r) {
    if (!ground.seen(r, c))
      ++unseen;
    else if (!zone(r, c))
      ++hidden;
    px = std::max(px, static_cast<double>(ground.pixel_mm(r, c)));
  }
  if (unseen > o.unusable_share * (to - from)) return why = {Says::kNotInPicture}, kNone;
  if (hidden > o.unusable_share * (to - from)) return why = {Says::kBeadHidden}, kNone;
  for (const Scale& scale : scales) {
    if (!(scale.core_mm >= least_core_px * px)) continue;
    const double asked = scale.asked[SectorOf(Ground::LineDeg(line), scale.asked.size(), o)];
    if (asked <= pit_contrast) return o.mouth_over_core * scale.core_mm;
  }
  return why = {Says::kRipplesAsLively}, kNone;
}

}  // namespace

void FindPores(const Ground& ground, const Bead& bead, const SurfaceOptions& options, Surface& surface) {
  const cv::Mat1b zone = ZoneOf(ground, bead, options.margin_mm, options.pores);
  double finest = kNone;
  for (std::size_t line = 0; line < bore::kStationLines; line += 8)
    finest = std::fmin(finest, ground.pixel_mm(ground.rows() / 2, ground.Column(line)));
  std::vector<Scale> scales;
  std::vector<Seen> found;
  for (const double core_mm : options.pores.cores_mm) {
    if (!(core_mm >= options.least_core_px * finest)) continue;
    scales.push_back(Respond(ground, core_mm, options.pores));
    AskBySector(ground, zone, options, scales.back());
    Collect(ground, zone, scales.back(), options, found);
    scales.back().level.release(), scales.back().contrast.release();
  }
  KeepSurest(found, ground.grid.radius_mm, surface.seen);
  Search pores{"pore", "", std::vector<double>(bore::kStationLines, kNone), std::vector<Reason>(bore::kStationLines)};
  Search holes = pores;
  holes.kind = "burn_through";
  for (std::size_t line = 0; line < bore::kStationLines; ++line) {
    pores.smallest_mm[line] = SmallestOn(ground, zone, scales, options.least_core_px, options.pit_contrast,
                                         options.margin_mm, line, pores.why[line], options.pores);
    // A hole is far darker than any texture: only size and sight bind.
    holes.smallest_mm[line] = SmallestOn(ground, zone, scales, options.least_core_px, options.pores.hole_is_dark,
                                         options.margin_mm, line, holes.why[line], options.pores);
    if (std::isfinite(holes.smallest_mm[line]))
      holes.smallest_mm[line] = std::max(options.pores.hole_mm, holes.smallest_mm[line]);
  }
  surface.searched.push_back(std::move(pores));
  surface.searched.push_back(std::move(holes));
}

}  // namespace vision::surface
