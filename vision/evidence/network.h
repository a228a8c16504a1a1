#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "vision/evidence/laid_flat.h"

namespace vision::evidence {

/// What the network says before it is read (scripts/evidence/net.py, HEADS), each 128 x 720.
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

/// The network's input: 1 x 6 x 256 x 1600 (blue, green, red, seen, log of mm per pixel, obliquity), 80 columns wrapped
/// on either side.
cv::Mat InputOf(const LaidFlat& laid, const cv::Mat1f& obliquity);

/// Runs it. @return One plane per Head, without the wrapped columns.
std::vector<cv::Mat1f> RunNetwork(const cv::Mat& input);

}  // namespace vision::evidence
