#pragma once

#include <opencv2/core.hpp>
#include <optional>
#include <vector>

#include "vision/scan/weld_cue.h"

/// What one frame is like, from its reduced picture; nothing here is compared with other recordings.
namespace vision::scan {

struct FrameLook {
  double time_s = 0;
  long index = 0;     ///< Of the frame in its recording.
  double level = 0;   ///< Median grey of the part that shows anything, share of full scale.
  double bright = 0;  ///< 99th percentile of grey, share of full scale.
  double glare = 0;   ///< Share of that part at or above 98 % of full scale.
  /// Standard deviation of the blur at the strongest edges, px of the full picture; NaN = no edges.
  double blur_px = 0;
  double change = 0;     ///< Mean change of grey since the frame looked at before over `level`; NaN for the first one.
  double spot = 0;       ///< Brightest place (as large as 1/40 of the width) over the median.
  double peak = 0;       ///< Brightest place (as large as 1/320 of the width), share of full scale.
  double peak_off = 0;   ///< Of that place from the picture's middle, over half of the smaller side.
  double middle = 0;     ///< Median grey of the whole picture, share of full scale.
  double one_sided = 0;  ///< Light on the spot's side of the picture over that on the other side.
  std::optional<WeldCue> weld;  ///< nullopt: not looked for in this frame.
};

/// Measures frames of one recording one after another. Memory does not grow.
class FrameLooker {
 public:
  /// @param reduce How much smaller the pictures are than the recording's.
  explicit FrameLooker(double reduce) : reduce_(reduce) {}

  /// @param grey All of one size.
  /// @param without Places of burned-in text (px of `grey`): its strokes are sharp whatever the picture is.
  FrameLook Look(const cv::Mat1b& grey, double time_s, long index, const std::vector<cv::Rect>& without = {});

 private:
  double reduce_;
  cv::Mat1b last_;
};

}  // namespace vision::scan
