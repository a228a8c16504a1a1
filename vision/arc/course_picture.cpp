#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/arc/follow.h"
#include "vision/bore/angle.h"

namespace vision::arc {
namespace {

// Format: layout of the picture, px.
constexpr int kLeft = 90, kWidth = 1100, kRight = 30, kTop = 50, kPlaces = 330, kBetween = 50, kSpeeds = 190,
              kBottom = 50;
// Format: its inks, B G R.
const cv::Scalar kInk(40, 36, 32), kPale(222, 226, 228), kPath(150, 84, 20), kBand(232, 214, 190);

/// A plot with time across.
class Plot {
 public:
  Plot(cv::Mat3b* page, int top, int height, double to_s, double low, double high)
      : page_(page), top_(top), height_(height), to_s_(to_s), low_(low), high_(high) {
    cv::rectangle(*page_, {kLeft, top_}, {kLeft + kWidth, top_ + height_}, kInk, 1);
  }
  cv::Point At(double time_s, double value) const {
    const double x = kWidth * time_s / to_s_, y = height_ * (high_ - value) / (high_ - low_);
    return {kLeft + static_cast<int>(std::lround(x)),
            top_ + static_cast<int>(std::lround(std::clamp(y, 0.0, 1.0 * height_)))};
  }
  void Grid(double value, const std::string& text) {
    const int y = At(0, value).y;
    cv::line(*page_, {kLeft, y}, {kLeft + kWidth, y}, kPale, 1);
    Text(text, 12, y + 4);
  }
  void Text(const std::string& text, int x, int y) {
    cv::putText(*page_, text, {x, y}, cv::FONT_HERSHEY_SIMPLEX, 0.42, kInk, 1, cv::LINE_AA);
  }
  void Hatch(double from_s, double to_s, bool rising) {
    const int a = At(from_s, low_).x, b = std::max(a + 2, At(to_s, low_).x);
    const cv::Rect box(a, top_, b - a, height_);
    cv::Mat part = (*page_)(box);
    for (int k = -height_; k < box.width + height_; k += 7)
      cv::line(part, {k, rising ? height_ : 0}, {k + height_, rising ? 0 : height_}, cv::Scalar(150, 150, 150), 1,
               cv::LINE_AA);
    cv::rectangle(*page_, box, cv::Scalar(110, 110, 110), 1);
  }
  void Line(double t0, double v0, double t1, double v1) {
    cv::line(*page_, At(t0, v0), At(t1, v1), kPath, 2, cv::LINE_AA);
  }
  void Band(double t0, double t1, double low, double high) {
    cv::rectangle(*page_, At(t0, high), At(t1, low), kBand, cv::FILLED);
  }

 private:
  cv::Mat3b* page_;
  int top_, height_;
  double to_s_, low_, high_;
};

void DrawPlaces(const Course& course, Plot* plot, double low, double high) {
  for (double deg = std::ceil(low / 30) * 30; deg <= high; deg += high - low > 400 ? 90 : 30)
    plot->Grid(deg, bore::ClockText(deg));
  for (const auto& stop : course.stops) plot->Hatch(stop.from_s, stop.to_s, stop.arc_on);
  for (std::size_t i = 1; i < course.moments.size(); ++i) {
    const auto &a = course.moments[i - 1], &b = course.moments[i];
    if (b.time_s - a.time_s < 0.5) plot->Line(a.time_s, a.theta_deg, b.time_s, b.theta_deg);
  }
}

void DrawSpeeds(const Course& course, Plot* plot, double high) {
  for (std::size_t i = 1; i < course.moments.size(); ++i) {
    const auto &a = course.moments[i - 1], &b = course.moments[i];
    if (b.time_s - a.time_s < 0.5)
      plot->Band(a.time_s, b.time_s, std::max(0.0, b.speed_mm_min - 2 * b.speed_u_mm_min),
                 b.speed_mm_min + 2 * b.speed_u_mm_min);
  }
  for (double v = 0; v <= high; v += high > 250 ? 100 : 50) plot->Grid(v, std::to_string(static_cast<int>(v)));
  for (std::size_t i = 1; i < course.moments.size(); ++i) {
    const auto &a = course.moments[i - 1], &b = course.moments[i];
    if (b.time_s - a.time_s < 0.5) plot->Line(a.time_s, a.speed_mm_min, b.time_s, b.speed_mm_min);
  }
}

}  // namespace

cv::Mat3b CoursePicture(const Welding& welding) {
  const auto& course = welding.course;
  cv::Mat3b page(kTop + kPlaces + kBetween + kSpeeds + kBottom, kLeft + kWidth + kRight, cv::Vec3b(250, 250, 248));
  double low = 1e9, high = -1e9, fastest = 50;
  for (const auto& m : course.moments) {
    low = std::min(low, m.theta_deg), high = std::max(high, m.theta_deg);
    fastest = std::max(fastest, m.speed_mm_min + m.speed_u_mm_min);
  }
  low -= 8, high += 8, fastest *= 1.1;
  const double to_s = std::max(1.0, welding.duration_s);
  Plot places(&page, kTop, kPlaces, to_s, low, high);
  places.Text("Arc on the root: o'clock looking along +z over time; hatched: stops (rising: arc on, falling: arc off)",
              kLeft, 30);
  DrawPlaces(course, &places, low, high);
  Plot speeds(&page, kTop + kPlaces + kBetween, kSpeeds, to_s, 0, fastest);
  speeds.Text("Speed of travel on the inside surface, mm/min, with its band (k = 2)", kLeft,
              kTop + kPlaces + kBetween - 10);
  DrawSpeeds(course, &speeds, fastest);
  const int ticks = 10;
  for (int k = 0; k <= ticks; ++k) {
    const double t = to_s * k / ticks;
    char text[32];
    std::snprintf(text, sizeof text, "%.0f s", t);
    speeds.Text(text, speeds.At(t, 0).x - 12, page.rows - 22);
  }
  return page;
}

}  // namespace vision::arc
