#include "vision/relief/travel_samples.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/base/median.h"
#include "vision/base/says.h"
#include "vision/bore/angle.h"

namespace vision::relief {
namespace {

/// IEC 61966-2-1, by code.
std::array<float, 256> LinearOfCode() {
  std::array<float, 256> linear{};
  for (int i = 0; i < 256; ++i) {
    const double v = i / 255.0;
    linear[static_cast<std::size_t>(i)] =
        static_cast<float>(v <= 0.04045 ? v / 12.92 : std::pow((v + 0.055) / 1.055, 2.4));
  }
  return linear;
}

/// Light and blown-out share at a place of the picture, bilinear; false outside.
bool Pick(const cv::Mat1f& light, const cv::Mat1f& blown, const Eigen::Vector2d& px, float* value, float* share,
          const TravelSampleOptions& o) {
  if (!(px.x() >= o.border_px && px.y() >= o.border_px && px.x() < light.cols - 1 - o.border_px &&
        px.y() < light.rows - 1 - o.border_px))
    return false;
  const int x = static_cast<int>(px.x()), y = static_cast<int>(px.y());
  const auto fx = static_cast<float>(px.x() - x), fy = static_cast<float>(px.y() - y);
  const auto mix = [&](const cv::Mat1f& m) {
    const float *a = m.ptr<float>(y) + x, *b = m.ptr<float>(y + 1) + x;
    return (1 - fy) * ((1 - fx) * a[0] + fx * a[1]) + fy * ((1 - fx) * b[0] + fx * b[1]);
  };
  *value = mix(light);
  *share = mix(blown);
  return true;
}

/// One line in one frame.
void SampleLine(const TravelFrame& frame, const cv::Mat1f& light, const cv::Mat1f& blown, double along,
                double radius_mm, double half_deg, LineSamples& line, std::size_t f, const TravelSampleOptions& o) {
  const auto& setting = *frame.setting;
  const int rays = std::max(0, static_cast<int>(std::lround(half_deg / o.within_line_deg)));
  for (std::size_t i = 0; i < line.along_mm.size(); ++i) {
    float sum = 0, share = 0;
    int count = 0;
    for (int k = -rays; k <= rays; ++k) {
      const double theta = line.theta_deg + k * o.within_line_deg;
      const auto at = bore::XyzFromBore({theta, along * line.along_mm[i], 0}, radius_mm);
      const auto px = setting.lens.Project(frame.pose.CamFromBore(at));
      float value = 0, clipped = 0;
      if (!px || !Pick(light, blown, *px, &value, &clipped, o)) continue;
      if (!setting.mask.empty() && setting.mask(cvRound(px->y()), cvRound(px->x())) != 0) continue;
      sum += value, share += clipped, ++count;
    }
    if (2 * count < 2 * rays + 1) continue;
    line.light[f][i] = sum / static_cast<float>(count);
    line.clipped[f][i] = share / static_cast<float>(count) > static_cast<float>(o.blown_share);
  }
}

/// Lines asked for with their places along the sight.
void LayOut(const std::vector<TravelLine>& lines, std::size_t frames, const TravelOptions& o, Samples& out) {
  double widest = 0;
  for (const auto& line : lines) widest = std::fmax(widest, line.toe_right_z - line.toe_left_z);
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const auto& line = lines[i];
    if (!(line.toe_right_z - line.toe_left_z > 1)) continue;
    const bool plus = out.along > 0;
    LineSamples own;
    own.theta_deg = line.theta_deg;
    own.toe_near = plus ? line.toe_left_z : -line.toe_right_z;
    own.toe_far = plus ? line.toe_right_z : -line.toe_left_z;
    own.toe_near_u = plus ? line.toe_left_u : line.toe_right_u;
    own.toe_far_u = plus ? line.toe_right_u : line.toe_left_u;
    own.wall_near = plus ? line.wall_left : line.wall_right;
    own.wall_far = plus ? line.wall_right : line.wall_left;
    for (double s = -o.before_mm; s < o.behind_mm + widest; s += o.sample_mm) own.along_mm.push_back(own.toe_near + s);
    own.light.assign(frames, std::vector<float>(own.along_mm.size(), std::numeric_limits<float>::quiet_NaN()));
    own.clipped.assign(frames, std::vector<unsigned char>(own.along_mm.size(), 0));
    out.lines.push_back(std::move(own));
    out.asked.push_back(i);
  }
}

/// Divides everything by its median.
bool Norm(Samples& out) {
  std::vector<float> all;
  for (const auto& line : out.lines)
    for (const auto& light : line.light)
      for (const float v : light)
        if (std::isfinite(v)) all.push_back(v);
  if (all.size() < 1000) return false;
  const float median = MedianInPlace(all);
  if (!(median > 0)) return false;
  for (auto& line : out.lines)
    for (auto& light : line.light)
      for (float& v : light) v /= median;
  return true;
}

/// Pixels per mm of wall along z, at the weld, where most lines see it.
double PxPerMm(const TravelFrame& frame, const Samples& samples) {
  std::vector<double> all;
  for (std::size_t i = 0; i < samples.lines.size(); i += 8) {
    const auto& line = samples.lines[i];
    const double s = 0.5 * (line.toe_near + line.toe_far);
    const auto at = [&](double z) {
      return frame.setting->lens.Project(
          frame.pose.CamFromBore(bore::XyzFromBore({line.theta_deg, samples.along * z, 0}, samples.radius_mm)));
    };
    const auto a = at(s - 0.5), b = at(s + 0.5);
    if (a && b) all.push_back((*a - *b).norm());
  }
  return all.empty() ? 0 : MedianInPlace(all);
}

}  // namespace

