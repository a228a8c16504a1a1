#include "vision/pose/sphere_chart.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <limits>
#include <opencv2/imgproc.hpp>

#include "vision/bore/angle.h"

namespace vision::pose {
namespace {

constexpr float kUnseen = std::numeric_limits<float>::quiet_NaN();
constexpr int kTogether = 64;  ///< Sights whose cells are asked for at once.
constexpr int kMapStep = 8;    ///< Chart px between places where the lens is asked; between them the map is linear.

/// Extent of the picture on the chart of scale 1.
struct Extent {
  double left = 0, right = 0, top = 0, bottom = 0;
  void Add(double x, double y) {
    left = std::min(left, x), right = std::max(right, x);
    top = std::min(top, y), bottom = std::max(bottom, y);
  }
};

Extent ExtentOf(const camera::Lens& lens) {
  Extent extent;
  const double w = lens.width_px - 1, h = lens.height_px - 1;
  for (int i = 0; i <= 32; ++i)
    for (const Eigen::Vector2d& pixel : {Eigen::Vector2d(w * i / 32, 0), Eigen::Vector2d(w * i / 32, h),
                                         Eigen::Vector2d(0, h * i / 32), Eigen::Vector2d(w, h * i / 32)})
      if (const auto ray = lens.Ray(pixel); ray && ray->z() > -0.6)
        extent.Add(ray->x() / (1 + ray->z()), ray->y() / (1 + ray->z()));
  const double edge = std::min(lens.max_angle_deg, 120.0) * bore::kRadPerDeg;
  for (int i = 0; i < 64; ++i) {
    const double azimuth = 2 * std::numbers::pi * i / 64;
    const Eigen::Vector3d sight(std::cos(azimuth) * std::sin(edge * 0.999), std::sin(azimuth) * std::sin(edge * 0.999),
                                std::cos(edge * 0.999));
    const auto pixel = lens.Project(sight);
    if (pixel && pixel->x() >= 0 && pixel->y() >= 0 && pixel->x() <= w && pixel->y() <= h)
      extent.Add(sight.x() / (1 + sight.z()), sight.y() / (1 + sight.z()));
  }
  return extent;
}

/// Luminance and tint as logarithms.
void Logarithms(const cv::Mat3b& picture, const ChartOptions& options, cv::Mat1f* light, cv::Mat1f* tint) {
  cv::Mat1f weighted;
  cv::Mat values;
  picture.convertTo(values, CV_32F);
  cv::transform(values, weighted, cv::Matx13f(0.1F, 0.6F, 0.3F));
  cv::log(weighted + options.dark_level, *light);
  std::vector<cv::Mat1f> bgr;
  cv::split(values, bgr);
  cv::log((bgr[2] + options.tint_level) / (bgr[0] + options.tint_level), *tint);
}

Eigen::Vector3d SightAt(double px, double py) {
  const double r2 = px * px + py * py;
  return Eigen::Vector3d(2 * px, 2 * py, 1 - r2) / (1 + r2);
}

/// Where each chart cell lies in the (shrunk) picture; far outside where the lens has none.
cv::Mat2f MapOf(const SphereChart& chart, const camera::Lens& lens, double shrink, cv::Size size) {
  camera::Lens wider = lens;  // so that cells beside the circle's edge still interpolate between places that exist
  wider.max_angle_deg = std::min(lens.max_angle_deg + 4, lens.model == camera::LensModel::kPinhole ? 89.9 : 179.0);
  const cv::Size coarse((size.width + kMapStep - 1) / kMapStep, (size.height + kMapStep - 1) / kMapStep);
  cv::Mat2f map(coarse);
  for (int i = 0; i < coarse.height; ++i)
    for (int j = 0; j < coarse.width; ++j) {
      const double u = kMapStep * (j + 0.5) - 0.5, v = kMapStep * (i + 0.5) - 0.5;
      const auto pixel =
          wider.Project(SightAt((u - chart.centre_x) / chart.scale_px, (v - chart.centre_y) / chart.scale_px));
      map(i, j) = pixel ? cv::Vec2f(static_cast<float>((pixel->x() + 0.5) * shrink - 0.5),
                                    static_cast<float>((pixel->y() + 0.5) * shrink - 0.5))
                        : cv::Vec2f(-1e4F, -1e4F);
    }
  cv::Mat2f fine;
  cv::resize(map, fine, coarse * kMapStep, 0, 0, cv::INTER_LINEAR);
  return fine(cv::Rect(0, 0, size.width, size.height)).clone();
}

void HideUnseen(const cv::Mat2f& map, const cv::Size& picture, const camera::Lens& lens, const cv::Mat1b& mask,
                double shrink, const ChartOptions& options, SphereChart* chart) {
  const double seen = std::tan(0.5 * (lens.max_angle_deg - options.rim_deg) * bore::kRadPerDeg) * chart->scale_px;
  cv::Mat1b hidden;
  if (!mask.empty()) cv::dilate(mask, hidden, cv::Mat1b::ones(2 * options.rim_px + 1, 2 * options.rim_px + 1));
  const auto rim = static_cast<float>(options.rim_px);
  for (int i = 0; i < map.rows; ++i)
    for (int j = 0; j < map.cols; ++j) {
      const cv::Vec2f& at = map(i, j);
      bool in = at[0] >= rim && at[1] >= rim && at[0] <= static_cast<float>(picture.width - 1) - rim &&
                at[1] <= static_cast<float>(picture.height - 1) - rim &&
                std::hypot(static_cast<float>(j) - chart->centre_x, static_cast<float>(i) - chart->centre_y) < seen;
      if (in && !hidden.empty())
        in = hidden(std::clamp(static_cast<int>(at[1] / shrink), 0, hidden.rows - 1),
                    std::clamp(static_cast<int>(at[0] / shrink), 0, hidden.cols - 1)) == 0;
      if (!in) chart->light(i, j) = kUnseen;
    }
}

}  // namespace

double PxPerRad(const camera::Lens& lens) {
  const double px_per_rad = 0.5 * (lens.fx_px + lens.fy_px);
  return lens.model == camera::LensModel::kOmni ? px_per_rad / (1 + lens.xi) : px_per_rad;
}

SphereChart LayOnSphere(const cv::Mat3b& picture, const camera::Lens& lens, const cv::Mat1b& mask, double shrink,
                        const ChartOptions& options) {
  cv::Mat3b small = picture;
  if (shrink < 1) {
    small = cv::Mat3b();
    cv::resize(picture, small, {}, shrink, shrink, cv::INTER_AREA);
    shrink = static_cast<double>(small.cols) / picture.cols;
  }
  cv::Mat1f light, tint;
  Logarithms(small, options, &light, &tint);
  SphereChart chart;
  chart.px_per_rad = PxPerRad(lens) * shrink;
  chart.scale_px = static_cast<float>(2 * chart.px_per_rad);
  const Extent extent = ExtentOf(lens);
  chart.centre_x = static_cast<float>(2 - extent.left * chart.scale_px);
  chart.centre_y = static_cast<float>(2 - extent.top * chart.scale_px);
  const cv::Size size(static_cast<int>((extent.right - extent.left) * chart.scale_px) + 5,
                      static_cast<int>((extent.bottom - extent.top) * chart.scale_px) + 5);
  const cv::Mat2f map = MapOf(chart, lens, shrink, size);
  cv::remap(light, chart.light, map, cv::noArray(), cv::INTER_CUBIC, cv::BORDER_REPLICATE);
  cv::remap(tint, chart.tint, map, cv::noArray(), cv::INTER_LINEAR, cv::BORDER_REPLICATE);
  HideUnseen(map, small.size(), lens, mask, shrink, options, &chart);
  return chart;
}

AxisBasis::AxisBasis(const Eigen::Vector2d& lean) {
  const Eigen::Vector3d a(lean.x(), lean.y(), std::sqrt(std::max(1e-6, 1 - lean.squaredNorm())));
  const Eigen::Vector3d first = (Eigen::Vector3d::UnitX() - a.x() * a).normalized();
  axis = a.cast<float>();
  e1 = first.cast<float>();
  e2 = Eigen::Vector3d(a.y() * first.z() - a.z() * first.y(), a.z() * first.x() - a.x() * first.z(),
                       a.x() * first.y() - a.y() * first.x())
           .cast<float>();
}

namespace {

/// As many sights as are asked for at once, at most; not on the heap.
using Few = Eigen::Array<float, Eigen::Dynamic, 1, Eigen::ColMajor, kTogether, 1>;

/// Where a sight lies among the four cells round it; `cell` < 0 outside.
struct Between {
  std::ptrdiff_t cell;
  float right, down;
};

float Mixed(const float* top, std::ptrdiff_t row, const Between& at) {
  const float* low = top + row;
  const float above = top[0] + at.right * (top[1] - top[0]), below = low[0] + at.right * (low[1] - low[0]);
  return above + at.down * (below - above);
}

/// Asks for what will be read soon: sights run across the chart's rows, so nearly each begins a line of the cache.
void Fetch(const float* top, std::ptrdiff_t row) {
  __builtin_prefetch(top);
  __builtin_prefetch(top + row);
}

}  // namespace

void SampleSights(const SphereChart& chart, const Eigen::ArrayXf& x, const Eigen::ArrayXf& y, const Eigen::ArrayXf& z,
                  float* light, float* tint) {
  const auto right = static_cast<float>(chart.light.cols - 1), bottom = static_cast<float>(chart.light.rows - 1);
  const auto row = static_cast<std::ptrdiff_t>(chart.light.step1());
  assert(!tint || chart.tint.step1() == chart.light.step1());
  const float *lights = chart.light[0], *tints = tint ? chart.tint[0] : nullptr;
  std::array<Between, kTogether> places;
  for (Eigen::Index first = 0; first < x.size(); first += kTogether) {
    const Eigen::Index some = std::min<Eigen::Index>(kTogether, x.size() - first);
    const auto px = x.segment(first, some), py = y.segment(first, some), pz = z.segment(first, some);
    const Few factor = chart.scale_px / ((px.square() + py.square() + pz.square()).sqrt() + pz).max(1e-6F);
    const Few u = px * factor + chart.centre_x, v = py * factor + chart.centre_y;
    const auto count = static_cast<std::size_t>(some);
    for (std::size_t n = 0; n < count; ++n) {
      const auto k = static_cast<Eigen::Index>(n);
      places[n].cell = -1;
      if (!(u[k] >= 0 && v[k] >= 0 && u[k] < right && v[k] < bottom)) continue;
      const int j = static_cast<int>(u[k]), i = static_cast<int>(v[k]);
      places[n] = {i * row + j, u[k] - static_cast<float>(j), v[k] - static_cast<float>(i)};
      Fetch(lights + places[n].cell, row);
      if (tint) Fetch(tints + places[n].cell, row);
    }
    for (std::size_t n = 0; n < count; ++n) {
      const Between& at = places[n];
      const Eigen::Index k = first + static_cast<Eigen::Index>(n);
      light[k] = at.cell < 0 ? kUnseen : Mixed(lights + at.cell, row, at);
      if (tint && at.cell >= 0) tint[k] = Mixed(tints + at.cell, row, at);
    }
  }
}

RingAzimuths::RingAzimuths(int columns) : cosine(columns), sine(columns) {
  for (int j = 0; j < columns; ++j) {
    const double azimuth = 2 * std::numbers::pi * (j + 0.5) / columns;
    cosine[j] = static_cast<float>(std::cos(azimuth)), sine[j] = static_cast<float>(std::sin(azimuth));
  }
}

WallSights::WallSights(const WallView& view, const AxisBasis& basis, const Eigen::Vector2d& offset,
                       const RingAzimuths& ring)
    : chart_(view.chart), axis_(view.cam_from_search * basis.axis) {
  const Eigen::Matrix3f& turn = view.cam_from_search;
  const Eigen::Vector3f e1 = turn * basis.e1, e2 = turn * basis.e2;
  const Eigen::Vector3f from =
      -static_cast<float>(offset.x()) * e1 - static_cast<float>(offset.y()) * e2 - turn * view.centre;
  x_ = ring.cosine * e1.x() + ring.sine * e2.x() + from.x();
  y_ = ring.cosine * e1.y() + ring.sine * e2.y() + from.y();
  z_ = ring.cosine * e1.z() + ring.sine * e2.z() + from.z();
}

void WallSights::Sample(float along, float* light, float* tint) const {
  SampleSights(chart_, x_ + axis_.x() * along, y_ + axis_.y() * along, z_ + axis_.z() * along, light, tint);
}

}  // namespace vision::pose
