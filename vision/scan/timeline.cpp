#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/scan/scan.h"

namespace vision::scan {
namespace {

// Format: layout of the picture, px.
constexpr int kLeft = 150, kWidth = 1200, kRight = 40, kRow = 34, kTop = 46;
// Format: its inks, B G R.
const cv::Scalar kInk(40, 36, 32), kPale(214, 218, 220), kPaper(250, 250, 248), kWeldInk(150, 84, 20);
// Format: the rows from top to bottom.
constexpr Shows kRows[] = {Shows::kTravelling, Shows::kAtWeld,   Shows::kWelding, Shows::kDark,
                           Shows::kBlurred,    Shows::kNotABore, Shows::kDamaged};
constexpr int kRowCount = 8;  ///< Format: The last one is burned-in text, which may lie over any of the others.

class Page {
 public:
  explicit Page(const Scanned& scanned) : span_s_(std::max(0.1, scanned.duration_s)) {
    for (const auto& s : scanned.sorted.stretches) span_s_ = std::max(span_s_, s.to_s);
    picture_ = cv::Mat3b(kTop + kRowCount * kRow + 270, kLeft + kWidth + kRight, cv::Vec3b(248, 250, 250));
  }
  int X(double time_s) const { return kLeft + static_cast<int>(std::lround(kWidth * time_s / span_s_)); }
  double span_s() const { return span_s_; }
  cv::Mat3b& picture() { return picture_; }
  void Text(const std::string& text, int x, int y, double size = 0.42, const cv::Scalar& ink = kInk) {
    cv::putText(picture_, text, {x, y}, cv::FONT_HERSHEY_SIMPLEX, size, ink, 1, cv::LINE_AA);
  }

