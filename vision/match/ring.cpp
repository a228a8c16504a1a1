#include "vision/match/ring.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <opencv2/imgproc.hpp>

#include "vision/base/range.h"
#include "vision/base/says.h"
#include "vision/bore/angle.h"
#include "vision/match/around.h"

namespace vision::match {
namespace {

/// ln grey between two scales, and which cells count.
struct Drawing {
  cv::Mat1f band;
  double pitch_arc_mm = 0, pitch_mm = 0, z_from_mm = 0;
  int columns = 0;
  int Row(double z_mm) const { return static_cast<int>(std::lround((z_mm - z_from_mm) / pitch_mm)); }
};

/// What lies between the two scales, by the seen cells alone: the rim of what was not seen is no drawing.
cv::Mat1f Between(const cv::Mat1f& value, const cv::Mat1b& seen, double pitch_mm, int margin, const RingOptions& o) {
  cv::Mat1f weight, wide, wide_weight, band;
  seen.convertTo(weight, CV_32F, 1 / 255.0);
  cv::copyMakeBorder(weight, wide_weight, 0, 0, margin, margin, cv::BORDER_WRAP);
  cv::copyMakeBorder(value.mul(weight), wide, 0, 0, margin, margin, cv::BORDER_WRAP);
  const auto mean = [&](double sigma_mm) {
    cv::Mat1f sum, count, out;
    cv::GaussianBlur(wide, sum, {}, sigma_mm / pitch_mm);
    cv::GaussianBlur(wide_weight, count, {}, sigma_mm / pitch_mm);
    cv::divide(sum, cv::max(count, 1e-3), out);
    return out;
  };
  cv::subtract(mean(o.fine_mm), mean(o.coarse_mm), band);
  band.setTo(0, wide_weight < 0.5);
  return band;
}

Drawing DrawingOf(const FlatPicture& picture, double cell_mm, const RingOptions& o) {
  Drawing drawing;
  const auto& grid = picture.grid;
  const double circumference = bore::ArcMm(360, grid.radius_mm);
  const int columns = static_cast<int>(std::lround(circumference / cell_mm));
  const int rows = static_cast<int>(std::floor((grid.rows - 1) * grid.pitch_mm / cell_mm)) + 1;
  cv::Mat grey;
  cv::Mat1f log;
  cv::cvtColor(picture.image, grey, cv::COLOR_BGR2GRAY);
  grey.convertTo(log, CV_32F);
  cv::max(log, 8.0F, log);
  cv::log(log, log);
  const int margin = static_cast<int>(4 * o.coarse_mm / grid.pitch_mm);
  cv::Mat1f band = Between(log, picture.seen, grid.pitch_mm, margin, o);
  cv::min(band, 0.25F, band);
  cv::max(band, -0.25F, band);
  // Cell k of the new grid at arc k * circumference / columns, z = z_from + k * cell.
  const double across = circumference / columns / (circumference / grid.columns), down = cell_mm / grid.pitch_mm;
  const cv::Matx23d to_band(across, 0, margin, 0, down, 0);
  cv::warpAffine(band, drawing.band, to_band, {columns, rows}, cv::INTER_LINEAR | cv::WARP_INVERSE_MAP,
                 cv::BORDER_REPLICATE);
  drawing.pitch_arc_mm = circumference / columns, drawing.pitch_mm = cell_mm, drawing.z_from_mm = grid.z_from_mm;
  drawing.columns = columns;
  return drawing;
}

cv::Mat1f Wide(const Drawing& drawing, int margin) {
  cv::Mat1f wide;
  cv::copyMakeBorder(drawing.band, wide, 0, 0, margin, margin, cv::BORDER_WRAP);
  return wide;
}

struct Band {
  double from_mm, to_mm;
};

/// Best score over the z reach for every shift of the moving ring, averaged over the patches of both walls.
cv::Mat1f RollScores(const Drawing& fixed, const Drawing& moving, const RingOptions& options, const JobContext& job) {
  const int columns = fixed.columns, width = static_cast<int>(options.patch_arc_mm / fixed.pitch_arc_mm);
  const cv::Mat1f a = Wide(fixed, width), b = Wide(moving, width);
  const int reach = static_cast<int>(options.reach_mm / fixed.pitch_mm);
  cv::Mat1f sum(1, columns, 0.0F);
  const int patches = options.patches / 2;  // enough to find the roll
  for (const Band band : {Band{-options.to_mm, -options.from_mm}, Band{options.from_mm, options.to_mm}}) {
    const int top = fixed.Row(band.from_mm), height = fixed.Row(band.to_mm) - top;
    const int first = std::max(0, moving.Row(band.from_mm) - reach),
              last = std::min(moving.band.rows, moving.Row(band.to_mm) + reach);
    if (top < 0 || top + height > fixed.band.rows || last - first < height) continue;
    for (int k = 0; k < patches; ++k) {
      if (job.Cancelled()) return sum;
      job.Report(0.7 * k / patches, "looking for the roll");
      const int column = columns * k / patches;
      const cv::Mat1f patch = a(cv::Rect(column + width / 2, top, width, height));
      cv::Mat1f score, best;
      cv::matchTemplate(b.rowRange(first, last), patch, score, cv::TM_CCOEFF_NORMED);
      cv::reduce(score, best, 0, cv::REDUCE_MAX);
      for (int shift = 0; shift < columns; ++shift) {
        const int at =
            (column + shift) % columns;  // patch starts at column - width / 2; the wide picture is width ahead
        sum(shift) += std::max(0.0F, best(at + width / 2));
      }
    }
  }
  sum.convertTo(sum, CV_32F, 1 / (2.0 * patches));
  return sum;
}

/// The best roll, and by how much it leads every roll that is not beside it.
std::pair<int, double> BestRoll(const cv::Mat1f& scores, double wander_mm, double pitch_mm) {
  cv::Mat1f wide, smooth;
  const int wander = std::max(1, static_cast<int>(wander_mm / pitch_mm));
  cv::copyMakeBorder(scores, wide, 0, 0, wander, wander, cv::BORDER_WRAP);
  cv::GaussianBlur(wide, smooth, {2 * (wander / 2) + 1, 1}, wander / 4.0);
  smooth = smooth.colRange(wander, wander + scores.cols).clone();
  double low = 0, high = 0;
  cv::Point at;
  cv::minMaxLoc(smooth, nullptr, &high, nullptr, &at);
  cv::Mat1f sorted;
  cv::sort(smooth, sorted, cv::SORT_ASCENDING);
  low = sorted(sorted.cols / 2);  // what chance gives
  double second = low;
  for (int shift = 0; shift < smooth.cols; ++shift) {
    const int apart = std::min(std::abs(shift - at.x), smooth.cols - std::abs(shift - at.x));
    if (apart > 2 * wander) second = std::max(second, static_cast<double>(smooth(shift)));
  }
  return {at.x, (high - low) / std::max(1e-6, second - low)};
}

double SubSample(double before, double peak, double after) {
  const double bend = before - 2 * peak + after;
  return bend < -1e-9 ? std::clamp(0.5 * (before - after) / bend, -0.5, 0.5) : 0;
}

/// Shift of one patch about the roll. Correlation -1 where it runs to the edge of the search.
AroundSample Compare(const cv::Mat1f& fixed, const cv::Mat1f& moving, cv::Rect patch, cv::Point at, int reach_rows,
                     int reach_columns, double pitch_arc_mm, double pitch_mm) {
  const cv::Rect window(at.x - reach_columns, at.y - reach_rows, patch.width + 2 * reach_columns,
                        patch.height + 2 * reach_rows);
  const cv::Rect inside = window & cv::Rect(0, 0, moving.cols, moving.rows);
  if (inside.width < patch.width + 2 || inside.height < patch.height + 2) return {0, 0, 0, -1};
  cv::Mat1f score;
  cv::matchTemplate(moving(inside), fixed(patch), score, cv::TM_CCOEFF_NORMED);
  double best = 0;
  cv::Point peak;
  cv::minMaxLoc(score, nullptr, &best, nullptr, &peak);
  if (peak.x == 0 || peak.y == 0 || peak.x == score.cols - 1 || peak.y == score.rows - 1) return {0, 0, 0, -1};
  const double dz = SubSample(score(peak.y - 1, peak.x), best, score(peak.y + 1, peak.x));
  const double da = SubSample(score(peak.y, peak.x - 1), best, score(peak.y, peak.x + 1));
  return {0, (peak.x + da + inside.x - at.x) * pitch_arc_mm, (peak.y + dz + inside.y - at.y) * pitch_mm, best};
}

std::vector<AroundSample> SideSamples(const Drawing& fixed, const Drawing& moving, int roll_columns, Band band,
                                      const RingOptions& options) {
  const int width = static_cast<int>(options.patch_arc_mm / fixed.pitch_arc_mm);
  const int reach_rows = static_cast<int>(options.reach_mm / fixed.pitch_mm),
            reach_columns = static_cast<int>(options.wander_mm / fixed.pitch_arc_mm),
            margin = width + reach_columns + 2;
  const cv::Mat1f a = Wide(fixed, margin), b = Wide(moving, margin);
  const int top = fixed.Row(band.from_mm), height = fixed.Row(band.to_mm) - top;
  std::vector<AroundSample> samples;
  if (top < 0 || top + height > fixed.band.rows) return samples;
  for (int k = 0; k < options.patches; ++k) {
    const int column = fixed.columns * k / options.patches;
    const cv::Point at((column + roll_columns) % moving.columns - width / 2 + margin, moving.Row(band.from_mm));
    auto sample = Compare(a, b, {column - width / 2 + margin, top, width, height}, at, reach_rows, reach_columns,
                          fixed.pitch_arc_mm, fixed.pitch_mm);
    sample.theta_deg = 360.0 * column / fixed.columns;
    if (sample.correlation > 0.3) samples.push_back(sample);
  }
  return samples;
}

double LargestGap(const std::vector<RingPatch>& used) {
  std::vector<double> thetas;
  for (const auto& patch : used) thetas.push_back(patch.theta_deg);
  if (thetas.empty()) return 360;
  std::sort(thetas.begin(), thetas.end());
  double gap = thetas.front() + 360 - thetas.back();
  for (std::size_t i = 1; i < thetas.size(); ++i) gap = std::max(gap, thetas[i] - thetas[i - 1]);
  return gap;
}

/// Fits one wall, keeps what agrees with the fit, and notes it.
std::size_t FitSide(const std::vector<AroundSample>& samples, double z_mm, RingMatch& match, AroundBore& arc,
                    AroundBore& along, double* squares) {
  std::vector<AroundSample> kept;
  if (!FitAround(samples, &arc, &along, &kept)) return 0;
  for (const auto& s : kept) {
    *squares += std::pow(s.z_mm - along.At(s.theta_deg), 2) + std::pow(s.arc_mm - arc.At(s.theta_deg), 2);
    match.used.push_back({s.theta_deg, z_mm, 0, z_mm + s.z_mm, s.correlation});
  }
  return kept.size();
}

void Doubt(RingMatch& match, const RingOptions& options) {
  if (match.lead < options.min_lead)
    match.doubt = {Says::kAnotherRoll};
  else if (match.agreeing < options.min_agreeing)
    match.doubt = {Says::kFewPatchesAgree, {std::to_string(std::lround(100 * match.agreeing))}};
  else if (match.largest_gap_deg > options.max_gap_deg)
    match.doubt = {Says::kGapInTheWall, {std::to_string(std::lround(match.largest_gap_deg))}};
  else if (match.residual_mm > options.max_residual_mm)
    match.doubt = {Says::kPatchesScatter};
  match.trusted = match.doubt.empty();
}

}  // namespace

void RingMatch::MovingFromFixed(double theta_deg, double z_mm, double* moving_theta_deg, double* moving_z_mm) const {
  // Between the two walls the shift runs evenly from one to the other.
  const double right = std::clamp((z_mm + 8) / 16, 0.0, 1.0);
  const double arc = (1 - right) * left_arc_mm.At(theta_deg) + right * right_arc_mm.At(theta_deg);
  const double radius = radius_mm > 0 ? radius_mm : 1;
  *moving_theta_deg = bore::Wrap360(theta_deg + roll_deg + arc / radius * bore::kDegPerRad);
  *moving_z_mm = z_mm + (1 - right) * left_z_mm.At(theta_deg) + right * right_z_mm.At(theta_deg);
}

void RingMatch::FixedFromMoving(double theta_deg, double z_mm, double* fixed_theta_deg, double* fixed_z_mm) const {
  // Turn and shift change slowly around the bore: what is left over shrinks with every step.
  *fixed_theta_deg = bore::Wrap360(theta_deg - roll_deg), *fixed_z_mm = z_mm;
  for (int step = 0; step < 8; ++step) {
    double theta = 0, z = 0;
    MovingFromFixed(*fixed_theta_deg, *fixed_z_mm, &theta, &z);
    *fixed_theta_deg = bore::Wrap360(*fixed_theta_deg + bore::Wrap180(theta_deg - theta));
    *fixed_z_mm += z_mm - z;
  }
}

Status RingOptions::Check() const {
  if (auto broken = FirstOutside("RingOptions", {{"search_cell_mm", search_cell_mm, 0.05, 2},
                                                 {"patch_arc_mm", patch_arc_mm, 1, 200},
                                                 {"fine_mm", fine_mm, 0.05, 5},
                                                 {"coarse_mm", coarse_mm, 0.1, 50},
                                                 {"max_gap_deg", max_gap_deg, 1, 360},
                                                 {"max_radius_off", max_radius_off, 1e-4, 0.5},
                                                 {"max_residual_mm", max_residual_mm, 0.01, 10}}))
    return broken;
  if (!(from_mm > 0 && to_mm > from_mm + 2))
    return BadInput("RingOptions: to_mm must be 2 mm and more above from_mm > 0.");
  if (!(reach_mm > 0 && wander_mm > 0)) return BadInput("RingOptions: reach_mm and wander_mm must be > 0.");
  if (patches < 12 || patches > 360) return BadInput("RingOptions::patches must be 12 to 360.");
  if (!(min_lead > 1)) return BadInput("RingOptions::min_lead must be > 1.");
  if (!(min_agreeing > 0 && min_agreeing <= 1)) return BadInput("RingOptions::min_agreeing must be in (0, 1].");
  return std::nullopt;
}

Result<RingMatch> MatchRing(const FlatPicture& fixed, const FlatPicture& moving, const RingOptions& options,
                            const JobContext& job) {
  if (auto broken = options.Check()) return *broken;
  if (fixed.image.empty() || moving.image.empty()) return BadInput("There is no strip to be compared.");
  const double radius = fixed.grid.radius_mm, off = std::abs(moving.grid.radius_mm / radius - 1);
  if (!(off <= options.max_radius_off))
    return BadInput("The bores differ in diameter (" + std::to_string(2 * radius) + " and " +
                    std::to_string(2 * moving.grid.radius_mm) + " mm): these are two joints.");
  FlatPicture scaled = moving;  // the same angle is the same place, whatever each file says the radius is
  scaled.grid.radius_mm = radius;
  const Drawing a = DrawingOf(fixed, options.search_cell_mm, options),
                b = DrawingOf(scaled, options.search_cell_mm, options);
  const auto scores = RollScores(a, b, options, job);
  if (job.Cancelled()) return Cancelled();
  const auto [roll, lead] = BestRoll(scores, options.wander_mm, a.pitch_arc_mm);
  RingMatch match;
  match.radius_mm = radius;
  match.lead = lead;
  match.roll_deg = 360.0 * roll / a.columns;
  const auto left = SideSamples(a, b, roll, {-options.to_mm, -options.from_mm}, options),
             right = SideSamples(a, b, roll, {options.from_mm, options.to_mm}, options);
  job.Report(0.9, "fitting");
  const double middle = (options.from_mm + options.to_mm) / 2;
  double squares = 0;
  const std::size_t on_left = FitSide(left, -middle, match, match.left_arc_mm, match.left_z_mm, &squares),
                    on_right = FitSide(right, middle, match, match.right_arc_mm, match.right_z_mm, &squares);
  match.agreeing = static_cast<double>(match.used.size()) / (2.0 * options.patches);
  if (on_left < 8 || on_right < 8 || match.agreeing < options.min_agreeing / 2)
    return NotFound("The walls of the two recordings do not match at any roll (" +
                    std::to_string(std::lround(100 * match.agreeing)) +
                    " % of the patches agree): not the same joint, or " + "too little of its wall is seen.");
  match.residual_mm = std::sqrt(squares / static_cast<double>(match.used.size()));
  match.largest_gap_deg = LargestGap(match.used);
  for (auto& patch : match.used)
    match.MovingFromFixed(patch.theta_deg, patch.z_mm, &patch.moving_theta_deg, &patch.moving_z_mm);
  Doubt(match, options);
  return match;
}

FlatPicture LaidOn(const FlatPicture& moving, const unroll::StripGrid& fixed, const RingMatch& match) {
  cv::Mat2f map(fixed.rows, fixed.columns);
  const int margin = 4;
  for (int column = 0; column < fixed.columns; ++column)
    for (int row = 0; row < fixed.rows; ++row) {
      double theta = 0, z = 0;
      match.MovingFromFixed(fixed.ThetaDeg(column), fixed.ZMm(row), &theta, &z);
      map(row, column) = {static_cast<float>(moving.grid.Column(theta) + margin),
                          static_cast<float>(moving.grid.Row(z))};
    }
  FlatPicture laid;
  laid.grid = fixed;
  cv::Mat wide;
  cv::copyMakeBorder(moving.image, wide, 0, 0, margin, margin, cv::BORDER_WRAP);
  cv::remap(wide, laid.image, map, cv::noArray(), cv::INTER_LINEAR, cv::BORDER_CONSTANT);
  cv::copyMakeBorder(moving.seen, wide, 0, 0, margin, margin, cv::BORDER_WRAP);
  cv::remap(wide, laid.seen, map, cv::noArray(), cv::INTER_NEAREST, cv::BORDER_CONSTANT);
  return laid;
}

cv::Mat3b Difference(const FlatPicture& fixed, const FlatPicture& laid, const TwoColours& colours) {
  const auto evened = [](const FlatPicture& picture) {
    cv::Mat grey;
    cv::Mat1f value, mean, square, out;
    cv::cvtColor(picture.image, grey, cv::COLOR_BGR2GRAY);
    grey.convertTo(value, CV_32F);
    cv::GaussianBlur(value, value, {}, 5);
    cv::GaussianBlur(value, mean, {}, 40);
    cv::GaussianBlur(value.mul(value), square, {}, 40);
    cv::Mat1f spread;
    cv::subtract(square, mean.mul(mean), spread);
    cv::max(spread, 9.0F, spread);
    cv::sqrt(spread, spread);
    out = (value - mean) / spread;
    return out;
  };
  const cv::Mat1f a = evened(fixed), b = evened(laid);
  cv::Mat1f off;
  cv::subtract(b, a, off);
  cv::Mat3b shown(fixed.image.size());
  for (int row = 0; row < shown.rows; ++row)
    for (int column = 0; column < shown.cols; ++column) {
      const bool both = fixed.seen(row, column) && laid.seen(row, column);
      const float grey = std::clamp(128 + 28 * a(row, column), 20.0F, 220.0F);
      const float beyond = std::max(0.0F, std::abs(off(row, column)) - 0.7F);  // less is light and registration
      const float share = both ? std::min(0.9F * beyond, 1.0F) : 0;
      const cv::Vec3b& towards = off(row, column) > 0 ? colours.more : colours.less;
      for (int i = 0; i < 3; ++i)
        shown(row, column)[i] = cv::saturate_cast<uchar>(grey + share * (static_cast<float>(towards[i]) - grey));
    }
  return shown;
}

}  // namespace vision::match
