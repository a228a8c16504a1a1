#pragma once

#include <utility>
#include <vector>

/// Sliding windows on a closed ring (the inside circumference): they wrap through theta 0.
namespace app::joint {

/// Longest total length of flagged steps inside any window, mm. Exact for runs of whole steps: a best window begins or
/// ends at a step's edge.
/// @param flags One per equal step of the ring. @param window_mm >= circumference gives the whole ring.
double MostInWindow(const std::vector<bool>& flags, double circumference_mm, double window_mm);

/// A size at a place along the ring.
struct SizedPlace {
  double at_mm = 0;  ///< Arc from theta 0, in [0, circumference).
  double size_mm = 0, u_mm = 0;
};

/// Largest sum of sizes in any window.
struct WindowSum {
  double sum_mm = 0, u_mm = 0;    ///< u: root sum of squares.
  double from_mm = 0, to_mm = 0;  ///< First and last place in it.
};
WindowSum LargestSumInWindow(const std::vector<SizedPlace>& places, double circumference_mm, double window_mm);

}  // namespace app::joint
