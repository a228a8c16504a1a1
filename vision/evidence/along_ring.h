#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "vision/base/result.h"

/// What the lines beside it tell of a toe: it runs round the bore unbroken, so of two places that one line alone leaves
/// open its neighbours often know which. Worth less than a line that is sure by itself.
namespace vision::evidence {

/// Table in DEVELOPERS.md.
struct AlongRingOptions {
  /// From line to line the toe's place has an exponential spread of this scale, mm; in (0, 4]. Fitted: by
  /// scripts/fit_along_ring.py on held-out drawn scenes.
  double wander_mm = 0.2;
  /// Share of lines that go on anywhere within reach; in (0, 1). Chosen.
  double jump = 0.01;
  /// Longest step from line to line, mm; in (0, 12]. Chosen: beyond any insert's edge against its bead's
  /// toe.
  double reach_mm = 4;
  /// Power of one line's chances, since neighbours are read off the same pixels; in (0, 1]. Fitted: as wander_mm.
  double weight = 0.1;

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
