#pragma once

#include <array>
#include <opencv2/core.hpp>
#include <vector>

#include "vision/evidence/evidence.h"
#include "vision/evidence/laid_flat.h"

namespace vision::evidence {

/// What a network says before it is read (scripts/evidence/net.py, HEADS), each 128 x 720.
enum Head : int {
  kNearToe,
  kFarToe,
  kNearHidden,
  kFarHidden,
  kUnfused,
  kCoveredHead,
  kPoreHead,
  kNearUndercutHead,
  kFarUndercutHead,
  kPocketHead,
  kScaleHead,
  kHollowHead,
  kHeads
};

/// The networks' input: 1 x 6 x 256 x 1600 (blue, green, red, seen, log of mm per pixel, obliquity), 80 columns wrapped
/// on either side.
cv::Mat InputOf(const LaidFlat& laid, const cv::Mat1f& obliquity);

/// Of one network, one plane a Head, without the wrapped columns.
using Heads = std::array<cv::Mat1f, kHeads>;

/// What each network says, in the order of the files.
std::vector<Heads> RunNetworks(const cv::Mat& input);

/// The mean of their chances. A toe's place is weighed by how likely each network holds the toe to be in sight.
/// @param log_resolution Of the strip as laid out (LaidFlat).
StripEvidence MeanOf(const std::vector<Heads>& said, bool near_is_left, const cv::Mat1f& log_resolution);

}  // namespace vision::evidence
