#include "vision/relief/light_cuts.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <opencv2/imgproc.hpp>
#include <optional>

#include "vision/base/median.h"
#include "vision/bore/angle.h"
#include "vision/bore/stations.h"

namespace vision::relief {
namespace {

constexpr float kNaN = std::numeric_limits<float>::quiet_NaN();

/// What one frame's one edge says in one relief column.
struct Sample {
  double z_mm = 0, h_mm = 0, u_mm = 0;
  double own_light_mm = 0;  ///< Beside u_mm; neighbours and the other edge share it.
};

/// One edge's relief.
struct EdgeRelief {
  Relief relief;
  cv::Mat1f own_light_mm;  ///< As Sample, cell by cell.
};

CutPoint PointOf(const Cut& cut, const LightPlane& plane, const Eigen::Vector2d& slope, double ahead_mm,
                 double radius_mm) {
  const Eigen::Vector3d at = cut.pose.rotation * plane.PointAt(slope, ahead_mm) + cut.pose.translation_mm;
  const auto place = bore::BoreFromXyz(at, radius_mm);
  return {place.theta_deg, place.z_mm, place.height_mm, true};
}

/// The samples of one edge of one cut, one a relief column: median over a degree around (four stripe columns).
std::vector<std::optional<Sample>> SamplesOf(const Cut& cut, const LightPlane& plane, double radius_mm, bool inner,
                                             double half_depth_mm, const LightCutOptions& o) {
  std::vector<std::vector<CutPoint>> bins(bore::kStationLines);
  std::vector<int> by_own_light(bore::kStationLines);
  for (const auto& point : cut.stripe.points) {
    if (!(inner ? point.has_inner() : point.has_outer())) continue;
    const auto at =
        PointOf(cut, plane, inner ? point.inner : point.outer, inner ? half_depth_mm : -half_depth_mm, radius_mm);
    const int column = static_cast<int>(std::lround(at.theta_deg * bore::kStationLines / 360)) % bore::kStationLines;
    bins[static_cast<std::size_t>(column)].push_back(at);
    by_own_light[static_cast<std::size_t>(column)] += point.by_own_light;
  }
  const double own_light_mm = o.own_light_mm * std::pow(cut.stripe.mm_per_px / o.own_light_at_mm_per_px, 3);
  std::vector<std::optional<Sample>> samples(bore::kStationLines);
  for (int c = 0; c < bore::kStationLines; ++c) {
    std::vector<double> z, h;
    for (int k = -1; k <= 1; ++k)
      for (const auto& at : bins[static_cast<std::size_t>((c + k + bore::kStationLines) % bore::kStationLines)])
        z.push_back(at.z_mm), h.push_back(at.h_mm);
    if (z.size() < 3) continue;
    const double z_middle = MedianInPlace(z), h_middle = MedianInPlace(h);
    double spread = 0;
    for (const double value : h) spread += std::abs(value - h_middle);
    spread *= 1.2533 / static_cast<double>(h.size());
    const double scatter = std::max(spread, o.edge_scatter_mm) / std::sqrt(static_cast<double>(h.size()));
    const bool own = by_own_light[static_cast<std::size_t>(c)] > 0;
    samples[static_cast<std::size_t>(c)] = Sample{z_middle, h_middle, scatter, own ? own_light_mm : 0};
  }
  return samples;
}

/// Cubic through the samples of one column (Hermite, slopes by the three nearest samples), straight at the ends.
void FillColumn(const std::vector<Sample>& s, int column, double longest_gap_mm, EdgeRelief& out,
                const LightCutOptions& o) {
  Relief& relief = out.relief;
  const auto slope = [&](std::size_t i) {
    if (s.size() < 2) return 0.0;
    if (i == 0) return (s[1].h_mm - s[0].h_mm) / (s[1].z_mm - s[0].z_mm);
    if (i + 1 == s.size()) return (s[i].h_mm - s[i - 1].h_mm) / (s[i].z_mm - s[i - 1].z_mm);
    const double a = s[i].z_mm - s[i - 1].z_mm, b = s[i + 1].z_mm - s[i].z_mm;
    if (a > longest_gap_mm || b > longest_gap_mm) return 0.0;
    return ((s[i].h_mm - s[i - 1].h_mm) / a * b + (s[i + 1].h_mm - s[i].h_mm) / b * a) / (a + b);
  };
  for (std::size_t i = 0; i + 1 < s.size(); ++i) {
    const double gap = s[i + 1].z_mm - s[i].z_mm;
    if (gap > longest_gap_mm) continue;
    const int from = std::max(0, static_cast<int>(std::ceil(relief.grid.Row(s[i].z_mm)))),
              to = std::min(relief.grid.rows - 1, static_cast<int>(std::floor(relief.grid.Row(s[i + 1].z_mm))));
    for (int row = from; row <= to; ++row) {
      const double t = (relief.grid.ZMm(row) - s[i].z_mm) / gap, t2 = t * t, t3 = t2 * t;
      relief.h_mm(row, column) =
          static_cast<float>((2 * t3 - 3 * t2 + 1) * s[i].h_mm + (t3 - 2 * t2 + t) * gap * slope(i) +
                             (3 * t2 - 2 * t3) * s[i + 1].h_mm + (t3 - t2) * gap * slope(i + 1));
      relief.u_mm(row, column) = static_cast<float>(
          std::hypot((1 - t) * s[i].u_mm, t * s[i + 1].u_mm, 0.5 * o.curvature_per_mm * t * (1 - t) * gap * gap));
      out.own_light_mm(row, column) = static_cast<float>((1 - t) * s[i].own_light_mm + t * s[i + 1].own_light_mm);
    }
  }
}

/// Samples closer than this along z are one.
std::vector<Sample> Merged(std::vector<Sample> s, double closest_mm) {
  std::sort(s.begin(), s.end(), [](const Sample& a, const Sample& b) { return a.z_mm < b.z_mm; });
  std::vector<Sample> merged;
  std::size_t in_last = 0;
  for (const auto& sample : s) {
    if (merged.empty() || sample.z_mm - merged.back().z_mm > closest_mm) {
      merged.push_back(sample);
      in_last = 1;
      continue;
    }
    auto& last = merged.back();
    const double share = 1.0 / static_cast<double>(++in_last);
    last.z_mm += share * (sample.z_mm - last.z_mm);
    last.h_mm += share * (sample.h_mm - last.h_mm);
    last.own_light_mm += share * (sample.own_light_mm - last.own_light_mm);
    last.u_mm = std::sqrt(1 - share) * std::hypot(last.u_mm, share * sample.u_mm);
  }
  return merged;
}

EdgeRelief OneEdgeRelief(const std::vector<Cut>& cuts, const LightPlane& plane, double radius_mm, bool inner,
                         double half_depth_mm, const Relief& empty, const LightOptions& o) {
  EdgeRelief out{empty, cv::Mat1f(empty.h_mm.size(), 0.F)};
  out.relief.h_mm = empty.h_mm.clone();
  out.relief.u_mm = empty.u_mm.clone();
  std::vector<std::vector<Sample>> columns(bore::kStationLines);
  for (const auto& cut : cuts) {
    const auto samples = SamplesOf(cut, plane, radius_mm, inner, half_depth_mm, o.cuts);
    for (std::size_t c = 0; c < samples.size(); ++c) {
      if (!samples[c]) continue;
      columns[c].push_back(*samples[c]);
      columns[c].back().u_mm = std::hypot(samples[c]->u_mm, cut.u_mm);
    }
  }
  for (int c = 0; c < bore::kStationLines; ++c)
    FillColumn(Merged(std::move(columns[static_cast<std::size_t>(c)]), 0.25), c, o.longest_gap_mm, out, o.cuts);
  return out;
}

/// Mean of the finite cells in a window of rows x columns, wrapped around; NaN where fewer than a twelfth are.
cv::Mat1f WindowMean(const cv::Mat1f& values, int rows, int columns) {
  cv::Mat1f filled = values.clone(), count;
  cv::Mat(values == values).convertTo(count, CV_32F, 1 / 255.0);
  filled.setTo(0, count == 0);  // != of NaN is false where AVX2 is used
  for (auto* m : {&filled, &count}) {
    cv::copyMakeBorder(*m, *m, 0, 0, columns, columns, cv::BORDER_WRAP);
    cv::boxFilter(*m, *m, -1, {2 * columns + 1, 2 * rows + 1}, {-1, -1}, true, cv::BORDER_REPLICATE);
    *m = m->colRange(columns, columns + values.cols).clone();
  }
  cv::Mat1f mean;
  cv::divide(filled, count, mean);
  mean.setTo(kNaN, count < 1.0F / 12);
  return mean;
}

/// By how much one edge alone reads beside the mean of both.
struct OneEdge {
  float half_mm = 0, u_mm = 0;
};

/// @param beside, between Mean difference of the two edges close by, and between places further off along z that know
/// it; NaN where neither does. @param apart How far it strays from that there, NaN likewise.
OneEdge LostEdge(float beside, float between, float apart, const LightCutOptions& o) {
  const auto one = static_cast<float>(o.one_edge_mm);
  const float stray = std::isfinite(apart) ? static_cast<float>(o.apart_share) * apart : 0;
  if (std::isfinite(beside)) return {0.5F * beside, std::hypot(one, 0.125F * beside, stray)};
  if (std::isfinite(between)) return {0.5F * between, std::hypot(2 * one, 0.25F * between, stray)};
  return {0, 2 * one};
}

/// Gaps along z of up to `longest` rows filled in a straight line from row to row; ends stay empty.
cv::Mat1f BridgedAlong(const cv::Mat1f& values, int longest) {
  cv::Mat1f bridged = values.clone();
  for (int c = 0; c < values.cols; ++c)
    for (int row = 0, last = -1; row < values.rows; ++row) {
      if (!std::isfinite(values(row, c))) continue;
      for (int k = last + 1; last >= 0 && row - last <= longest && k < row; ++k) {
        const float t = static_cast<float>(k - last) / static_cast<float>(row - last);
        bridged(k, c) = (1 - t) * values(last, c) + t * values(row, c);
      }
      last = row;
    }
  return bridged;
}

}  // namespace

std::vector<CutPoint> MiddlesOf(const Cut& cut, const LightPlane& plane, double radius_mm) {
  std::vector<CutPoint> points(cut.stripe.points.size());
  for (std::size_t i = 0; i < points.size(); ++i) {
    const auto& p = cut.stripe.points[i];
    if (!p.has_inner() || !p.has_outer()) continue;
    const double a = (p.inner - cut.stripe.centre).norm(), b = (p.outer - cut.stripe.centre).norm();
    const Eigen::Vector2d slope = p.inner + (p.outer - p.inner) * (2 * a * b / (a + b) - a) / (b - a);
    points[i] = PointOf(cut, plane, slope, 0, radius_mm);
  }
  return points;
}

double HalfDepth(const std::vector<Cut>& cuts, const LightPlane& plane, double radius_mm, double weld_z_mm,
                 double clear_mm) {
  std::vector<double> depths;
  for (const auto& cut : cuts) {
    const auto middles = MiddlesOf(cut, plane, radius_mm);
    for (std::size_t i = 0; i < middles.size(); ++i) {
      if (!middles[i].valid || std::abs(middles[i].z_mm - weld_z_mm) < clear_mm) continue;
      const auto& p = cut.stripe.points[i];
      const double a = (p.inner - cut.stripe.centre).norm(), b = (p.outer - cut.stripe.centre).norm();
      depths.push_back(plane.distance_mm * (b - a) / (b + a));
    }
  }
  return depths.size() < 100 ? 0 : MedianInPlace(depths);
}

Relief ReliefFromCuts(const std::vector<Cut>& cuts, const LightPlane& plane, double radius_mm, double half_depth_mm,
                      const LightOptions& o) {
  double from = 1e9, to = -1e9;
  for (const auto& cut : cuts)
    for (const auto& point : MiddlesOf(cut, plane, radius_mm))
      if (point.valid) from = std::min(from, point.z_mm), to = std::max(to, point.z_mm);
  Relief relief = EmptyRelief(radius_mm, std::floor(from - half_depth_mm), std::ceil(to + half_depth_mm), o.pitch_mm,
                              How::kLightSection, bore::kStationLines);
  const EdgeRelief by_inner = OneEdgeRelief(cuts, plane, radius_mm, true, half_depth_mm, relief, o),
                   by_outer = OneEdgeRelief(cuts, plane, radius_mm, false, half_depth_mm, relief, o);
  const Relief &inner = by_inner.relief, &outer = by_outer.relief;
  const int beside_rows = std::max(1, static_cast<int>(o.cuts.beside_mm / o.pitch_mm)),
            bridged_rows = static_cast<int>(o.cuts.bridged_mm / o.pitch_mm);
  const cv::Mat1f beside = WindowMean(cv::Mat1f(inner.h_mm - outer.h_mm), beside_rows, 10),
                  between = BridgedAlong(beside, bridged_rows),
                  apart = BridgedAlong(
                      WindowMean(cv::Mat1f(cv::abs(inner.h_mm - outer.h_mm - beside)), beside_rows, 10), bridged_rows);
  for (int row = 0; row < relief.grid.rows; ++row)
    for (int c = 0; c < bore::kStationLines; ++c) {
      const float a = inner.h_mm(row, c), b = outer.h_mm(row, c);
      if (std::isfinite(a) && std::isfinite(b)) {
        relief.h_mm(row, c) = 0.5F * (a + b);
        relief.u_mm(row, c) =
            static_cast<float>(std::hypot(0.5 * std::hypot(inner.u_mm(row, c), outer.u_mm(row, c)), o.cuts.drawing_mm,
                                          0.5 * (by_inner.own_light_mm(row, c) + by_outer.own_light_mm(row, c))));
        const float off = std::isfinite(apart(row, c)) ? apart(row, c) : 0;
        relief.u_mm(row, c) = std::hypot(relief.u_mm(row, c), static_cast<float>(o.cuts.apart_share) * off);
      } else if (std::isfinite(a) || std::isfinite(b)) {
        const auto lost = LostEdge(beside(row, c), between(row, c), apart(row, c), o.cuts);
        relief.h_mm(row, c) = std::isfinite(a) ? a - lost.half_mm : b + lost.half_mm;
        const auto& edge = std::isfinite(a) ? by_inner : by_outer;
        relief.u_mm(row, c) = std::hypot(edge.relief.u_mm(row, c), lost.u_mm, edge.own_light_mm(row, c));
      }
    }
  double sum = 0;
  for (const auto& cut : cuts) sum += cut.u_mm * cut.u_mm;
  relief.shared_u_mm = std::hypot(std::sqrt(sum / static_cast<double>(cuts.size())), o.cuts.drawing_mm / 2);
  return relief;
}

}  // namespace vision::relief
