#include "vision/bead/features.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "vision/bore/stations.h"
#include "vision/statistics/quantile.h"

namespace vision::bead {
namespace {

constexpr float kDarkOffset = 4;  // grey levels: keeps the logarithm of black cells finite (sensor noise is about this)

// Median of every column over the rows in which the wall lies bare, on one side of the weld.
std::vector<float> ColumnMedian(const cv::Mat1f& picture, const cv::Mat1b& seen, int from, int to) {
  std::vector<float> out(static_cast<std::size_t>(picture.cols));
  std::vector<float> values;
  for (int c = 0; c < picture.cols; ++c) {
    values.clear();
    for (int r = from; r <= to; ++r)
      if (seen(r, c)) values.push_back(picture(r, c));
    out[static_cast<std::size_t>(c)] =
        values.size() > 4 ? statistics::MedianOr(values, 0.F) : std::numeric_limits<float>::quiet_NaN();
  }
  return out;
}

struct WallRows {
  int near_from, near_to, far_from, far_to;
};

// Takes the wall away from a picture: the near wall's column median before the weld, the far wall's behind it, a
// straight line from one to the other in between. A side that was not seen is taken to be like the other.
void SubtractWall(cv::Mat1f& picture, const cv::Mat1b& seen, const WallRows& w) {
  const auto near = ColumnMedian(picture, seen, w.near_from, w.near_to);
  const auto far = ColumnMedian(picture, seen, w.far_from, w.far_to);
  const float a_row = 0.5f * static_cast<float>(w.near_from + w.near_to);
  const float b_row = 0.5f * static_cast<float>(w.far_from + w.far_to);
  for (int c = 0; c < picture.cols; ++c) {
    float a = near[static_cast<std::size_t>(c)], b = far[static_cast<std::size_t>(c)];
    if (std::isnan(a)) a = b;
    if (std::isnan(b)) b = a;
    if (std::isnan(a)) a = b = 0;
    for (int r = 0; r < picture.rows; ++r) {
      const float t = std::clamp((static_cast<float>(r) - a_row) / (b_row - a_row), 0.0f, 1.0f);
      picture(r, c) -= a + t * (b - a);
    }
  }
}

// Mean over the cells of each station line (at least 0.6 mm of arc).
cv::Mat1f ToLines(const cv::Mat1f& picture, double pitch_mm) {
  const double per_line = static_cast<double>(picture.cols) / bore::kStationLines;
  const int half = std::max(1, static_cast<int>(std::lround(std::max(0.5 * per_line, 0.3 / pitch_mm))));
  const cv::Mat1f smooth = BlurAround(picture, 2 * half + 1);
  cv::Mat1f out(picture.rows, bore::kStationLines);
  for (int i = 0; i < bore::kStationLines; ++i) {
    const int c = static_cast<int>(std::lround(i * per_line)) % picture.cols;
    smooth.col(c).copyTo(out.col(i));
  }
  return out;
}

double RobustSigma(const Features& f, const cv::Mat1f& picture, const WallRows& w) {
  std::vector<float> v;
  for (int r = 0; r < picture.rows; ++r) {
    const bool wall = (r >= w.near_from && r <= w.near_to) || (r >= w.far_from && r <= w.far_to);
    if (!wall) continue;
    for (int i = 0; i < bore::kStationLines; ++i)
      if (f.seen(r, i)) v.push_back(std::abs(picture(r, i)));
  }
  return 1.4826 * static_cast<double>(statistics::MedianOr(v, 0.F));
}

// Mean square of what changes faster than 3 mm around the joint, over 2 mm.
cv::Mat1f RippleAmplitude(const cv::Mat1f& level, double pitch_mm) {
  cv::Mat1f ripple;
  cv::subtract(level, BlurAround(level, static_cast<int>(3.0 / pitch_mm)), ripple);
  cv::multiply(ripple, ripple, ripple);
  return BlurAround(ripple, static_cast<int>(2.0 / pitch_mm));
}

// How alike each row is to the lines that run along the wall further out on its own side (rows from `middle` on: far
// side).
cv::Mat1f Kinship(const cv::Mat1f& level, const cv::Mat1b& seen, const WallRows& w, int middle, double pitch_mm) {
  cv::Mat1f fine, across, product, power, own_power, out(level.size());
  cv::subtract(level, BlurAround(level, static_cast<int>(3.0 / pitch_mm)), fine);
  cv::blur(fine, across, cv::Size(1, 5));
  const int window = static_cast<int>(4.0 / pitch_mm);
  for (const bool far : {false, true}) {
    const auto lines = ColumnMedian(fine, seen, far ? w.far_from : w.near_from, far ? w.far_to : w.near_to);
    const int from = far ? middle : 0, to = far ? level.rows : middle;
    cv::Mat1f pattern(1, level.cols);
    for (int c = 0; c < level.cols; ++c)
      pattern(0, c) = std::isnan(lines[static_cast<std::size_t>(c)]) ? 0.0f : lines[static_cast<std::size_t>(c)];
    const cv::Mat1f rows = across.rowRange(from, to);
    cv::Mat1f repeated;
    cv::repeat(pattern, rows.rows, 1, repeated);
    cv::multiply(rows, repeated, product);
    cv::multiply(rows, rows, power);
    cv::multiply(repeated, repeated, own_power);
    cv::multiply(BlurAround(power, window), BlurAround(own_power, window), power);
    power += 1e-12f;
    cv::sqrt(power, power);
    cv::divide(BlurAround(product, window), power, product);
    product.copyTo(out.rowRange(from, to));
  }
  return out;
}

// Log luminance, log of the ripple amplitude.
std::pair<cv::Mat1f, cv::Mat1f> LevelAndTexture(const cv::Mat3b& image, const cv::Mat1b& seen, const WallRows& wall,
                                                double pitch_mm) {
  cv::Mat1b grey;
  cv::cvtColor(image, grey, cv::COLOR_BGR2GRAY);
  cv::Mat1f level;
  grey.convertTo(level, CV_32F);
  level += kDarkOffset;
  cv::log(level, level);
  // The wall's drawing lines end at the bead: ripples are read with and without them, and the calmer reading counts.
  const cv::Mat1f with_lines = RippleAmplitude(level, pitch_mm);
  SubtractWall(level, seen, wall);
  cv::Mat1f texture;
  const cv::Mat1f without_lines = RippleAmplitude(level, pitch_mm);
  cv::min(cv::InputArray(with_lines), cv::InputArray(without_lines), cv::OutputArray(texture));
  texture += 1e-5f;
  cv::log(texture, texture);
  texture *= 0.5;
  SubtractWall(texture, seen, wall);
  return {level, texture};
}

}  // namespace

cv::Mat1f BlurAround(const cv::Mat1f& picture, int cells) {
  const int pad = cells;
  cv::Mat1f wide, out;
  cv::copyMakeBorder(picture, wide, 0, 0, pad, pad, cv::BORDER_WRAP);
  cv::blur(wide, wide, cv::Size(cells | 1, 1));
  out = wide.colRange(pad, pad + picture.cols).clone();
  return out;
}

int Features::Row(double z_mm) const {
  return std::clamp(static_cast<int>(std::lround((z_mm - z_from_mm) / pitch_mm)), 0, level.rows - 1);
}

double Features::Mean(const cv::Mat1f& picture, int line, int from_row, int to_row) {
  const int i = WrapLine(line);
  const int a = std::max(from_row, 0), b = std::min(to_row, picture.rows - 1);
  if (b < a) return 0;
  double sum = 0;
  for (int r = a; r <= b; ++r) sum += picture(r, i);
  return sum / (b - a + 1);
}

double Features::Mean(const std::vector<float>& column, int from_row, int to_row) {
  const int a = std::max(from_row, 0), b = std::min(to_row, static_cast<int>(column.size()) - 1);
  if (b < a) return 0;
  double sum = 0;
  for (int r = a; r <= b; ++r) sum += column[static_cast<std::size_t>(r)];
  return sum / (b - a + 1);
}

std::vector<float> Features::Column(const cv::Mat1f& picture, int line) {
  std::vector<float> column;
  column.reserve(static_cast<std::size_t>(picture.rows));
  for (int r = 0; r < picture.rows; ++r) column.push_back(picture(r, WrapLine(line)));
  return column;
}

Features MakeFeatures(const unroll::Strip& strip, bool near_is_left, double wall_from_mm, double wall_to_mm) {
  cv::Mat3b image = strip.image;
  cv::Mat1b seen;
  cv::bitwise_or(strip.valid, strip.clipped, seen);  // blown out is still bright: that much is known
  Features f;
  f.pitch_mm = strip.grid.pitch_mm;
  f.line_mm = strip.grid.radius_mm * bore::kStationLine_deg * CV_PI / 180.0;
  f.z_from_mm = strip.grid.z_from_mm;
  if (!near_is_left) {
    image = cv::Mat3b();  // never in place: the strip belongs to the caller
    cv::flip(strip.image, image, 0);
    cv::flip(seen, seen, 0);
    f.z_from_mm = -strip.grid.ZMm(strip.grid.rows - 1);
  }
  const auto row = [&](double z) {
    return std::clamp(static_cast<int>(std::lround((z - f.z_from_mm) / f.pitch_mm)), 0, image.rows - 1);
  };
  const WallRows wall{row(-wall_to_mm), row(-wall_from_mm), row(wall_from_mm), row(wall_to_mm)};
  cv::Mat1b grey;
  cv::cvtColor(image, grey, cv::COLOR_BGR2GRAY);
  cv::Mat1f raw;
  grey.convertTo(raw, CV_32F);
  raw += kDarkOffset;
  cv::log(raw, raw);
  f.kinship = ToLines(Kinship(raw, seen, wall, row(0), f.pitch_mm), f.pitch_mm);
  auto [level, texture] = LevelAndTexture(image, seen, wall, f.pitch_mm);
  cv::Mat1f seen_share;
  seen.convertTo(seen_share, CV_32F, 1.0 / 255);
  f.level = ToLines(level, f.pitch_mm);
  f.texture = ToLines(texture, f.pitch_mm);
  f.seen = ToLines(seen_share, f.pitch_mm) > 0.5;
  const int half = std::max(1, static_cast<int>(std::lround(0.2 / f.pitch_mm)));
  f.slope = cv::Mat1f(f.level.size(), 0.0f);
  for (int i = 0; i < bore::kStationLines; ++i) {
    const auto column = Features::Column(f.level, i);
    for (int r = 0; r < f.level.rows; ++r)
      f.slope(r, i) = static_cast<float>(Features::Mean(column, r, r + half) - Features::Mean(column, r - half, r));
  }
  f.slope_sigma = std::max(0.02, RobustSigma(f, f.slope, wall));
  f.wall_kinship = RobustSigma(f, f.kinship, wall) / 1.4826;
  f.level_sigma = std::max(0.03, RobustSigma(f, f.level, wall));
  f.texture_sigma = std::max(0.1, RobustSigma(f, f.texture, wall));
  return f;
}

}  // namespace vision::bead