cv::Mat1f LinearLight(const cv::Mat3b& picture, cv::Mat1f* blown, const TravelSampleOptions& o) {
  static const std::array<float, 256> linear = LinearOfCode();
  cv::Mat1f light(picture.size());
  *blown = cv::Mat1f(picture.size());
  for (int y = 0; y < picture.rows; ++y)
    for (int x = 0; x < picture.cols; ++x) {
      const auto& px = picture(y, x);
      light(y, x) = 0.5F * (linear[px[1]] + linear[px[2]]);
      (*blown)(y, x) = std::max(px[1], px[2]) >= o.blown;
    }
  return light;
}

double LightAt(const std::vector<double>& along_mm, const std::vector<float>& light, double at_mm) {
  const double x = (at_mm - along_mm.front()) / (along_mm[1] - along_mm[0]);
  if (!(x >= 0 && x < static_cast<double>(light.size()) - 1)) return kNotMeasured;
  const auto i = static_cast<std::size_t>(x);
  const double t = x - static_cast<double>(i);
  return (1 - t) * static_cast<double>(light[i]) + t * static_cast<double>(light[i + 1]);
}

Result<Samples> SampleLines(const std::vector<TravelFrame>& frames, const bore::Bore& bore,
                            const std::vector<TravelLine>& lines, const TravelOptions& o, const JobContext& job) {
  Samples out;
  out.along = frames.front().pose.rotation(2, 2) > 0 ? 1 : -1;
  out.radius_mm = bore.radius_mm;
  LayOut(lines, frames.size(), o, out);
  if (out.lines.empty()) return NotFound(Says::kNoLineHasBothToes);
  for (std::size_t f = 0; f < frames.size(); ++f) {
    if (job.Cancelled()) return Cancelled();
    cv::Mat1f blown;
    const cv::Mat1f light = LinearLight(*frames[f].picture, &blown, o.sampling);
    cv::parallel_for_(cv::Range(0, static_cast<int>(out.lines.size())), [&](const cv::Range& range) {
      for (int i = range.start; i < range.end; ++i)
        SampleLine(frames[f], light, blown, out.along, bore.radius_mm, o.line_half_deg,
                   out.lines[static_cast<std::size_t>(i)], f, o.sampling);
    });
    out.poses.push_back(frames[f].pose);
    out.distance_mm.push_back(std::abs(frames[f].pose.translation_mm.z()));
    out.px_per_mm.push_back(PxPerMm(frames[f], out));
  }
  if (!Norm(out)) return NotFound(Says::kHardlySeen);
  return out;
}

}  // namespace vision::relief
