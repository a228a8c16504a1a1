#pragma once

#include <future>
#include <opencv2/core.hpp>
#include <optional>
#include <vector>

#include "vision/base/result.h"
#include "vision/bead/toes.h"
#include "vision/live/growing_strip.h"

namespace vision::live {

/// Toes on the growing strip. Source: chosen on the demo's push and rendered pushes; no other.
struct ToesNowOptions {
  double zone_mm = 12;    ///< Either side of the weld: the finder takes the wall from 6 to 12 mm for bare.
  double every_s = 2;     ///< Between two looks of the finder.
  double reach_mm = 0.8;  ///< A line may wander this far from where the finder placed it.
  double over_mm = 0.7;   ///< Each side of a toe that its step is taken over.

  [[nodiscard]] Status Check() const;
};

/// Both toes on the growing strip, for watching, not for measuring: the toe finder looks at a copy of the strip beside
/// the work, now and then, and each frame the two lines follow the step of brightness they lie on.
class ToesNow {
 public:
  struct Lines {
    std::vector<float> left_mm, right_mm;  ///< z on 720 station lines (theta = 0.5 degree * index); NaN = not told.
  };

  ToesNow(double radius_mm, bool near_is_left, const ToesNowOptions& options = {});
  ~ToesNow();

  /// @param camera_distance_mm To the weld, along the axis. @param time_s Now.
  void Update(const GrowingStrip& strip, double camera_distance_mm, double time_s);

  /// Follows the lines through what the strip shows now. @return How many of 1440 places were told.
  int Follow(const GrowingStrip& strip);

  void Set(const bead::BeadToes& toes, const GrowingStrip& strip);
  void Wait();  ///< For the finder, where it is at work.

  const std::optional<Lines>& lines() const { return lines_; }

 private:
  double radius_mm_;
  bool near_is_left_;
  ToesNowOptions options_;
  double next_s_ = 0;
  std::future<Result<bead::BeadToes>> finder_;
  std::optional<Lines> lines_, found_;
  std::vector<float> step_left_, step_right_;  ///< Change of log grey over the toe, where the finder placed it.
};

}  // namespace vision::live
