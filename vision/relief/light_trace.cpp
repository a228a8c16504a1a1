#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/relief/light_ribbon.h"
#include "vision/statistics/around.h"
#include "vision/statistics/quantile.h"

namespace vision::relief {
namespace {

cv::Vec2f MedianColour(const std::vector<cv::Vec2f>& colours) {
  cv::Vec2f middle;
  for (int k = 0; k < 2; ++k) {
    std::vector<float> v;
    for (const auto& c : colours) v.push_back(c[k]);
    middle[k] = statistics::QuantileInPlace(v, 0.5);
  }
  return middle;
}

struct Edges {
  double inner = NAN, outer = NAN;  ///< Rows; NaN where lost.
  bool by_own_light = false;
  bool both() const { return std::isfinite(inner) && std::isfinite(outer); }
  double width() const { return outer - inner; }
};

/// What lies beyond the stripe on one side: its usual light, and how far the brighter part of it stands over that.
struct Ground {
  float light = NAN, uneven = NAN;  ///< NaN where too little is seen.
};

struct Tracer {
  const Ribbon& ribbon;
  const Ribbon& of_its_colour;  ///< The same, weighed by colour: which way the stripe runs; not where its edges lie.
  const StripeOptions& o;
  RimColour rim{};
  double width_rows = 0;  ///< Usual, between the edges; 0 = not known yet.
  float own_peak = 0;     ///< Usual, of the stripe's own light where that is not blown out.
  int Rows(double px) const { return static_cast<int>(px / ribbon.px_per_row); }
  bool Inside(int row) const { return row >= 0 && row < ribbon.light.rows; }

  Ground Beyond(const cv::Mat1f& light, int column, int start, int direction, double within_px) const {
    std::vector<float> around;
    for (int k = Rows(within_px); k < Rows(within_px + 6); ++k) {
      const int row = start + direction * k;
      if (!Inside(row) || light(row, column) < 0) break;
      around.push_back(light(row, column));
    }
    if (around.size() < 5) return {};
    const float usual = statistics::QuantileInPlace(around, 0.4);
    return {usual, statistics::QuantileInPlace(around, o.trace.uneven_quantile) - usual};
  }

  /// From `start` outward to where the light falls through the level over that side's own surroundings.
  double Edge(const cv::Mat1f& light, int column, int start, int direction, float peak, double within_px) const {
    const auto [ground, uneven] = Beyond(light, column, start, direction, within_px);
    const float top = std::min(peak, o.trace.full_share);
    if (!(ground <= 0.5F * top)) return NAN;
    const bool its_own = &light == &ribbon.own;  // tells it without a rim
    if (its_own && !(top - ground > o.trace.stands_over * uneven)) return NAN;
    const float level = ground + static_cast<float>(o.trace.level_share) * (top - ground);
    for (int k = 1; k < Rows(within_px + 2); ++k) {
      const int row = start + direction * k;
      if (!Inside(row)) return NAN;
      const float here = light(row, column), before = light(row - direction, column);
      if (here > level) continue;
      const double at = row - direction * static_cast<double>((level - here) / std::max(1e-6F, before - here));
      return its_own || HasRim(column, at, direction) ? at : NAN;
    }
    return NAN;
  }

  bool HasRim(int column, double at, int direction) const {
    if (!rim.tells()) return true;
    double most = 0;
    for (int k = -Rows(0.5); k <= Rows(2); ++k) {
      const int row = static_cast<int>(at) + direction * k;
      if (Inside(row)) most = std::max(most, rim.Of(ribbon.colour(row, column)));
    }
    return most > 0.4 * rim.strength;
  }

