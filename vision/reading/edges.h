#pragma once

#include <vector>

#include "vision/bead/toes.h"
#include "vision/evidence/evidence.h"
#include "vision/reading/reading.h"

/// Did the insert's edge keep its shape? Of each look the edge on the camera's side alone: the far one hides behind the
/// insert and is not spoken of. Supports and never replaces the qualified examiner.
namespace vision::reading {

struct Look;

/// Source: not noted, so taken as chosen; where a field says none.
struct EdgeOptions {
  evidence::Trust trust = evidence::TheTrust();
  /// A run that is not as long as this along the arc above Trust::unfused_above, or a shorter stretch of fused edge, is
  /// not believed, mm; >= 0. Chosen: half the width of an insert as laid.
  double shortest_run_mm = 2;
  /// Wall per source pixel along z beyond which an edge is not called fused, mm; > 0. A gap of 0.3 mm is lost there
  /// (tried on rendered frames), and a gap not seen must not become "fused".
  double coarsest_for_fused_mm = 0.5;

  /// A look's chance nearer to 0 or 1 weighs like this one among others; in (0, 0.5). Chosen: below it the reader's
  /// held-out samples hold too few lines to tell.
  double surest = 1e-4;

  /// First broken constraint, naming the field.
  [[nodiscard]] Status Check() const;
};

/// One look's near edge over the 720 station lines.
struct NearEdge {
  std::vector<double> unfused;     ///< Chance that the edge kept its shape; NaN where it is not in sight.
  std::vector<char> may_be_fused;  ///< The toe is stated and the picture fine enough to call it fused.
  std::vector<double> weight;      ///< Source pixels to a square millimetre of wall: how much of the edge was seen.
};

NearEdge NearEdgeFrom(const evidence::StripEvidence& said, const bead::BeadToes& toes, const unroll::Strip& strip,
                      const EdgeOptions& options = {});

/// One edge of the weld over the station lines, of all looks that have it on their near side.
struct EdgeStates {
  std::vector<Fusion> state;
  std::vector<double> unfused;  ///< Chance, of the looks together; NaN where none sees it.
};

/// Looks of one weld err alike, so their odds are averaged, not multiplied, each by the pixels that it has of the edge
/// (a push sees from afar what the near frames see ten times finer). Fused needs one look that may say so.
EdgeStates EdgeOf(const std::vector<Look>& looks, bool left, double radius_mm, const EdgeOptions& options = {});

}  // namespace vision::reading
