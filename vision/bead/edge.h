#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "vision/bead/bead_options.h"
#include "vision/bead/features.h"

namespace vision::bead {

enum class Side { kNear, kFar };

/// Rows of the half-window of a step, 0.4 mm.
int StepRows(double pitch_mm, const EdgeOptions& o);

/// Level just inside less that just outside a boundary that lies before row r (near) or after it (far), each a mean
/// over StepRows.
double StepAt(const std::vector<float>& level, double pitch_mm, int r, Side side, const EdgeOptions& o);

/// A toe as rows of the feature picture, sub-row, and what it looked like there.
struct Edge {
  std::vector<double> row;   ///< Boundary between wall and bead.
  std::vector<double> step;  ///< Level just inside minus just outside (natural log).
};

/// The closed line on which the bead begins (near) or ends (far).
/// @param inner_row A row certainly inside the bead, per line.
/// @param expected_row Where the toe would be by a weak prior, per line; empty = none.
/// @param least_row Far side: nearer than this the bead would be narrower than its insert; soft; empty = none.
/// @param expected_within_mm How far from expected_row costs one unit of the prior; the cost grows with the square.
/// @param usual_row Where the toe would be were the bead as wide here as it mostly is; weak; empty = none.
std::vector<int> TracePath(const Features& features, const cv::Mat1f& evidence, const std::vector<int>& inner_row,
                           Side side, const std::vector<double>& expected_row, const EdgeOptions& o,
                           const std::vector<double>& least_row = {}, double expected_within_mm = 0.8,
                           const std::vector<double>& usual_row = {});

/// The line a path follows over `half_deg` to either side (running median): a toe wanders slowly.
std::vector<double> Trend(const std::vector<int>& path, double half_deg = 45);

/// Sub-row place of the step nearest the path.
Edge Refine(const Features& features, const std::vector<int>& path, Side side, const EdgeOptions& o);

/// One toe is one line: each place becomes the running median of `even_mm` of arc to either side, or of 2.5 mm where
/// the two lie apart; each step the mean over 2.5 mm of lines alike (hollow ones fall where others rise). A
/// median steps where the toe steps (the end of an unfused arc).
Edge EdgeOfHalves(const Features& features, const Edge& edge, const std::vector<char>& hollow, double even_mm,
                  const EdgeOptions& o);

/// Mean of one value per station line over `half` lines to either side, round the joint.
std::vector<double> SmoothAround(const std::vector<double>& values, int half);

/// Takes away what the wall just outside the two paths shows (heat-affected zone, fall-off of the light).
void Rebase(Features& features, const std::vector<int>& near_path, const std::vector<int>& far_path,
            const EdgeOptions& o);

}  // namespace vision::bead
