#include "vision/pose/weld_profile.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <opencv2/imgproc.hpp>

#include "vision/base/median.h"

namespace vision::pose {
namespace {

/// The wall laid flat, rows along the bore, columns round it, cameras side by side; NaN where not seen.
cv::Mat1f Strip(const std::vector<WallView>& views, const Eigen::Vector2d& lean, const Eigen::Vector2d& offset,
                double radius_mm, const WeldProfileOptions& options) {
  const int rows = std::max(8, static_cast<int>((options.to_share - options.from_share) * radius_mm / options.step_mm));
  const int n = options.columns;
  cv::Mat1f strip(rows, n * static_cast<int>(views.size()));
  Eigen::ArrayXf cosine(n), sine(n);
  for (int j = 0; j < n; ++j) {
    const double azimuth = 2 * std::numbers::pi * (j + 0.5) / n;
    cosine[j] = static_cast<float>(std::cos(azimuth)), sine[j] = static_cast<float>(std::sin(azimuth));
  }
  const AxisBasis basis(lean);
  for (std::size_t v = 0; v < views.size(); ++v) {
    const Eigen::Matrix3f& turn = views[v].cam_from_search;
    const Eigen::Vector3f a = turn * basis.axis, e1 = turn * basis.e1, e2 = turn * basis.e2;
    const Eigen::Vector3f from =
        -static_cast<float>(offset.x()) * e1 - static_cast<float>(offset.y()) * e2 - turn * views[v].centre;
    const Eigen::ArrayXf x = cosine * e1.x() + sine * e2.x() + from.x(), y = cosine * e1.y() + sine * e2.y() + from.y(),
                         z = cosine * e1.z() + sine * e2.z() + from.z();
    for (int i = 0; i < rows; ++i) {
      const auto along = static_cast<float>(options.from_share + i * options.step_mm / radius_mm);
      SampleSights(views[v].chart, x + a.x() * along, y + a.y() * along, z + a.z() * along,
                   strip[i] + static_cast<std::ptrdiff_t>(v) * n, nullptr);
    }
  }
  return strip;
}

/// What all azimuths say together at each row.
struct Profile {
  std::vector<double> level, texture, rise;
  std::vector<char> seen;
};

float MedianOf(std::vector<float>& values) {
  return values.empty() ? std::numeric_limits<float>::quiet_NaN() : MedianInPlace(values);
}

/// Fills what was not seen with the row's median. @return Which rows are seen over enough of the circle.
std::vector<char> Fill(const WeldProfileOptions& options, cv::Mat1f* strip) {
  std::vector<char> seen(static_cast<std::size_t>(strip->rows));
  std::vector<float> values;
  float last = 0;
  for (int i = 0; i < strip->rows; ++i) {
    values.clear();
    for (const float value : strip->row(i))
      if (value == value) values.push_back(value);
    seen[static_cast<std::size_t>(i)] = static_cast<double>(values.size()) > options.seen_share * options.columns;
    if (seen[static_cast<std::size_t>(i)]) last = MedianOf(values);
    for (float& value : strip->row(i))
      if (!(value == value)) value = last;
  }
  return seen;
}

/// Median size of what is finer than a few columns.
std::vector<double> TextureOf(const cv::Mat1f& strip, const cv::Mat1b& valid) {
  cv::Mat1f smooth;
  cv::GaussianBlur(strip, smooth, {11, 1}, 1.5, 1e-3, cv::BORDER_REPLICATE);
  std::vector<double> texture(static_cast<std::size_t>(strip.rows));
  std::vector<float> values;
  for (int i = 0; i < strip.rows; ++i) {
    values.clear();
    for (int j = 0; j < strip.cols; ++j)
      if (valid(i, j)) values.push_back(std::abs(strip(i, j) - smooth(i, j)));
    texture[static_cast<std::size_t>(i)] = values.empty() ? 0 : static_cast<double>(MedianOf(values));
  }
  return texture;
}

/// Level along the bore, its trend taken out, put together from steps row to row of the azimuths seen in both: where
/// the picture's edge lets azimuths in or out there is no step.
std::vector<double> LevelOf(const cv::Mat1f& strip, const cv::Mat1b& valid, const WeldProfileOptions& options) {
  std::vector<double> level(static_cast<std::size_t>(strip.rows), 0.0);
  std::vector<float> steps;
  for (int i = 1; i < strip.rows; ++i) {
    steps.clear();
    for (int j = 0; j < strip.cols; ++j)
      if (valid(i, j) && valid(i - 1, j)) steps.push_back(strip(i, j) - strip(i - 1, j));
    double step = 0;
    if (static_cast<double>(steps.size()) > 0.2 * options.columns) {
      const double median = static_cast<double>(MedianOf(steps)), clip = 0.15;
      for (const float value : steps) step += median + std::clamp(static_cast<double>(value) - median, -clip, clip);
      step /= static_cast<double>(steps.size());
    }
    level[static_cast<std::size_t>(i)] = level[static_cast<std::size_t>(i - 1)] + step;
  }
  const int trend = static_cast<int>(options.trend_mm / options.step_mm) | 1;
  const cv::Mat1d line(strip.rows, 1, level.data());
  cv::Mat1d slow;
  cv::blur(line, slow, {1, trend}, {-1, -1}, cv::BORDER_REFLECT);
  for (int i = 0; i < strip.rows; ++i) level[static_cast<std::size_t>(i)] -= slow(i);
  return level;
}

Profile ProfileOf(cv::Mat1f strip, const WeldProfileOptions& options) {
  Profile profile;
  const cv::Mat1b valid(strip == strip);
  profile.seen = Fill(options, &strip);
  cv::Mat1f smooth;
  profile.level = LevelOf(strip, valid, options);
  profile.texture = TextureOf(strip, valid);
  cv::GaussianBlur(strip, smooth, {0, 0}, 3, std::max(1.5, 0.6 / options.step_mm), cv::BORDER_REFLECT);
  const int rows = strip.rows;
  const auto clip = static_cast<float>(options.rise_clip * options.step_mm / 0.25);
  const int rim = static_cast<int>(1.5 / options.step_mm);
  profile.rise.assign(static_cast<std::size_t>(rows), 0.0);
  auto seen = profile.seen;
  for (int i = 1; i + 1 < rows; ++i) {
    bool inside = true;
    for (int k = std::max(0, i - rim); k <= std::min(rows - 1, i + rim); ++k)
      inside = inside && profile.seen[static_cast<std::size_t>(k)];
    seen[static_cast<std::size_t>(i)] = inside;
    if (!inside) continue;
    double sum = 0;
    for (int j = 0; j < strip.cols; ++j)
      if (valid(i, j))
        sum += static_cast<double>(std::clamp(0.5F * (smooth(i + 1, j) - smooth(i - 1, j)), -clip, clip));
    profile.rise[static_cast<std::size_t>(i)] = sum / strip.cols;
  }
  profile.seen = seen;
  return profile;
}

std::vector<double> Smoothed(const std::vector<double>& values, double sigma) {
  const cv::Mat1d line(static_cast<int>(values.size()), 1, const_cast<double*>(values.data()));
  cv::Mat1d smooth;
  cv::GaussianBlur(line, smooth, {1, 0}, 1e-3, sigma, cv::BORDER_REFLECT);
  return {smooth.begin(), smooth.end()};
}

double Mean(const std::vector<double>& values, int from, int to) {
  double sum = 0;
  int count = 0;
  for (int i = std::max(0, from); i < std::min(static_cast<int>(values.size()), to); ++i)
    sum += values[static_cast<std::size_t>(i)], ++count;
  return count ? sum / count : 0;
}

bool Peak(const std::vector<double>& v, int i) {
  const auto k = static_cast<std::size_t>(i);
  return v[k] >= v[k - 1] && v[k] > v[k + 1];
}

/// The near toe at row k as a weld: how its crest stands over both sides, and where its far toe is.
WeldSeen WeldAt(const Profile& profile, const std::vector<double>& level, int k, double radius_mm,
                const WeldProfileOptions& o) {
  const auto rows = [&o](double mm) { return static_cast<int>(mm / o.step_mm); };
  const auto at = [&level](int i) { return level.begin() + std::clamp(i, 0, static_cast<int>(level.size())); };
  const double crest = *std::max_element(at(k), at(k + rows(o.crest_mm))),
               before = *std::min_element(at(k - rows(o.before_mm)), at(k + 1)),
               after = *std::min_element(at(k + rows(o.after_from_mm)), at(k + rows(o.after_to_mm)));
  WeldSeen weld;
  weld.strength = std::min(crest - before, crest - after) + 0.5 * std::max(0.0, std::min(before, crest) - after);
  const double beside =
      0.5 * (Mean(profile.texture, k - rows(10), k - rows(2)) + Mean(profile.texture, k + rows(9), k + rows(16)));
  const double texture = Mean(profile.texture, k, k + rows(5)) / std::max(1e-6, beside);
  weld.strength *= std::clamp(texture, 0.6, 2.0);
  // Far toe: the wall brightens again behind the flank's shade.
  int far = k + rows(o.usual_width_mm);
  double most = 0.05 * profile.rise[static_cast<std::size_t>(k)];
  for (int i = k + rows(o.least_width_mm); i < std::min(k + rows(o.most_width_mm), static_cast<int>(level.size()) - 2);
       ++i) {
    const double off = ((i - k) * o.step_mm - o.usual_width_mm) / o.width_u_mm;
    const double worth = profile.rise[static_cast<std::size_t>(i)] * std::exp(-0.5 * off * off);
    if (!Peak(profile.rise, i) || worth <= most) continue;
    most = worth, far = i;
    weld.far_seen = true;
  }
  weld.near_mm = o.from_share * radius_mm + k * o.step_mm;
  weld.far_mm = o.from_share * radius_mm + far * o.step_mm;
  return weld;
}

}  // namespace

std::vector<WeldSeen> FindWelds(const std::vector<WallView>& views, const Eigen::Vector2d& lean,
                                const Eigen::Vector2d& offset, double radius_mm, const WeldProfileOptions& options) {
  const Profile profile = ProfileOf(Strip(views, lean, offset, radius_mm, options), options);
  const auto level = Smoothed(profile.level, 1.2);
  std::vector<WeldSeen> welds;
  const auto rows = static_cast<int>(level.size());
  for (int k = static_cast<int>(4 / options.step_mm); k < rows - static_cast<int>(12 / options.step_mm); ++k) {
    const auto i = static_cast<std::size_t>(k);
    if (!Peak(profile.rise, k) || profile.rise[i] <= 0.001 * options.step_mm / 0.25 || !profile.seen[i]) continue;
    welds.push_back(WeldAt(profile, level, k, radius_mm, options));
  }
  std::sort(welds.begin(), welds.end(), [](const WeldSeen& a, const WeldSeen& b) { return a.strength > b.strength; });
  for (const WeldSeen& other : welds)
    if (std::abs(other.near_mm - welds.front().near_mm) > options.most_width_mm) {
      welds.front().second = other.strength;
      break;
    }
  return welds;
}

}  // namespace vision::pose
