#pragma once

#include <opencv2/core.hpp>

namespace vision::live {

/// The wall's own drawing in a reduced picture: logarithm of the grey value less its surroundings, so that neither the
/// camera's gain nor the lamp's fall-off is in it. Two levels, the second half the size of the first.
struct Drawing {
  cv::Mat1f fine, coarse;  ///< Clipped to [-0.4, 0.4].
  cv::Mat1b grey;          ///< Reduced picture the fine level was made of.
  int reduction = 1;       ///< Pixels of the frame to one of the fine level, each way.

  /// Place in a level of a pixel of the frame (pixel centres at integers). @param pixels_per_cell reduction or twice
  /// it.
  static float ToLevel(double pixel, int pixels_per_cell) {
    return static_cast<float>((pixel + 0.5) / pixels_per_cell - 0.5);
  }
  static double ToFrame(double place, int pixels_per_cell) { return (place + 0.5) * pixels_per_cell - 0.5; }
};

/// @param widest_px The fine level is at most about this wide; >= 64.
Drawing MakeDrawing(const cv::Mat3b& frame, int widest_px = 480);

/// How much of the picture's light comes from its brightest fiftieth, in [0, 1]. Free of gain and exposure, and a
/// source that is blown out only lowers it. On 52 frames with truth a lamp beside the lens gives 0.06 to 0.142, a
/// bright arc in made-up films 0.17 to 0.35; an arc exposed for (films `plain`, `off_axis`) gives 0.06 to 0.09 and is
/// not told.
double LightInFew(const cv::Mat1b& grey);

}  // namespace vision::live
