#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "vision/bead/bead_options.h"
#include "vision/bead/features.h"

namespace vision::bead {

/// How much better each cell is explained by bead than by bare wall: the log-likelihood ratio against a broad density,
/// clipped so that no single cell decides. Positive = not wall.
/// @param drift_level How much the bare wall's log level may wander from 0 (heat tint, fall-off of the light).
cv::Mat1f Evidence(const Features& features, const WeldBandOptions& o, double drift_level);

/// Where the weld runs, found with a band of evidence, and whether it is one.
struct WeldBand {
  std::vector<double> centre_z_mm;  ///< Per station line.
  double contrast = 0;              ///< Mean evidence in the band over the strongest band of the bare wall, in sigmas.
  bool found = false;
};

WeldBand FindWeldBand(const Features& features, const cv::Mat1f& evidence, const WeldBandOptions& o);

}  // namespace vision::bead
