#include "vision/scan/burned_in.h"

#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/base/range.h"

namespace vision::scan {
namespace {

/// Thin, and much brighter than what lies right beside: and the mean of a window's pictures keeps it.
cv::Mat1f StrokeOf(const cv::Mat1f& mean) {
  cv::Mat1f beside;
  cv::morphologyEx(mean, beside, cv::MORPH_OPEN, cv::getStructuringElement(cv::MORPH_RECT, {9, 9}));
  return cv::Mat1f(cv::Mat(mean - beside));
}

/// Boxes of letters and words side by side: wider than high, neither nearly empty nor full.
std::vector<cv::Rect> Lines(const cv::Mat& strokes) {
  std::vector<cv::Rect> lines;
  cv::Mat joined, labels, stats, centres;
  cv::morphologyEx(strokes, joined, cv::MORPH_CLOSE, cv::getStructuringElement(cv::MORPH_RECT, {21, 3}));
  const int count = cv::connectedComponentsWithStats(joined, labels, stats, centres);
  for (int i = 1; i < count; ++i) {
    const cv::Rect box(stats.at<int>(i, cv::CC_STAT_LEFT), stats.at<int>(i, cv::CC_STAT_TOP),
                       stats.at<int>(i, cv::CC_STAT_WIDTH), stats.at<int>(i, cv::CC_STAT_HEIGHT));
    const double inked = static_cast<double>(cv::countNonZero(strokes(box))) / box.area();
    if (box.width >= 1.5 * box.height && box.height >= 4 && box.height <= strokes.rows / 6 && inked >= 0.1 &&
        inked <= 0.9)
      lines.push_back(box);
  }
  return lines;
}

}  // namespace

void BurnedInFinder::Add(const cv::Mat1b& grey, double time_s, bool lit) {
  if (mean_.empty()) {
    mean_ = cv::Mat1f::zeros(grey.size()), change_ = cv::Mat1f::zeros(grey.size());
    from_s_ = time_s;
  }
  if (time_s >= from_s_ + options_.window_s) {
    to_s_ = time_s;
    CloseWindow();
    from_s_ = time_s;
  }
  to_s_ = time_s;
  if (!lit) return last_.release();
  cv::accumulate(grey, mean_);
  ++frames_;
  if (!last_.empty()) {
    cv::Mat1b difference;
    cv::absdiff(grey, last_, difference);
    cv::accumulate(difference, change_);
    ++changes_;
  }
  grey.copyTo(last_);
}

void BurnedInFinder::Tell(const cv::Rect& box, const cv::Mat& strokes, std::vector<Told>& now) {
  std::size_t entry = found_.size();
  for (const auto& before : standing_)
    if ((before.box & box).area() > 0.5 * std::min(before.box.area(), box.area())) entry = before.entry;
  const auto full = [this](int px) { return static_cast<int>(std::lround(px * reduce_)); };
  if (entry == found_.size()) {
    found_.push_back({{full(box.x), full(box.y), full(box.width), full(box.height)}, from_s_, to_s_});
    told_by_.push_back(0);
  }
  ++told_by_[entry];
  found_[entry].to_s = to_s_;
  now.push_back({box, entry, strokes(box).clone()});
}

void BurnedInFinder::CloseWindow() {
  std::vector<Told> now;
  if (frames_ >= options_.fewest && changes_ > 0) {
    const cv::Mat1f stroke = StrokeOf(cv::Mat1f(cv::Mat(mean_ / frames_))), change(cv::Mat(change_ / changes_));
    if (cv::mean(change)[0] >= options_.moved) {
      const cv::Mat strokes = (stroke > options_.stroke) & (change < 0.15 * stroke);
      for (const auto& box : Lines(strokes)) Tell(box, strokes, now);
    } else {
      const cv::Mat strokes = stroke > options_.stroke;
      for (const auto& before : standing_)
        if (cv::countNonZero(strokes(before.box) & before.strokes) >=
            options_.still_there_share * cv::countNonZero(before.strokes))
          Tell(before.box, strokes, now);
    }
  }
  standing_ = std::move(now);
  ++windows_;
  mean_ = 0;
  change_ = 0;
  frames_ = changes_ = 0;
}

std::vector<cv::Rect> BurnedInFinder::Standing() const {
  std::vector<cv::Rect> boxes;
  for (const auto& told : standing_) boxes.push_back(told.box + cv::Size(6, 6) - cv::Point(3, 3));
  return boxes;
}

std::vector<BurnedIn> BurnedInFinder::Finish() {
  if (!mean_.empty()) CloseWindow();
  std::vector<BurnedIn> sure;
  for (std::size_t i = 0; i < found_.size(); ++i)
    if (told_by_[i] > 1 || windows_ == 1) sure.push_back(found_[i]);
  return sure;
}

Status BurnedInOptions::Check() const {
  return FirstOutside("BurnedInOptions", {{"window_s", window_s, 0.5, 60},
                                          {"fewest", fewest, 2, 1000},
                                          {"stroke", stroke, 1, 255},
                                          {"moved", moved, 0, 255},
                                          {"still_there_share", still_there_share, 0, 1}});
}

}  // namespace vision::scan
