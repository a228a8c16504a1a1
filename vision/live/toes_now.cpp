#include "vision/live/toes_now.h"

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <limits>

#include "vision/base/range.h"

namespace vision::live {
namespace {

constexpr float kNaN = std::numeric_limits<float>::quiet_NaN();

/// Mean grey of rows [from, to] of a column, logarithm.
float LogMean(const cv::Mat3b& image, int column, int from, int to) {
  int sum = 0, n = 0;
  for (int row = std::max(0, from); row <= std::min(image.rows - 1, to); ++row) sum += image(row, column)[1], ++n;
  return n > 0 ? std::log(4.0F + static_cast<float>(sum) / static_cast<float>(n)) : kNaN;
}

/// Change of log grey from above a row to below it.
float StepAt(const cv::Mat3b& image, int column, int row, int over) {
  return LogMean(image, column, row + 1, row + over) - LogMean(image, column, row - over, row - 1);
}

bool Seen(const GrowingStrip& strip, int row, int column) {
  return row >= 0 && row < strip.grid().rows && strip.resolution_mm()(row / 8, column / 8) > 0;
}

/// Moves each place of a line to the strongest step of its own sign in reach, then takes the middle of five neighbours.
int FollowLine(const GrowingStrip& strip, const std::vector<float>& found, const std::vector<float>& steps,
               std::vector<float>* line, const ToesNowOptions& o) {
  const auto& grid = strip.grid();
  const int reach = std::max(1, static_cast<int>(std::lround(o.reach_mm / grid.pitch_mm))),
            over = std::max(1, static_cast<int>(std::lround(o.over_mm / grid.pitch_mm)));
  const auto n = static_cast<int>(found.size());
  std::vector<float> places(found.size(), kNaN);
  for (int i = 0; i < n; ++i) {
    const auto k = static_cast<std::size_t>(i);
    if (std::isnan(found[k])) continue;
    const int column = grid.NearestColumn(360.0 * i / n), middle = static_cast<int>(std::lround(grid.Row(found[k])));
    if (!Seen(strip, middle - over, column) || !Seen(strip, middle + over, column)) continue;
    float best = -1;
    for (int row = middle - reach; row <= middle + reach; ++row) {
      const float away = static_cast<float>(row - middle) / static_cast<float>(reach + 1);
      const float step = StepAt(strip.image(), column, row, over) * (steps[k] < 0 ? -1.0F : 1.0F) * (1 - away * away);
      if (step > best) best = step, places[k] = static_cast<float>(grid.ZMm(row));
    }
  }
  int told = 0;
  for (int i = 0; i < n; ++i) {
    std::array<float, 5> near{};
    std::size_t m = 0;
    for (int j = -2; j <= 2; ++j) {
      const float z = places[static_cast<std::size_t>((i + j + n) % n)];
      if (!std::isnan(z)) near[m++] = z;
    }
    const auto k = static_cast<std::size_t>(i);
    (*line)[k] = kNaN;
    if (std::isnan(places[k]) || m < 3) continue;
    std::nth_element(near.begin(), near.begin() + static_cast<std::ptrdiff_t>(m / 2),
                     near.begin() + static_cast<std::ptrdiff_t>(m));
    (*line)[k] = near[m / 2], ++told;
  }
  return told;
}

std::vector<float> StepsOf(const GrowingStrip& strip, const std::vector<float>& line, const ToesNowOptions& o) {
  const auto& grid = strip.grid();
  const int over = std::max(1, static_cast<int>(std::lround(o.over_mm / grid.pitch_mm)));
  std::vector<float> steps;
  for (std::size_t i = 0; i < line.size(); ++i) {
    const int column = grid.NearestColumn(360.0 * static_cast<double>(i) / static_cast<double>(line.size()));
    steps.push_back(std::isnan(line[i])
                        ? 0
                        : StepAt(strip.image(), column, static_cast<int>(std::lround(grid.Row(line[i]))), over));
  }
  return steps;
}

std::vector<float> PlacesOf(const bead::ToeLine& toe) {
  std::vector<float> places;
  for (std::size_t i = 0; i < toe.z_mm.size(); ++i)
    places.push_back(toe.visible[i] ? static_cast<float>(toe.z_mm[i]) : kNaN);
  return places;
}

}  // namespace

ToesNow::ToesNow(double radius_mm, bool near_is_left, const ToesNowOptions& options)
    : radius_mm_(radius_mm), near_is_left_(near_is_left), options_(options) {}

ToesNow::~ToesNow() { Wait(); }

void ToesNow::Wait() {
  if (finder_.valid()) finder_.wait();
}

void ToesNow::Set(const bead::BeadToes& toes, const GrowingStrip& strip) {
  found_ = lines_ = Lines{PlacesOf(toes.left), PlacesOf(toes.right)};
  step_left_ = StepsOf(strip, found_->left_mm, options_);
  step_right_ = StepsOf(strip, found_->right_mm, options_);
}

int ToesNow::Follow(const GrowingStrip& strip) {
  if (!found_) return 0;
  return FollowLine(strip, found_->left_mm, step_left_, &lines_->left_mm, options_) +
         FollowLine(strip, found_->right_mm, step_right_, &lines_->right_mm, options_);
}

void ToesNow::Update(const GrowingStrip& strip, double camera_distance_mm, double time_s) {
  using std::chrono::seconds;
  if (finder_.valid() && finder_.wait_for(seconds(0)) == std::future_status::ready) {
    const auto toes = finder_.get();
    if (toes.ok()) Set(toes.value(), strip);
    next_s_ = time_s + options_.every_s;
  }
  if (!finder_.valid() && time_s >= next_s_) {
    unroll::Strip zone = strip.Zone(options_.zone_mm);
    if (zone.grid.rows > 0) {
      zone.image = zone.image.clone();  // the strip goes on while the finder looks
      bead::ToeOptions options;
      options.near_is_left = near_is_left_;
      options.radius_mm = radius_mm_;
      options.camera_distance_mm = std::abs(camera_distance_mm);
      finder_ = std::async(std::launch::async, [zone, options] { return bead::FindToes(zone, options); });
    }
  }
  Follow(strip);
}

Status ToesNowOptions::Check() const {
  return FirstOutside("ToesNowOptions", {{"zone_mm", zone_mm, 9, 50},
                                         {"every_s", every_s, 0, 60},
                                         {"reach_mm", reach_mm, 0, 20},
                                         {"over_mm", over_mm, 0.05, 20}});
}

}  // namespace vision::live