 private:
  double span_s_;
  cv::Mat3b picture_;
};

/// Each kind of stretch stands on a line of its own, so that none needs a colour to be told.
void DrawStretches(Page& page, const Scanned& scanned) {
  for (int row = 0; row < kRowCount - 1; ++row) {
    const int y = kTop + row * kRow;
    const bool bore = kRows[row] == Shows::kNotABore;
    page.Text(bore ? "no view along bore" : NameOf(kRows[row]), 10, y + kRow / 2 + 4);
    cv::line(page.picture(), {kLeft, y + kRow / 2}, {kLeft + kWidth, y + kRow / 2}, kPale, 1);
    for (const auto& s : scanned.sorted.stretches) {
      if (s.shows != kRows[row]) continue;
      const cv::Rect box(page.X(s.from_s), y + 7, std::max(2, page.X(s.to_s) - page.X(s.from_s)), kRow - 14);
      const bool weld = s.shows == Shows::kAtWeld || s.shows == Shows::kWelding;
      cv::rectangle(page.picture(), box, weld ? kWeldInk : cv::Scalar(140, 138, 134), cv::FILLED);
      if (s.shows == Shows::kDamaged)
        for (int x = box.x; x < box.br().x; x += 5)
          cv::line(page.picture(), {x, box.y}, {x, box.br().y - 1}, kPaper, 1);
    }
  }
}

void DrawBurnedIn(Page& page, const Scanned& scanned) {
  const int y = kTop + (kRowCount - 1) * kRow;
  page.Text("burned-in text", 10, y + kRow / 2 + 4);
  cv::line(page.picture(), {kLeft, y + kRow / 2}, {kLeft + kWidth, y + kRow / 2}, kPale, 1);
  for (const auto& text : scanned.burned_in) {
    const int from = page.X(text.from_s), to = std::max(from + 2, page.X(text.to_s));
    for (const int line : {12, 17, 22}) cv::line(page.picture(), {from, y + line}, {to, y + line}, kInk, 1);
  }
}

void DrawWelds(Page& page, const Scanned& scanned) {
  const int bottom = kTop + kRowCount * kRow;
  int number = 0;
  for (const auto& weld : scanned.sorted.welds) {
    const int from = page.X(weld.from_s), to = page.X(weld.to_s);
    cv::line(page.picture(), {from, kTop - 6}, {std::max(to, from + 2), kTop - 6}, kInk, 1);
    page.Text("weld " + std::to_string(++number), std::min(from, kLeft + kWidth - 50), kTop - 12, 0.42);
    if (!weld.proposed) continue;
    const int a = page.X(weld.best_from_s), b = std::max(a + 3, page.X(weld.best_to_s));
    cv::line(page.picture(), {(a + b) / 2, kTop + 2 * kRow - 4}, {(a + b) / 2, bottom + 6}, kWeldInk, 1, cv::LINE_AA);
    cv::rectangle(page.picture(), {a, bottom + 6}, {b, bottom + 16}, kInk, cv::FILLED);
    page.Text(ClockText(weld.best_from_s), std::min(a - 10, kLeft + kWidth - 50), bottom + 32, 0.4);
  }
  page.Text("measure by", 10, bottom + 16);
}

/// Columns between two looks that follow each other, at the most; a longer gap has no looks in it.
int JoinedColumns(const Page& page, const std::vector<FrameLook>& looks) {
  std::vector<double> steps;
  for (std::size_t i = 1; i < looks.size(); ++i) steps.push_back(looks[i].time_s - looks[i - 1].time_s);
  if (steps.empty()) return 0;
  const auto middle = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
  std::nth_element(steps.begin(), middle, steps.end());
  return std::max(3, page.X(3 * *middle) - kLeft);
}

/// One small curve: the greatest value of each column, scaled to `top`; a look without neighbours is a dot.
template <class Value>
void DrawCurve(Page& page, const Scanned& scanned, const std::string& name, int y, double top, Value value) {
  constexpr int kHeight = 46;
  page.Text(name, 10, y + kHeight / 2 + 4);
  cv::line(page.picture(), {kLeft, y + kHeight}, {kLeft + kWidth, y + kHeight}, kPale, 1);
  std::vector<double> most(kWidth + 1, -1.0);
  for (const auto& look : scanned.looks) {
    const double v = value(look);
    const auto column = static_cast<std::size_t>(std::clamp(page.X(look.time_s) - kLeft, 0, kWidth));
    if (std::isfinite(v)) most[column] = std::max(most[column], std::min(1.0, v / top));
  }
  const int joined = JoinedColumns(page, scanned.looks);
  cv::Point last(-1, -1);
  for (int i = 0; i <= kWidth; ++i) {
    if (most[static_cast<std::size_t>(i)] < 0) continue;
    const cv::Point here(kLeft + i, y + kHeight - static_cast<int>(kHeight * most[static_cast<std::size_t>(i)]));
    if (last.x >= 0 && here.x - last.x <= joined)
      cv::line(page.picture(), last, here, kInk, 1, cv::LINE_AA);
    else
      cv::circle(page.picture(), here, 2, kInk, cv::FILLED, cv::LINE_AA);
    last = here;
  }
}

void DrawTimes(Page& page, int y) {
  double step = 1;
  for (const double wider : {2.0, 5.0, 10.0, 30.0, 60.0, 120.0, 300.0, 600.0, 1800.0, 3600.0, 7200.0})
    if (page.span_s() / step > 12) step = wider;
  for (double t = 0; t <= page.span_s(); t += step) {
    cv::line(page.picture(), {page.X(t), y}, {page.X(t), y + 5}, kInk, 1);
    page.Text(ClockText(t).substr(0, 7), page.X(t) - 22, y + 20, 0.38);
  }
}

}  // namespace

std::string ClockText(double time_s) {
  const long tenths = std::lround(10 * time_s);
  char text[48];
  std::snprintf(text, sizeof text, "%ld:%02ld:%02ld.%ld", tenths / 36000, tenths / 600 % 60, tenths / 10 % 60,
                tenths % 10);
  return text;
}

cv::Mat3b TimelinePicture(const Scanned& scanned) {
  Page page(scanned);
  DrawStretches(page, scanned);
  DrawBurnedIn(page, scanned);
  DrawWelds(page, scanned);
  const int below = kTop + kRowCount * kRow + 48;
  const double limit = std::max(1e-3, scanned.sorted.blurred_above_px);
  DrawCurve(page, scanned, "blur", below, 1.5 * limit, [](const FrameLook& look) { return look.blur_px; });
  DrawCurve(page, scanned, "light", below + 56, 1, [](const FrameLook& look) { return look.level; });
  DrawCurve(page, scanned, "glare", below + 112, 0.1, [](const FrameLook& look) { return look.glare; });
  DrawTimes(page, below + 166);
  return page.picture();
}

}  // namespace vision::scan
