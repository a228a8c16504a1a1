#include "vision/match/change.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/base/range.h"
#include "vision/bore/angle.h"
#include "vision/match/change_parts.h"

namespace vision::match {
namespace {

/// Squared deviation from what an untouched wall would show, in the row's own variances; 0 where not compared.
cv::Mat1f Deviation(const Evidence& e, const ChangeOptions& o) {
  cv::Mat1f q(e.after.size(), 0.0F);
  for (int row = 0; row < q.rows; ++row) {
    const cv::Vec3f& sigma = e.sigma[static_cast<std::size_t>(row)];
    for (int column = 0; column < q.cols; ++column) {
      if (!e.both(row, column)) continue;
      for (int k = 0; k < 3; ++k) {
        const double off = (e.after(row, column)[k] - e.expected(row, column)[k]) / sigma[k];
        q(row, column) += static_cast<float>(std::min(off * off, o.most) / 3);
      }
    }
  }
  return q;
}

cv::Mat1f MeanOver(const cv::Mat1f& q, double mm, const Evidence& e) {
  const cv::Size window(static_cast<int>(mm / e.arc_pitch_mm()) | 1, static_cast<int>(mm / e.grid.pitch_mm) | 1);
  return OnRing(q, window.width, [&window](const cv::Mat& in, cv::Mat& out) { cv::blur(in, out, window); });
}

/// A column that no changed spot crosses.
int Seam(const cv::Mat1f& score) {
  cv::Mat1f most;
  cv::reduce(score, most, 0, cv::REDUCE_MAX);
  cv::Point least;
  cv::minMaxLoc(most, nullptr, nullptr, &least, nullptr);
  return least.x;
}

cv::Mat Rolled(const cv::Mat& picture, int first) {
  cv::Mat out;
  cv::hconcat(picture.colRange(first, picture.cols), picture.colRange(0, first), out);
  return out;
}

/// Connected changed spots; gaps of a millimetre and a half are bridged.
std::vector<Cells> Spots(const cv::Mat1f& score, const Evidence& e, const ChangeOptions& o) {
  const int seam = Seam(score), half = static_cast<int>(1.5 / e.grid.pitch_mm / 2);
  cv::Mat1b on;
  cv::compare(Rolled(score, seam), o.spread, on, cv::CMP_GT);
  const cv::Mat block = cv::getStructuringElement(cv::MORPH_ELLIPSE, {4 * half + 1, 4 * half + 1});
  cv::morphologyEx(on, on, cv::MORPH_CLOSE, block);
  cv::Mat1i label;
  const int count = cv::connectedComponents(on, label);
  std::vector<Cells> spots(static_cast<std::size_t>(count));
  for (int row = 0; row < label.rows; ++row)
    for (int column = 0; column < label.cols; ++column)
      if (label(row, column) > 0) spots[static_cast<std::size_t>(label(row, column))].emplace_back(column + seam, row);
  spots.erase(spots.begin());
  return spots;
}

Spot SpotOf(const Cells& cells, const Evidence& e) {
  const cv::Rect box = cv::boundingRect(cells);
  Spot spot;
  spot.place.theta_deg = bore::Wrap360(e.grid.ThetaDeg(box.x + 0.5 * (box.width - 1)));
  spot.place.z_mm = e.grid.ZMm(box.y + 0.5 * (box.height - 1));
  spot.circ_mm = box.width * e.arc_pitch_mm(), spot.axial_mm = box.height * e.grid.pitch_mm;
  spot.area_mm2 = static_cast<double>(cells.size()) * e.arc_pitch_mm() * e.grid.pitch_mm;
  return spot;
}

double Highest(const cv::Mat1f& score, const Cells& cells) {
  double most = 0;
  for (const auto& cell : cells) most = std::max<double>(most, score(cell.y, cell.x % score.cols));
  return most;
}

double AreaAbove(const cv::Mat1f& score, const Cells& cells, float limit, const Evidence& e) {
  const auto n = std::count_if(cells.begin(), cells.end(),
                               [&](const cv::Point& c) { return score(c.y, c.x % score.cols) > limit; });
  return static_cast<double>(n) * e.arc_pitch_mm() * e.grid.pitch_mm;
}

/// Correlation of two drawings; the means of each row are taken out by who adds.
struct Correlation {
  double n = 0, xx = 0, yy = 0, xy = 0;
  /// One row's sums: what is alike all along the row (a toe, the bead's edge, light) is no drawing of the surface.
  void AddRow(double count, double x, double y, double x2, double y2, double both) {
    if (count < 2) return;
    n += count, xx += x2 - x * x / count, yy += y2 - y * y / count, xy += both - x * y / count;
  }
  [[nodiscard]] double Value() const { return xy / std::sqrt(std::max(1e-12, xx * yy)); }
};

/// Correlation of the wall's drawing before and after, and the mean deviation, well inside a pocket.
void Compare(const Evidence& e, const cv::Mat1f& q, Pocket& pocket) {
  Correlation texture;
  double cells = 0, deviation = 0;
  const double reach = 0.5 * pocket.circ_mm / e.arc_pitch_mm(), middle = e.grid.Column(pocket.middle.theta_deg);
  const int top = std::max(0, static_cast<int>(e.grid.Row(pocket.middle.z_mm - 0.5 * pocket.axial_mm))),
            bottom =
                std::min(e.grid.rows - 1, static_cast<int>(e.grid.Row(pocket.middle.z_mm + 0.5 * pocket.axial_mm)));
  for (int row = top; row <= bottom; ++row) {
    double n = 0, x = 0, y = 0, xx = 0, yy = 0, xy = 0;
    for (int along = static_cast<int>(middle - reach); along <= middle + reach; ++along) {
      const int column = (along + 2 * e.grid.columns) % e.grid.columns;
      if (!e.both(row, column)) continue;
      if (!Inside(pocket, {e.grid.ThetaDeg(column), e.grid.ZMm(row)}, e.grid.radius_mm)) continue;
      const double a = e.drawing_before(row, column), b = e.drawing_after(row, column);
      n += 1, x += a, y += b, xx += a * a, yy += b * b, xy += a * b, deviation += q(row, column);
    }
    texture.AddRow(n, x, y, xx, yy, xy);
    cells += n;
  }
  if (cells < 1) return;
  pocket.texture = texture.Value();
  pocket.score = deviation / cells;
}

}  // namespace

Status ChangeOptions::Check() const {
  for (const auto& broken : {evidence.Check(), outline.Check()})
    if (broken) return broken;
  if (auto broken = FirstOutside("ChangeOptions", {{"spread", spread, 1, 1000},
                                                   {"mark", mark, 1, 1000},
                                                   {"mark_area_mm2", mark_area_mm2, 0, 100},
                                                   {"most", most, 1, 10000}}))
    return broken;
  if (!(light_deg >= 30 && light_deg <= 180)) return BadInput("ChangeOptions::light_deg must be 30 to 180.");
  if (!(min_score > 1)) return BadInput("ChangeOptions::min_score must be > 1.");
  if (!(min_area_mm2 > 0)) return BadInput("ChangeOptions::min_area_mm2 must be > 0.");
  if (!(max_texture > 0 && max_texture <= 1)) return BadInput("ChangeOptions::max_texture must be in (0, 1].");
  if (!(resolution_mm > 0)) return BadInput("ChangeOptions::resolution_mm must be > 0.");
  return std::nullopt;
}

bool Inside(const Pocket& pocket, WallPlace place, double radius_mm, double margin_mm) {
  const auto flat = [&](const WallPlace& p) {
    return cv::Point2f(static_cast<float>(bore::ArcMm(bore::Wrap180(p.theta_deg - pocket.middle.theta_deg), radius_mm)),
                       static_cast<float>(p.z_mm));
  };
  if (std::abs(bore::Wrap180(place.theta_deg - pocket.middle.theta_deg)) > 170 || pocket.outline.size() < 3)
    return false;
  std::vector<cv::Point2f> line;
  for (const auto& p : pocket.outline) line.push_back(flat(p));
  return cv::pointPolygonTest(line, flat(place), true) >= margin_mm;
}

Result<Change> FindChange(const FlatPicture& before, const FlatPicture& laid, double registration_mm,
                          const ChangeOptions& options, const JobContext& job) {
  if (auto broken = options.Check()) return *broken;
  if (!(before.grid == laid.grid) || before.image.size() != laid.image.size() || before.image.empty())
    return BadInput("FindChange: the second picture must lie on the first one's grid.");
  job.Report(0.1, "comparing light and colour");
  const Evidence e = Gather(before, laid, options.light_deg, options.evidence);
  Change change;
  change.compared = cv::countNonZero(e.both) / static_cast<double>(e.both.total());
  if (change.compared < 1.0 / 3)
    return NotFound("Only " + std::to_string(std::lround(100 * change.compared)) +
                    " % of the wall is seen in both recordings: what was removed cannot be told.");
  const cv::Mat1f q = Deviation(e, options), narrow = MeanOver(q, 1.5, e), wide = MeanOver(q, 3, e);
  std::vector<float> sorted(wide.begin(), wide.end());
  std::nth_element(sorted.begin(), sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() * 95 / 100),
                   sorted.end());
  change.usual_score = sorted[sorted.size() * 95 / 100];
  for (const auto& cells : Spots(narrow, e, options)) {
    if (job.Cancelled()) return Cancelled();
    const Spot spot = SpotOf(cells, e);
    const bool large = spot.area_mm2 >= options.min_area_mm2 && Highest(wide, cells) > options.min_score;
    if (large) {
      Pocket pocket = OutlinePocket(e, cells, registration_mm, options.resolution_mm, options.outline);
      Compare(e, q, pocket);
      if (pocket.texture < options.max_texture && pocket.area_mm2 >= options.min_area_mm2 &&
          pocket.score > options.spread) {
        change.pockets.push_back(std::move(pocket));
        continue;
      }
    }
    if (large || AreaAbove(narrow, cells, options.mark, e) >= options.mark_area_mm2) change.marks.push_back(spot);
  }
  std::erase_if(change.marks, [&](const Spot& spot) {
    return std::any_of(change.pockets.begin(), change.pockets.end(),
                       [&](const Pocket& p) { return Inside(p, spot.place, e.grid.radius_mm, -1); });
  });
  std::sort(change.pockets.begin(), change.pockets.end(),
            [](const Pocket& a, const Pocket& b) { return a.area_mm2 > b.area_mm2; });
  return change;
}

}  // namespace vision::match
