#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "vision/base/result.h"

/// Text and marks burned into the picture: strokes that stay exactly where they are while the rest moves.
namespace vision::scan {

/// Text and marks that stand in the picture. Source: chosen; no other.
struct BurnedInOptions {
  double window_s = 5;             ///< Pictures are looked at in windows of so long.
  int fewest = 10;                 ///< Pictures in a window, to tell anything.
  float stroke = 50;               ///< Grey levels of 255 that a stroke stands out by.
  double moved = 1;                ///< Mean change of grey between looks, for the rest to count as moving; of 255.
  double still_there_share = 0.6;  ///< Of a place's strokes that stand.

  [[nodiscard]] Status Check() const;
};

struct BurnedIn {
  cv::Rect place;  ///< px of the full picture.
  double from_s = 0, to_s = 0;
};

/// Looks at one recording in windows of five seconds. Memory does not grow with it.
class BurnedInFinder {
 public:
  /// @param reduce How much smaller the pictures are than the recording's.
  explicit BurnedInFinder(double reduce, const BurnedInOptions& options = {}) : reduce_(reduce), options_(options) {}

  /// @param grey All of one size, in order of time. @param lit Pictures without light are left out.
  void Add(const cv::Mat1b& grey, double time_s, bool lit);

  /// Where text stood in the window before, px of the pictures given, with a rim of three.
  std::vector<cv::Rect> Standing() const;

  /// Closes the last window. Windows that follow each other and tell of one place are one entry. A window in which
  /// nothing moved tells of no new place; one told before goes on while its strokes stand. A place told by one window
  /// out of several is none: a highlight stands still for as long.
  std::vector<BurnedIn> Finish();

 private:
  /// A place of the window before with its strokes, reduced px.
  struct Told {
    cv::Rect box;
    std::size_t entry;
    cv::Mat1b strokes;
  };
  void CloseWindow();
  void Tell(const cv::Rect& box, const cv::Mat& strokes, std::vector<Told>& now);

  double reduce_;
  BurnedInOptions options_;
  double from_s_ = 0, to_s_ = 0;
  int frames_ = 0, changes_ = 0, windows_ = 0;
  cv::Mat1b last_;
  cv::Mat1f mean_, change_;  ///< Sums over the window.
  std::vector<Told> standing_;
  std::vector<BurnedIn> found_;
  std::vector<int> told_by_;  ///< Windows, for each of `found_`.
};

}  // namespace vision::scan
