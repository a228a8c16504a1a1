#pragma once

#include <vector>

#include "vision/reading/look.h"

/// Circles round the bore beside the weld: edges of a bored end, turning marks. One look does not tell which; neither
/// is a toe.
namespace vision::reading {

/// Source: not noted, so taken as chosen; where a field says none.
struct RingOptions {
  double pitch_mm = 0.2;       ///< Rows looked at; in [0.05, 1].
  int sectors = 72;            ///< The circle is looked at in so many; in [8, 720].
  double about_mm = 10;        ///< Rows this far either way tell the usual spread; > 0.
  double to_radii = 0.8;       ///< On the wall beyond the weld, from its middle; > 0.
  double nearest_radii = 0.3;  ///< From the camera: nearer a ring leaves the picture; > 0.
  double beside_toe_mm = 3;    ///< Nearer to a toe a ring is part of what lies beside the bead; > 0.
  double usual_half_mm = 4;    ///< Half of the root where no width is stated; > 0.
  double trend_mm = 3;         ///< Slow change along the bore taken out; > 1.
  double least_strength = 8;   ///< Row's middle over the sectors against its usual spread over rows; > 0.
  double least_around = 0.8;   ///< Share of the sectors seen that show it; in (0, 1]. Drawn scenes 850001 to 850108.
  double least_seen = 0.5;     ///< Share of the circle in the picture; in (0, 1].
  double apart_mm = 1.5;       ///< Two nearer than this are one; > 0.

  [[nodiscard]] Status Check() const;
};

/// @param frame The look's picture. @return In the look's own z; nearest the weld first.
Result<std::vector<BoreRing>> RingsBeside(const cv::Mat3b& frame, const pose::FrameSetting& setting, const Look& look,
                                          const bore::Bore& bore, const RingOptions& options = {});

/// What the looks say together, moved by `shift_mm`: a ring that half of them and more see.
std::vector<BoreRing> RingsOf(const std::vector<Look>& looks, double shift_mm, const RingOptions& options = {});

}  // namespace vision::reading
