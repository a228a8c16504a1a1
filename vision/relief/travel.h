#pragma once

#include <limits>
#include <opencv2/core.hpp>
#include <optional>
#include <vector>

#include "vision/base/job.h"
#include "vision/base/result.h"
#include "vision/bore/bore.h"
#include "vision/pose/pose.h"
#include "vision/relief/section.h"
#include "vision/relief/travel_options.h"

/// Height by travel: with the camera travel lens and lamps, so each place of the bead is seen under many known
/// directions of light and view. Candidate sections are rendered into all frames, station line by station line, and
/// judged by their likelihood.
///
/// 1. Each frame, taken back to linear light, is sampled along every station line (travel_samples.h).
/// 2. The bare wall on both sides of the weld tells its own gloss, the lamps' ring and each frame's gain
///    (travel_wall.h).
/// 3. A candidate section is rendered in one dimension into every frame: where it is seen, what it hides, how it
///    shines; its albedo is free along the section and solved in closed form (travel_line.h).
/// 4. The bead's gloss is the one under which the lines are likeliest together; frames are brought into register
///    against what is predicted, in turns (travel_fit.h).
/// 5. The posterior over sections, made wider by what poses, toes and lamps leave open, is the height and its
///    uncertainty; a line whose misfit is not noise is not stated.
namespace vision::relief {

/// One frame of a push with its pose.
struct TravelFrame {
  const cv::Mat3b* picture = nullptr;
  const pose::FrameSetting* setting = nullptr;
  bore::BoreFromCam pose;  ///< Solved together with the others; z as in TravelLine.
};

/// What is known of a station line beforehand. mm; u = standard uncertainty.
struct TravelLine {
  double theta_deg = 0;
  double toe_left_z = kNotMeasured, toe_right_z = kNotMeasured;  ///< NaN = the line is not asked for.
  double toe_left_u = 0.1, toe_right_u = 0.1;
  double wall_left = 0, wall_right = 0;  ///< Heights of the two walls over the bore.
};

/// What kind of section a line has, against a threshold; the three add up to 1.
struct SectionClass {
  double convex = kNotMeasured, flush = kNotMeasured, concave = kNotMeasured;
};

struct TravelHeights {
  std::vector<SectionLine> lines;  ///< As asked: crown, concavity and u, or why not; toes and walls as given.
  std::vector<SectionClass> classes;
  /// Over the chord, and the posterior's own deviation, before anything is widened or withheld; NaN as misfit.
  std::vector<double> middle_mm, spread_mm;
  std::vector<double> misfit;  ///< Of the likeliest section, per observation; NaN where the line was not asked for.
  double usual_misfit = kNotMeasured;
  double noise = kNotMeasured;          ///< What the samples show of TravelOptions' noise.
  double lamp_ring_mm = kNotMeasured;   ///< Radius of the ring of lamps, as found or as known.
  Gloss wall, bead;                     ///< As found.
  double wall_residual = kNotMeasured;  ///< Of ln light on bare wall about what is predicted, median.
  int frames = 0;                       ///< Used.
  double shift_mm = kNotMeasured;       ///< By which frames were brought into register, root mean square.
};

/// @param lines At even steps round the bore.
/// @return kNotFound with the reason when the frames cannot tell heights at all.
Result<TravelHeights> HeightsByTravel(const std::vector<TravelFrame>& frames, const bore::Bore& bore,
                                      const std::vector<TravelLine>& lines, const TravelOptions& options = {},
                                      const JobContext& job = {});

}  // namespace vision::relief
