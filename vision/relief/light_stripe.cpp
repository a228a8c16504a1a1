#include "vision/relief/light_stripe.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "vision/base/median.h"
#include "vision/bore/angle.h"
#include "vision/relief/light_ribbon.h"

namespace vision::relief {
namespace {

using Circle = StripeCircle;

/// Algebraic circle through points (Kasa 1976), weighted.
Circle FitCircle(const std::vector<Eigen::Vector2d>& points, const std::vector<double>& weights) {
  Eigen::Matrix3d normal = Eigen::Matrix3d::Zero();
  Eigen::Vector3d right = Eigen::Vector3d::Zero();
  for (std::size_t i = 0; i < points.size(); ++i) {
    const Eigen::Vector3d row(2 * points[i].x(), 2 * points[i].y(), 1);
    normal += weights[i] * row * row.transpose();
    right += weights[i] * points[i].squaredNorm() * row;
  }
  const Eigen::Vector3d c = normal.ldlt().solve(right);
  return {c.head<2>(), std::sqrt(std::max(0.0, c.z() + c.head<2>().squaredNorm()))};
}

/// The circle most candidates agree on: three of them at a time in a fixed order, then weighted again.
/// @param least, most Of its radius.   @param fewest That must agree.
/// @param expected Of its radius: the nearer the more a circle counts, down to nothing at least and most; NaN = not
/// known.
std::optional<Circle> AgreedCircle(const std::vector<Eigen::Vector2d>& points, double tolerance, double least,
                                   double most, double expected, std::size_t fewest, const StripeTraceOptions& o) {
  const std::size_t n = points.size();
  if (n < 24) return std::nullopt;
  Circle best;
  double most_counted = 0, most_agree = 0;
  for (std::size_t trial = 0; trial < o.trials; ++trial) {
    const std::size_t a = (trial * 7919) % n, b = (a + n / 3 + trial % (n / 8)) % n,
                      c = (a + 2 * n / 3 - (trial * 31) % (n / 8)) % n;
    const Circle circle = FitCircle({points[a], points[b], points[c]}, {1, 1, 1});
    if (!(circle.radius > least && circle.radius < most)) continue;
    double agree = 0;
    for (const auto& p : points) agree += std::abs((p - circle.centre).norm() - circle.radius) < tolerance;
    const double near = std::isfinite(expected) ? 1 - std::abs(circle.radius - expected) / (most - expected) : 1;
    if (agree * near > most_counted) most_counted = agree * near, most_agree = agree, best = circle;
  }
  if (most_agree < static_cast<double>(fewest)) return std::nullopt;
  const double settled = std::isfinite(expected) ? tolerance / 3 : tolerance;  // a bead beside it must not draw it over
  for (int round = 0; round < 10; ++round) {
    std::vector<double> weights;
    for (const auto& p : points) {
      const double off = ((p - best.centre).norm() - best.radius) / settled;
      weights.push_back(1 / std::pow(1 + off * off, 2));
    }
    best = FitCircle(points, weights);
  }
  return best;
}

/// The circle through the narrow bright bands of all directions. Of a known radius, it may be the second or third
/// brightest: a glossy bead is a narrow bright ring too.
std::optional<Circle> RingOf(const Ribbon& ribbon, const StripeOptions& o, double least, double most) {
  std::vector<Eigen::Vector2d> points;
  const bool known = std::isfinite(o.expected_slope);
  const auto contrast = std::max(0.1F, static_cast<float>(std::pow(o.least_contrast / 255.0, 2.2)));
  std::size_t columns = 0;
  for (int column = 0; column < ribbon.light.cols; ++column) {
    const auto bands = BrightBands(ribbon, column, 0, ribbon.light.rows, 9, known ? o.trace.bands_tried : 1);
    columns += !bands.empty() && bands.front().response > contrast;
    for (const auto& band : bands)
      if (band.response > contrast) points.push_back(ribbon.SlopeOf(column, band.row));
  }
  if (columns < 120) return std::nullopt;
  const double tolerance = 3.0 / o.radius_mm * (known ? o.expected_slope : 1.0);
  if (!known) return AgreedCircle(points, tolerance, least * 0.8, most * 1.1, NAN, points.size() / 4, o.trace);
  const double share = o.trace.radius_share + o.trace.off_the_bore_mm / o.radius_mm;
  return AgreedCircle(points, tolerance, o.expected_slope * (1 - share), o.expected_slope * (1 + share),
                      o.expected_slope, columns / 4, o.trace);
}

std::optional<Circle> RoughRing(const LightParts& parts, const camera::Lens& lens, const cv::Mat1b& mask,
                                const StripeOptions& o) {
  const double widest = std::tan(std::min(lens.max_angle_deg - 2, 80.0) * bore::kRadPerDeg);
  double least = 0.25, most = widest;
  if (std::isfinite(o.expected_slope)) {
    least = o.expected_slope * (1 - o.max_offset_share);
    most = std::min(widest, o.expected_slope * (1 + o.max_offset_share));
  }
  const Ribbon ribbon = RibbonAround(parts, lens, mask, {0, 0}, least, most, 360, 0.5);
  Ribbon weighed = ribbon;
  if (!ribbon.own.empty()) {
    weighed.light = ribbon.own;
    if (const auto ring = RingOf(weighed, o, least, most)) return ring;
  }
  weighed.light = ribbon.light.clone();
  WeighByColour(weighed, o.trace);
  if (const auto ring = RingOf(weighed, o, least, most)) return ring;
  weighed.light = ribbon.light.clone();  // a bead close by outshines the stripe: its colour alone may tell it
  return ColourForLight(weighed, o.trace) ? RingOf(weighed, o, least, most) : std::nullopt;
}

bool Near(const Circle& a, const Circle& b, double share) {
  return (a.centre - b.centre).norm() < share * b.radius && std::abs(a.radius / b.radius - 1) < share;
}

/// Value at each of 0 .. count - 1 on the line through (x, y) of middle slope.
std::vector<double> MiddleLine(const std::vector<double>& x, const std::vector<double>& y, std::size_t count) {
  std::vector<double> slopes, levels;
  for (std::size_t i = 0; i < x.size(); ++i)
    for (std::size_t k = i + 1; k < x.size(); ++k) slopes.push_back((y[k] - y[i]) / (x[k] - x[i]));
  const double slope = Median(slopes);
  for (std::size_t i = 0; i < x.size(); ++i) levels.push_back(y[i] - slope * x[i]);
  const double level = Median(levels);
  std::vector<double> line;
  for (std::size_t i = 0; i < count; ++i) line.push_back(level + slope * static_cast<double>(i));
  return line;
}

}  // namespace

std::vector<std::optional<StripeCircle>> EvenCircles(const std::vector<std::optional<Stripe>>& found, double radius,
                                                     double same_share, std::size_t fewest) {
  std::vector<std::optional<StripeCircle>> even(found.size());
  std::vector<double> at, x, y;
  for (std::size_t i = 0; i < found.size(); ++i) {
    if (!found[i] || !(std::abs(found[i]->radius / radius - 1) < same_share)) continue;
    at.push_back(static_cast<double>(i));
    x.push_back(found[i]->centre.x()), y.push_back(found[i]->centre.y());
  }
  if (at.size() < fewest) return even;
  const auto along_x = MiddleLine(at, x, found.size()), along_y = MiddleLine(at, y, found.size());
  for (std::size_t i = 0; i < found.size(); ++i) even[i] = StripeCircle{{along_x[i], along_y[i]}, radius};
  return even;
}

Status StripeOptions::Check() const {
  if (auto broken = trace.Check()) return broken;
  if (!(radius_mm > 0)) return BadInput("StripeOptions::radius_mm must be > 0 mm.");
  if (!(reach_mm > 0)) return BadInput("StripeOptions::reach_mm must be > 0 mm.");
  if (!(max_offset_share > 0 && max_offset_share <= 0.8))
    return BadInput("StripeOptions::max_offset_share must be above 0 and at most 0.8.");
  if (columns < 360) return BadInput("StripeOptions::columns must be 360 or more.");
  if (usual_width <= 0)  // not told: NaN, which passes
    return BadInput("StripeOptions::usual_width must be > 0 where it is told.");
  if (least_contrast < 5 || least_contrast > 200)
    return BadInput("StripeOptions::least_contrast must be 5 to 200 grey levels.");
  return std::nullopt;
}

std::optional<Stripe> FindStripe(const cv::Mat3b& frame, const camera::Lens& lens, const cv::Mat1b& mask,
                                 const StripeOptions& options) {
  if (options.Check()) return std::nullopt;
  const LightParts light = PartsOf(frame, options.unmix, options.by_brightest);
  auto circle = RoughRing(light, lens, mask, options);
  if (options.known && (!circle || !Near(*circle, *options.known, options.trace.astray_share))) circle = options.known;
  if (!circle) return std::nullopt;
  const double reach = circle->radius * options.reach_mm / options.radius_mm +
                       options.trace.beside_px / PxPerSlope(lens, circle->radius);
  const Ribbon ribbon = RibbonAround(light, lens, mask, circle->centre, circle->radius - reach, circle->radius + reach,
                                     options.columns, 0.2);
  Stripe stripe = TraceStripe(ribbon, circle->radius, options);
  if (stripe.points.empty() || (!options.known && stripe.found_share < 1.0 / 3)) return std::nullopt;
  return stripe;
}

}  // namespace vision::relief
