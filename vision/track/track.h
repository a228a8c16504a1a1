#pragma once

#include <opencv2/core.hpp>
#include <optional>
#include <vector>

#include "vision/base/job.h"
#include "vision/base/result.h"
#include "vision/pose/push.h"

/// Following the wall's own drawing through the frames of a push, so that all poses can be solved together.
namespace vision::track {

/// One frame of a push with a pose to start from (FindPose's is close enough).
struct TrackFrame {
  cv::Mat1b grey;
  pose::PushFrame known;
};

/// Source: not noted, so taken as chosen; where a field says none.
struct TrackOptions {
  double pitch_share = 0.005;  ///< Strip cell as a share of the radius; in [0.001, 0.05].
  double patch_mm = 6;         ///< Side of a patch of wall; > 0.
  double spacing_mm = 4.5;     ///< Between rows of patches along z; > 0.
  int around = 40;             ///< Patches round the bore; in [12, 360].
  double weld_half_mm = 5;     ///< Nothing within this of z = 0 is followed: gloss wanders over bead and ripples; >= 0.
  double nearest_share = 0.25, farthest_share = 2.2;  ///< Distances along z at which a patch is used, over the radius.
  double min_correlation = 0.6;                       ///< In (0, 1).
  /// Wall past the weld that is followed, over the radius: the bore may bend there; > 0.
  double beyond_share = 9;
  int most_sightings = 10;  ///< Of one point; in [3, 100].
  double floor_mm = 0.03;   ///< Light on relief moves a patch by this much whatever its contrast (k = 1); > 0.
  /// Patches near each other share their error (light, focus): so many count as one; >= 1. 16: on a push with truth
  /// that stopped 0.67 R before the weld the walls' step was 0.2 mm off, which 4 would have called 3.3 deviations.
  double alike = 16;
  pose::PushOptions push;
  /// Band of the drawing that is kept, over the radius: finer is noise ... In [0.0005, 0.2]. Chosen.
  double fine_share = 0.007;
  double coarse_share = 0.035;  ///< ... coarser is light; in [0.002, 1]. Chosen.
  /// Least reach of the first round: at 2.3 mm in a bore of 26 mm radius the nearest frame met too few places again.
  /// In [0, 50]. Chosen.
  double least_reach_mm = 4.2;

  [[nodiscard]] Status Check() const;
};

/// Coarse to fine: unroll with the poses at hand, follow patches, solve; three rounds.
/// @return kNotFound when frames share too little wall or the solution does not hold.
/// Memory: about 5 bytes a strip cell and frame (40 frames in NPS 4: 150 MB). Tests the stop request per frame.
Result<pose::PushSolution> SolveTogether(std::vector<TrackFrame> frames, const bore::Bore& bore,
                                         const TrackOptions& options = {}, const JobContext& job = {});

}  // namespace vision::track
