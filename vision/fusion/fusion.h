#pragma once

#include <limits>
#include <string>
#include <vector>

#include "vision/base/job.h"
#include "vision/base/result.h"
#include "vision/bead/toes.h"
#include "vision/unroll/strip.h"

/// Is the edge of the insert as laid still to be seen? Per station line and side, from the strip of one frame.
/// Supports and never replaces the qualified examiner.
namespace vision::fusion {

enum class State { kNotVisible, kFused, kUnfused };

struct FusionOptions {
  bool near_is_left = true;                                           ///< The camera looks along +z.
  double insert_width_mm = std::numeric_limits<double>::quiet_NaN();  ///< As laid; NaN = taken from the toes.
  double camera_distance_mm = 50, radius_mm = 77;
  double shortest_run_mm = 2;  ///< A change of state that comes back within this is not believed.

  /// nullopt if every value is usable, else a sentence naming the field.
  Status Check() const;
};

/// An arc over which the original edge is visible on one side; clockwise from start to end, may pass 360.
struct Run {
  double start_deg = 0, end_deg = 0;
  std::string side;       ///< left | right
  double confidence = 0;  ///< 0 to 1: mean over its lines.
};

/// Arrays over the 720 station lines (theta = 0.5 degree * index).
struct Fusion {
  std::vector<State> left, right;
  std::vector<double> confidence_left, confidence_right;  ///< 0 to 1; 0 where not visible.
  std::vector<Run> runs;
  /// The shortest unfused arc that would have been seen on the near side, mm; NaN where a short one would not be told
  /// from the bead's own look (its near flank hardly brighter than the wall, or glinting unevenly).
  std::vector<double> shortest_near_mm;
};

/// The side away from the camera is stated only where what is in sight tells; a hidden edge is never called fused.
Result<Fusion> FindFusion(const unroll::Strip& strip, const bead::BeadToes& toes, const FusionOptions& options,
                          const JobContext& job = {});

}  // namespace vision::fusion
