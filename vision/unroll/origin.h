#pragma once

#include <vector>

#include "vision/unroll/strip.h"

namespace vision::unroll {

/// Where along the bore z is to be counted from. What was read of a recording counts from a place of its own (the weld
/// as it was first seen) until the joint's is known; whoever changes the one for the other does it here, for all that
/// has that z.
class Origin {
 public:
  /// @param at_z_mm The new zero in the z there was.
  explicit Origin(double at_z_mm) : at_z_mm_(at_z_mm) {}

  void Move(double& z_mm) const { z_mm -= at_z_mm_; }
  void Move(bore::BoreFromCam& pose) const { Move(pose.translation_mm.z()); }
  void Move(StripGrid& grid) const { Move(grid.z_from_mm); }
  template <class T>
  void Move(std::vector<T>& all) const {
    for (T& one : all) Move(one);
  }

 private:
  double at_z_mm_;
};

}  // namespace vision::unroll
