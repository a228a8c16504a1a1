#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "app/compare/compare.h"
#include "vision/bore/angle.h"

namespace app::compare {
namespace {

const cv::Scalar kInk(30, 30, 30), kLine(0, 0, 0), kUnder(255, 255, 255);
constexpr int kMargin = 84, kTitle = 34, kScale = 40;

/// The stretch that is shown: about the largest pocket, or all round.
struct Stretch {
  double first_column = 0;
  int columns = 0;
  double across = 1, down = 1;  ///< Picture cells a strip cell.
};

Stretch StretchOf(const Comparison& c) {
  const Shown shown = ShownOf(c);
  const bool all = c.change.pockets.empty();
  return {static_cast<double>(shown.first_column), shown.columns, all ? 2400.0 / shown.columns : 3, all ? 2.0 : 3.0};
}

cv::Mat3b Large(const cv::Mat3b& picture, const Stretch& s) {
  cv::Mat large;
  cv::resize(picture, large, {}, s.across, s.down, s.across < 1 ? cv::INTER_AREA : cv::INTER_CUBIC);
  return large;
}

void Outlines(const Comparison& c, const Stretch& s, cv::Mat3b& band) {
  const auto& grid = c.before.picture.grid;
  const double middle = s.first_column + s.columns / 2.0;
  for (const auto& pocket : c.change.pockets) {
    std::vector<cv::Point> line;
    for (const auto& p : pocket.outline) {
      const double off = vision::bore::Wrap180(p.theta_deg - grid.ThetaDeg(middle)) / grid.theta_pitch_deg();
      line.emplace_back(static_cast<int>((off + s.columns / 2.0) * s.across),
                        static_cast<int>(grid.Row(p.z_mm) * s.down));
    }
    for (const auto& [ink, width] : {std::pair(kUnder, 4), std::pair(kLine, 2)})
      cv::polylines(band, std::vector<std::vector<cv::Point>>{line}, true, ink, width, cv::LINE_AA);
  }
}

void Say(cv::Mat3b& page, const std::string& text, cv::Point at, double size = 0.5) {
  cv::putText(page, text, at, cv::FONT_HERSHEY_SIMPLEX, size, kInk, 1, cv::LINE_AA);
}

void Millimetres(const Comparison& c, const Stretch& s, int top, cv::Mat3b& page) {
  const auto& grid = c.before.picture.grid;
  for (int z = -15; z <= 15; z += 5) {
    const int y = top + static_cast<int>(grid.Row(z) * s.down);
    if (grid.Row(z) < 0 || grid.Row(z) > grid.rows - 1) continue;
    cv::line(page, {kMargin - 8, y}, {kMargin - 1, y}, kInk);
    Say(page, std::to_string(z) + " mm", {8, y + 5}, 0.45);
  }
}

void Clock(const Comparison& c, const Stretch& s, int top, cv::Mat3b& page) {
  const auto& grid = c.before.picture.grid;
  const double step = s.columns * grid.theta_pitch_deg() > 120 ? 30 : 5, from = grid.ThetaDeg(s.first_column);
  for (double theta = std::ceil(from / step) * step; theta < from + s.columns * grid.theta_pitch_deg(); theta += step) {
    const int x = kMargin + static_cast<int>((grid.Column(theta) - s.first_column) * s.across);
    cv::line(page, {x, top}, {x, top + 6}, kInk);
    const double wrapped = vision::bore::Wrap360(theta);
    Say(page, vision::bore::ClockText(wrapped) + " (" + std::to_string(std::lround(wrapped)) + " deg)",
        {x - 34, top + 24}, 0.45);
  }
}

}  // namespace

Shown ShownOf(const Comparison& c) {
  const auto& grid = c.before.picture.grid;
  if (c.change.pockets.empty()) return {0, grid.columns};
  const auto& pocket = c.change.pockets.front();
  const double arc_pitch = vision::bore::ArcMm(grid.theta_pitch_deg(), grid.radius_mm);
  const int count = std::min(grid.columns, static_cast<int>((pocket.circ_mm + 30) / arc_pitch));
  const int first = static_cast<int>(std::floor(grid.Column(pocket.middle.theta_deg) - count / 2.0));
  return {(first % grid.columns + grid.columns) % grid.columns, count};
}

cv::Mat3b CutOut(const cv::Mat3b& picture, const Shown& shown) {
  cv::Mat3b out(picture.rows, shown.columns);
  for (int k = 0; k < shown.columns; ++k) picture.col((shown.first_column + k) % picture.cols).copyTo(out.col(k));
  return out;
}

cv::Mat3b ChangePicture(const Comparison& c) {
  const Stretch s = StretchOf(c);
  const Shown shown = ShownOf(c);
  const cv::Mat3b bands[] = {Large(CutOut(c.before.picture.image, shown), s), Large(CutOut(c.laid.image, shown), s),
                             Large(CutOut(vision::match::Difference(c.before.picture, c.laid), shown), s)};
  const char* titles[] = {"before", "after, laid on the first", "difference of brightness, not of height"};
  const int height = bands[0].rows, step = height + kTitle;
  cv::Mat3b page(3 * step + kScale, kMargin + bands[0].cols + 20, cv::Vec3b(255, 255, 255));
  for (int i = 0; i < 3; ++i) {
    cv::Mat3b band = bands[i];
    if (i > 0) Outlines(c, s, band);
    const int top = i * step + kTitle;
    band.copyTo(page(cv::Rect(kMargin, top, band.cols, height)));
    Say(page, titles[i], {kMargin, top - 10}, 0.6);
    Millimetres(c, s, top, page);
  }
  Clock(c, s, 3 * step, page);
  return page;
}

}  // namespace app::compare
