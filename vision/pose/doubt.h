#pragma once

#include "vision/base/result.h"

namespace vision::pose {

/// What a stand (tilt and offset) found by structure rests on.
struct Grounds {
  double margin = 0, rings = 0;  ///< As Structure's.
  double read_tilt_u_deg = 5;    ///< StandRead::TiltUDeg.
};

/// How likely a pose found by structure is wrong: off by more than 2 degrees, or 0.06 R of offset or distance.
/// A logistic model of the stand; the weld's part is WeldSeen::chance. Source: scripts/fit_pose_doubt.py on recordings
/// of make_field (DEVELOPERS.md holds the table).
struct DoubtOptions {
  /// ln odds of being wrong: base + root_margin sqrt(margin) + rings * rings + ln_read_u ln(u of the tilt as read);
  /// each in [-100, 100].
  double base = 1.065, root_margin = -8.714, rings = 1.777, ln_read_u = 1.449;
  double most_margin = 0.5;                            ///< More margin than this says no more; > 0.
  double least_read_u_deg = 0.1, most_read_u_deg = 5;  ///< Less or more says no more; > 0.
  /// A likelier wrong stand's axis is not told, a likelier wrong ring is for the eye only; each in (0, 1]. Chosen so
  /// that at most 1 % of those frames are believed and wrong, if one recording in twenty is of a bare bore.
  double most_wrong = 0.153, most_wrong_weld = 0.192;
  /// A likelier wrong stand is for the eye only; in [most_wrong, 1]. Up to there all of those frames lie within 4
  /// degrees and 0.12 R, which their covariance says (fit_pose_doubt.py prints the share).
  double most_wrong_measured = 0.3;
  double seconded = 0.22;  ///< Factor on the chance of a wrong stand that a frame beside this one confirms; in (0, 1].

  [[nodiscard]] Status Check() const;
};

double ChanceOfWrongStand(const Grounds& grounds, const DoubtOptions& options);

/// For more than the eye?
bool MayBeMeasured(double wrong_stand, double right_weld, const DoubtOptions& options);

/// Of stand or weld, each by itself.
inline double ChanceOfEither(double wrong_stand, double right_weld) { return 1 - (1 - wrong_stand) * right_weld; }

}  // namespace vision::pose
