#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "vision/base/result.h"

/// What the lines beside it tell of a toe: it runs round the bore unbroken, so of two places that one line alone leaves
/// open its neighbours often know which. Worth less than a line that is sure by itself.
namespace vision::evidence {

/// Fitted on held-out drawn scenes by scripts/fit_along_ring.py (table in DEVELOPERS.md).
struct AlongRingOptions {
  double wander_mm = 0.2;  ///< From line to line the toe's place has an exponential spread of this scale; in (0, 4].
  double jump = 0.01;      ///< Share of lines that go on anywhere within 4 mm; in (0, 1).
  double weight = 0.1;     ///< Power of one line's chances: neighbours are read off the same pixels; in (0, 1].

  /// First broken constraint, naming the field.
  [[nodiscard]] Status Check() const;
};

/// Forward and backward round the closed ring (L. Rabiner, Proc. IEEE 77, 1989, with tempered observations).
/// @param chance Lines x bins: of each bin given that the toe is in sight, rows adding up to 1.
/// @param hidden Chance of each line that it is not: such a line tells as much less of its neighbours.
/// @return The same shape, rows adding up to 1.
cv::Mat1f AlongRing(const cv::Mat1f& chance, const std::vector<double>& hidden, double bin_mm,
                    const AlongRingOptions& options = {});

}  // namespace vision::evidence