  /// By luminance where the stripe stands alone; beside a bright bead by its own light, which codecs blur more.
  Edges EdgesAt(int column, int middle, double within_px) const {
    const auto peak_of = [&](const cv::Mat1f& light) {
      float peak = 0;
      for (int r = std::max(0, middle - 5); r <= std::min(light.rows - 1, middle + 5); ++r)
        peak = std::max(peak, light(r, column));
      return peak;
    };
    const float peak = peak_of(ribbon.light), top = std::min(peak, o.trace.full_share);
    const float inside = Beyond(ribbon.light, column, middle, -1, within_px).light,
                outside = Beyond(ribbon.light, column, middle, 1, within_px).light;
    const bool alone =
        std::abs(inside - outside) < o.trace.alike_share * top && std::max(inside, outside) < o.trace.dark_share * top;
    const cv::Mat1f& light = alone || ribbon.own.empty() ? ribbon.light : ribbon.own;
    const float highest = &light == &ribbon.light ? peak : peak_of(light);
    const Edges e{Edge(light, column, middle, -1, highest, within_px),
                  Edge(light, column, middle, 1, highest, within_px), &light != &ribbon.light};
    return InGlare(column, middle, e) && !HasBothRims(column, e) ? Edges{} : e;
  }

  bool BlownOut(int column, int row) const { return ribbon.least(row, column) >= o.trace.full_share; }

  /// Does light without colour, more than a stripe is wide, touch the place? What is blown out there may hide the
  /// stripe.
  bool InGlare(int column, int middle, const Edges& e) const {
    if (width_rows <= 0 || ribbon.own.empty()) return false;  // without it a rim's colour must do (HasRim)
    const auto place = [&](double edge, double otherwise) {
      return static_cast<int>(std::isfinite(edge) ? edge : otherwise);
    };
    const int from = place(e.inner, middle - width_rows / 2) - Rows(o.trace.beside_glare_px),
              to = place(e.outer, middle + width_rows / 2) + Rows(o.trace.beside_glare_px);
    for (int row = std::max(0, from); row <= std::min(to, ribbon.light.rows - 1); ++row) {
      if (!BlownOut(column, row)) continue;
      int first = row, last = row;
      while (Inside(first - 1) && BlownOut(column, first - 1)) --first;
      while (Inside(last + 1) && BlownOut(column, last + 1)) ++last;
      if (last - first + 1 > o.trace.glare_share * width_rows) return true;
      row = last;
    }
    return false;
  }

  /// Of a band blown out in its middle: does it end in the stripe's own light on both sides?
  bool HasBothRims(int column, const Edges& e) const {
    if (!e.both()) return false;
    const auto rim_at = [&](double at, int direction) {
      float most = 0;
      for (int k = -Rows(o.trace.rim_before_px); k <= Rows(o.trace.rim_beyond_px); ++k) {
        const int row = static_cast<int>(at) + direction * k;
        if (Inside(row) && !BlownOut(column, row)) most = std::max(most, ribbon.own(row, column));
      }
      return most >= o.trace.rim_share * own_peak;
    };
    return rim_at(e.inner, -1) && rim_at(e.outer, 1);
  }

