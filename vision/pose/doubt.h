#pragma once

#include "vision/base/result.h"

namespace vision::pose {

/// What a stand (tilt and offset) found by structure rests on.
struct Grounds {
  double margin = 0, rings = 0;  ///< As Structure's.
};

/// How likely a pose found by structure is wrong: off by more than 2 degrees, or 0.06 R of offset or distance.
/// A logistic model of the stand; the weld's part is WeldSeen::chance. Source: scripts/fit_pose_doubt.py on recordings
/// of make_field (DEVELOPERS.md holds the table).
struct DoubtOptions {
  /// ln odds of being wrong: base + root_margin sqrt(margin) + rings * rings.
  double base = 1.116, root_margin = -16.292, rings = 2.375;
  double most_margin = 0.3;   ///< More margin than this says no more; > 0.
  double most_wrong = 0.221;  ///< A likelier wrong pose is for the eye only; in (0, 1]. Chosen so that at most
                              ///< 1 % of those frames are believed and wrong.

  [[nodiscard]] Status Check() const;
};

double ChanceOfWrongStand(const Grounds& grounds, const DoubtOptions& options);

/// Of stand or weld, each by itself.
inline double ChanceOfEither(double wrong_stand, double right_weld) { return 1 - (1 - wrong_stand) * right_weld; }

}  // namespace vision::pose