  void LearnRim(const std::vector<Edges>& edges);
  std::vector<double> Path() const;
};

void Tracer::LearnRim(const std::vector<Edges>& edges) {
  std::vector<cv::Vec2f> rims, walls;
  for (std::size_t i = 0; i < edges.size(); i += 3) {
    if (!edges[i].both()) continue;
    const int c = static_cast<int>(i);
    for (const int side : {-1, 1}) {
      const int row = static_cast<int>(side < 0 ? edges[i].inner : edges[i].outer);
      if (!Inside(row + side * Rows(8))) continue;
      rims.push_back(ribbon.colour(row + side * Rows(0.5), c));
      walls.push_back(ribbon.colour(row + side * Rows(8), c));
    }
  }
  if (rims.size() < 40) return;
  rim.wall = MedianColour(walls);
  const cv::Vec2f off = MedianColour(rims) - rim.wall;
  rim.strength = cv::norm(off);
  if (rim.strength > 0) rim.direction = off * (1 / rim.strength);
}

/// The closed path of the stripe's middle with the most edge on both sides half a width away (dynamic programming; a
/// highlight has no rim of the stripe's colour and counts little).
std::vector<double> Tracer::Path() const {
  const int rows = ribbon.light.rows, n = ribbon.light.cols, half = static_cast<int>(std::lround(width_rows / 2));
  const int px = Rows(1), margin = Rows(o.trace.beside_px - 2);
  const auto rise = [&](int row, int column, int direction) {
    const int in = row - direction * px, out = row + direction * px;
    const auto& light = of_its_colour.light;
    if (!Inside(in) || !Inside(out) || light(in, column) < 0 || light(out, column) < 0) return 0.F;
    const float step = std::clamp(light(in, column) - light(out, column), 0.F, 0.7F);
    return rim.tells() && !HasRim(column, row, direction) ? 0.25F * step : step;
  };
  const int turns = 2 * n;  // twice around, the second lap counts: the path closes on itself
  cv::Mat1f best(rows, 2, 0.F);
  cv::Mat1b from(rows, turns, uchar{0});
  for (int t = 0; t < turns; ++t) {
    const int column = t % n, now = t & 1, before = 1 - now;
    for (int row = margin; row < rows - margin; ++row) {
      float most = -1e9F;
      for (int k = -o.trace.slope_rows; k <= o.trace.slope_rows; ++k) {
        if (row + k < margin || row + k >= rows - margin) continue;
        const float value = best(row + k, before) - 0.02F * static_cast<float>(std::abs(k));
        if (value > most) most = value, from(row, t) = static_cast<uchar>(k + o.trace.slope_rows);
      }
      best(row, now) = most + rise(row - half, column, -1) + rise(row + half, column, 1);
    }
  }
  int row = margin;
  for (int r = margin; r < rows - margin; ++r)
    if (best(r, (turns - 1) & 1) > best(row, (turns - 1) & 1)) row = r;
  std::vector<double> path(static_cast<std::size_t>(n), NAN);
  for (int t = turns - 1; t >= n / 2; --t) {
    if (t < n / 2 + n) path[static_cast<std::size_t>(t % n)] = row;
    row += from(row, t) - o.trace.slope_rows;
  }
  return path;
}

/// The two edges of one column, each only where it lies about where the path and the usual width put it; or both, where
/// gloss made the band wider and it ends in the stripe's own light on either side of the path.
Edges Place(const Tracer& tracer, int column, int path, double width, const StripeTraceOptions& o) {
  const double px = 1 / tracer.ribbon.px_per_row;
  Edges e = tracer.EdgesAt(column, path, 0.5 * width / px + 2.5);
  if (!(std::abs(e.inner - (path - width / 2)) < o.stray_px * px)) e.inner = NAN;
  if (!(std::abs(e.outer - (path + width / 2)) < o.stray_px * px)) e.outer = NAN;
  if (std::isfinite(e.inner) || std::isfinite(e.outer)) return e;
  const Edges wide = tracer.EdgesAt(column, path, o.widest_share * width / px / 2 + 2.5);
  const bool around = wide.inner < path && wide.outer > path && wide.width() < o.widest_share * width;
  return around && !tracer.ribbon.own.empty() && tracer.HasBothRims(column, wide) ? wide : e;
}

/// Where one band stands alone, both its edges; NaN elsewhere.
std::vector<Edges> PlainEdges(const Tracer& tracer, const std::vector<double>& path) {
  std::vector<Edges> edges(path.size());
  for (std::size_t i = 0; i < path.size(); ++i)
    if (std::isfinite(path[i])) edges[i] = tracer.EdgesAt(static_cast<int>(i), static_cast<int>(path[i]), 6);
  return edges;
}

/// Median within `reach` columns; NaN where fewer than a quarter of them are known.
std::vector<double> MedianOfThose(const std::vector<double>& values, int reach) {
  return statistics::MedianAround(values, reach, (2 * reach + 4) / 4);
}

/// The own light evened a little around, where a codec leaves it rough; what is blown out in all colours may hold as
/// much of it as anything. @return Its usual peak where it is not blown out; 0 where it is not known.
float SettleOwn(Ribbon& ribbon, const StripeTraceOptions& o) {
  if (ribbon.own.empty()) return 0;
  const int reach = o.evened_columns, n = ribbon.own.cols;
  cv::Mat1b unseen;
  cv::compare(ribbon.own, 0, unseen, cv::CMP_LT);
  cv::Mat1f own;
  cv::copyMakeBorder(cv::max(ribbon.own, 0.F), own, 0, 0, reach, reach, cv::BORDER_WRAP);
  cv::blur(own, own, {2 * reach + 1, 1});
  ribbon.own = own.colRange(reach, reach + n).clone();
  std::vector<float> peaks;
  for (int column = 0; column < n; ++column) {
    float peak = 0;
    for (int row = 0; row < ribbon.own.rows; ++row)
      if (ribbon.least(row, column) < o.full_share) peak = std::max(peak, ribbon.own(row, column));
    peaks.push_back(peak);
  }
  ribbon.own.setTo(1, ribbon.least >= o.full_share);
  ribbon.own.setTo(-1, unseen);
  return statistics::QuantileInPlace(peaks, 0.5);
}

std::vector<double> Widths(const std::vector<Edges>& edges) {
  std::vector<double> widths;
  for (const auto& e : edges) widths.push_back(e.both() ? e.width() : NAN);
  return widths;
}

}  // namespace

Stripe TraceStripe(const Ribbon& seen, double circle_radius, const StripeOptions& o) {
  const int n = seen.light.cols;
  Ribbon ribbon = seen;
  const float own_peak = SettleOwn(ribbon, o.trace);
  Ribbon weighed = ribbon;
  weighed.light = ribbon.own.empty() ? ribbon.light.clone() : ribbon.own.clone();
  WeighByColour(weighed, o.trace);
  Tracer tracer{ribbon, weighed, o};
  tracer.own_peak = own_peak;
  if (std::isfinite(o.usual_width)) tracer.width_rows = o.usual_width / ribbon.step;
  const int beside = tracer.Rows(o.trace.beside_px - 2);
  const auto contrast = static_cast<float>(std::pow(o.least_contrast / 255.0, 2.2));
  std::vector<double> bands(static_cast<std::size_t>(n), NAN);
  for (int c = 0; c < n; ++c) {
    const auto band = NarrowestBand(weighed, c, beside, ribbon.light.rows - beside, 7);
    if (band.row >= 0 && band.response > contrast) bands[static_cast<std::size_t>(c)] = band.row;
  }
  auto edges = PlainEdges(tracer, MedianOfThose(bands, n / 60));
  if (o.rim)
    tracer.rim = *o.rim;
  else
    tracer.LearnRim(edges);
  auto first_width = MedianOfThose(Widths(edges), n);
  if (std::isfinite(o.usual_width)) first_width.assign(first_width.size(), o.usual_width / ribbon.step);
  Stripe stripe;
  stripe.centre = ribbon.centre;
  stripe.radius = circle_radius;
  if (!std::isfinite(first_width.front())) return stripe;
  stripe.width = first_width.front() * ribbon.step;
  tracer.width_rows = first_width.front();
  stripe.rim = tracer.rim;
  const auto path = tracer.Path();
  const auto usual_width = MedianOfThose(Widths(PlainEdges(tracer, path)), n / 24);
  stripe.mm_per_px = ribbon.step * o.radius_mm / circle_radius / ribbon.px_per_row;
  int inside = 0, found = 0;
  for (int c = 0; c < n; ++c) {
    const auto i = static_cast<std::size_t>(c);
    inside += ribbon.light(ribbon.light.rows / 2, c) >= 0;
    const double width = std::isfinite(usual_width[i]) ? usual_width[i] : first_width.front();
    const Edges e = Place(tracer, c, static_cast<int>(path[i]), width, o.trace);
    StripePoint point;
    point.by_own_light = e.by_own_light;
    if (std::isfinite(e.inner)) point.inner = ribbon.SlopeOf(c, e.inner);
    if (std::isfinite(e.outer)) point.outer = ribbon.SlopeOf(c, e.outer);
    found += point.has_inner() || point.has_outer();
    stripe.points.push_back(point);
  }
  stripe.found_share = inside > 0 ? static_cast<double>(found) / inside : 0;
  return stripe;
}

}  // namespace vision::relief
